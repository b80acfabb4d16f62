"""Look a number up: what goes by it, what nearly does, and what superseded it."""

from collections.abc import Mapping, Sequence
from typing import Any, Final, Literal

import attrs
from sqlalchemy import Row

from api.database import ReadSession
from api.errors import InvalidInput, UnknownCode
from api.interchange.near_numbers import (
    SHARED_START,
    edits_between,
    gtin_state,
    looked_up_as,
    most_edits,
    one_edit_away,
)
from api.interchange.number_shapes import GtinAnswer, NumberFindings, NumberMatch, NumberStep
from api.interchange.stored_numbers import item_references
from api.offers.shapes import ItemReference
from api.wear_parts.numbers import comparison_forms
from api.wear_parts.store import chains, numbers_between, numbers_by_form, numbers_of_items

MOST_NEAR: Final = 10
MOST_SCANNED: Final = 5_000
"""How many numbers with the same first characters are weighed for two edits (our judgement)."""

How = Literal["exact", "normalised", "gtin", "near"]


@attrs.frozen
class _Found:
    """A stored number and how it was found."""

    row: Row[Any]
    how: How
    edits: int = 0


def find_number(reads: ReadSession, number: str) -> NumberFindings:
    """Return what goes by a number, or else what nearly does.

    Raises `UnknownCode` where nothing is near, and for a text that is no number.
    """
    try:
        forms = comparison_forms(number)
    except InvalidInput:
        raise UnknownCode("number", number) from None
    found = [_Found(row, _how(row, number, forms[0])) for row in numbers_by_form(reads, forms)]
    near = [] if found else _near(reads, forms[0])
    if not found and not near:
        raise UnknownCode("number", number)
    state, digits, expected = gtin_state(number)
    return NumberFindings(
        number=number,
        normalised=forms[0],
        gtin=GtinAnswer(state=state, digits=digits, expected=expected),
        matches=_present(reads, found),
        near=_present(reads, near),
    )


def _how(row: Row[Any], number: str, form: str) -> How:
    if row.written == number:
        return "exact"
    return "normalised" if row.normalised == form else "gtin"


def _near(reads: ReadSession, form: str) -> list[_Found]:
    neighbours = set(one_edit_away(form))
    allowed = most_edits(form)
    for base in looked_up_as(form):
        start = base[:SHARED_START]
        lengths = tuple(range(len(base) - allowed, len(base) + allowed + 1))
        neighbours |= set(numbers_between(reads, start, f"{start}\U0010ffff", lengths, MOST_SCANNED))
    close = {other: edits for other in neighbours if (edits := edits_between(form, other)) <= allowed}
    rows = numbers_by_form(reads, close)
    found = [_Found(row, "near", close[row.normalised]) for row in rows]
    return sorted(found, key=lambda one: (one.edits, one.row.normalised, one.row.id))[:MOST_NEAR]


def _present(reads: ReadSession, found: Sequence[_Found]) -> list[NumberMatch]:
    """Give found numbers their wire shape, each with its item's chain of supersessions."""
    if not found:
        return []
    owned = numbers_of_items(reads, {one.row.part_id or one.row.starter_id for one in found})
    steps = chains(reads, [number.id for numbers in owned.values() for number in numbers])
    chain_of = {
        item: next((steps[number.id] for number in numbers if number.id in steps), [])
        for item, numbers in owned.items()
    }
    owners = [one.row for one in found] + [step for chain in chain_of.values() for step in chain]
    items = _items(reads, owners)
    return [_match(one, chain_of.get(_owner(one.row), []), items) for one in found]


def _owner(row: Row[Any]) -> str:
    return str(row.part_id or row.starter_id)


def _items(reads: ReadSession, owners: Sequence[Row[Any]]) -> dict[str, ItemReference]:
    parts = {row.part_id for row in owners if row.part_id}
    return item_references(reads, parts, {row.starter_id for row in owners if row.starter_id})


def _match(one: _Found, chain: Sequence[Row[Any]], items: Mapping[str, ItemReference]) -> NumberMatch:
    item = items[_owner(one.row)]
    steps = [NumberStep(on=step.superseded_on, item=items[_owner(step)]) for step in chain]
    return NumberMatch(
        how=one.how,
        edits=one.edits,
        written=one.row.written,
        scheme=one.row.scheme,
        issuer=one.row.issuer,
        item=item,
        superseded_by=steps,
        current=steps[-1].item if steps else item,
    )
