"""Supersessions, as whoever keeps the catalogue writes them: each number is replaced once, chains end."""

from collections.abc import Mapping
from typing import Annotated, Any

import attrs
from pydantic import Field
from sqlalchemy import Row, insert, select, update

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import FieldFault, InvalidInput, UnknownCode, shown
from api.interchange.store import parts_by_id
from api.interchange.stored_numbers import find_supersession, own_number
from api.interchange.supersession_routes import present_supersessions
from api.starters.store import starters_by_id
from api.upkeep.entry_types import Code, Day, MakerNumber, Withdrawable, patch_of
from api.upkeep.known_items import find_item, known_items, withdrawn_fault
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.upkeep.withdrawals import withdrawing
from api.wear_parts.check_part import check_supersession
from api.wear_parts.entries import ItemKey, SupersessionEntry
from api.wear_parts.keys import require_id
from api.wear_parts.supersessions import SupersessionCycle, follow_chain
from api.wear_parts.tables import Number, Supersession

_number = columns(Number)
_supersession = columns(Supersession)


class SupersessionRequest(Withdrawable):
    """A maker's number replaced on a day: a part by a part of the same kind, a starter by a starter."""

    maker: Annotated[Code, Field(description="code of the maker of what is superseded")]
    old_number: MakerNumber
    new_maker: Annotated[Code, Field(description="code of the maker of what came next")]
    new_number: MakerNumber
    on: Day


@attrs.frozen
class _Link:
    """A maker's own number in a chain."""

    number_id: str
    maker: str
    written: str

    def __str__(self) -> str:
        return f"{self.maker} {self.written}"


def _find(reads: ReadSession, address: Address) -> Row[Any] | None:
    return find_supersession(reads, require_id("supersession", address[0]))


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    parts = parts_by_id(reads, [item for item in (row.old_part, row.new_part) if item])
    starters = starters_by_id(reads, [item for item in (row.old_starter, row.new_starter) if item])
    items = {**parts, **starters}
    old, new = items[row.old_part or row.old_starter], items[row.new_part or row.new_starter]
    return {
        "maker": old.maker_code,
        "old_number": old.number,
        "new_maker": new.maker_code,
        "new_number": new.number,
        "on": row.superseded_on,
    }


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> SupersessionEntry:
    return check_supersession(entry, known_items(reads))


def _refuse(reads: ReadSession, entry: SupersessionEntry, kept: Row[Any] | None) -> None:
    """Refuse a second successor of a number, and new references to what is withdrawn."""
    old, new = find_item(reads, entry.old), find_item(reads, entry.new)
    faults = []
    if kept is None:
        faults += withdrawn_fault(old, "old_number", entry.old.number, entry.old.owner)
    if new is not None and (kept is None or new.id not in (kept.new_part, kept.new_starter)):
        faults += withdrawn_fault(new, "new_number", entry.new.number, entry.new.owner)
    if faults:
        raise InvalidInput.of(faults)
    known = None if kept is not None else find_supersession(reads, _link(reads, entry.old).number_id)
    if known is not None:
        successor = _entry(reads, known)
        state = "" if known.withdrawn_on is None else f" (withdrawn from {known.withdrawn_on})"
        why = f"it is superseded by {successor['new_maker']} {successor['new_number']} already{state}"
        raise AlreadyKnown("supersession", str(entry.old), why)


def _refuse_standing(reads: ReadSession, entry: SupersessionEntry, kept: Row[Any] | None) -> None:
    """Refuse a circle: what replaces the old number leads back to it."""
    old, current = _link(reads, entry.old), _link(reads, entry.new)
    replaced_by = {old: current}
    while current not in replaced_by and (after := _successor(reads, current)) is not None:
        replaced_by[current] = after
        current = after
    try:
        follow_chain(old, replaced_by)
    except SupersessionCycle as cycle:
        expected = f"a number that does not lead back to the old one in a circle: {cycle.circle}"
        fault = FieldFault(("new_number",), shown(entry.new.number), expected, "circle")
        raise InvalidInput.of([fault]) from None


def _link(reads: ReadSession, item: ItemKey) -> _Link:
    row = own_number(reads, item)
    if row is None:
        raise UnknownCode("number", f"{item.maker} {item.number}")
    return _Link(row.id, row.issuer, row.written)


def _successor(reads: ReadSession, link: _Link) -> _Link | None:
    row = reads.first(
        select(_number.id, _number.issuer, _number.written)
        .join(Supersession, _supersession.new_number_id == _number.id)
        .where(_supersession.old_number_id == link.number_id, _supersession.withdrawn_on.is_(None))
    )
    return None if row is None else _Link(row.id, row.issuer, row.written)


def _row(reads: ReadSession, entry: SupersessionEntry) -> dict[str, Any]:
    return {
        "old_number_id": _link(reads, entry.old).number_id,
        "new_number_id": _link(reads, entry.new).number_id,
        "superseded_on": entry.on,
    }


def _add(writes: WriteSession, entry: SupersessionEntry) -> Address:
    row = _row(writes, entry)
    writes.run(insert(Supersession), row)
    return (row["old_number_id"],)


def _change(writes: WriteSession, row: Row[Any], entry: SupersessionEntry) -> None:
    kept = _supersession.old_number_id == row.old_number_id
    writes.run(update(Supersession).where(kept).values(**_row(writes, entry)))


SUPERSESSIONS = Noun(
    name="supersession",
    scope="catalogue",
    model=SupersessionRequest,
    patch_model=patch_of(SupersessionRequest),
    fixed=("maker", "old_number"),
    path=lambda row: f"/v1/supersessions/{row.old_number_id}",
    address=lambda row: (row.old_number_id,),
    find=_find,
    entry=_entry,
    check=_check,
    refuse=_refuse,
    refuse_standing=_refuse_standing,
    add=_add,
    change=_change,
    set_withdrawn=withdrawing(Supersession, "old_number_id"),
    answer=lambda reads, row: present_supersessions(reads, [row])[0],
)
