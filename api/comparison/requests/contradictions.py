"""What is wrong between the members of a comparison's body, each of them allowed by itself. Pure.

Looks at the JSON as it came, whatever it holds, so that these faults are named beside those of single
values: an unknown currency, amounts with more decimals than it has, names and ids given twice, a piece with
two ages or none, nothing failed, groups of positions that are none, a remainder whose failure nothing could
meet.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from api.comparison.costs_now.cost_now import REPAIR
from api.comparison.costs_now.figures import NoFailedPosition
from api.errors import FieldFault, shown
from api.measurement.refusals import nearest_name
from api.money.amounts import AMOUNT_PATTERN, AmountRefused, parse_amount
from api.money.currencies import UnknownCurrency, find_currency

_CODE = re.compile("[A-Z]{3}")
_AMOUNT = re.compile(AMOUNT_PATTERN)

Path = tuple[str | int, ...]
Entries = list[tuple[int, Mapping[str, Any]]]

AGES = ("age_starts", "wear_share", "age_unknown")
"""The members that say how old a piece is; of one piece one of them."""


def contradictions(body: Mapping[str, Any]) -> list[FieldFault]:
    """Return the faults between the members of a body, in the order of its members."""
    by_family = "family" in body
    over_months = "keep_months" in body
    positions = list(_objects(body.get("positions")))
    replacements = list(_objects(body.get("replacements")))
    names = [each.get("position") for _, each in positions]
    faults = [*_amounts(body, positions, replacements)]
    faults += _repeated(positions, "positions", "position", set())
    told = all(isinstance(each.get("failed"), bool) for _, each in positions)
    if positions and told and not any(_failed(each) for _, each in positions):
        faults.append(NoFailedPosition(tuple(str(name) for name in names)).fault("positions"))
    faults += _repeated(replacements, "replacements", "id", {REPAIR})
    if not over_months:
        return faults
    for place, each in positions:
        needed = not by_family and each.get("failed") is not True
        faults += _ages(each, needed, "positions", place)
    remainder = body.get("remainder")
    if isinstance(remainder, Mapping):
        faults += _ages(remainder, not by_family, "remainder")
        if not replacements and (not by_family or body.get("replacements") is not None):
            expected = "one replacement at least: with one a failure of the remainder would be met"
            faults.append(FieldFault(("replacements",), "", expected, "no_replacement"))
    known = [name for name in names if isinstance(name, str)]
    faults += _groups(body.get("renew_together"), None if by_family else known)
    return faults


def _objects(listed: object) -> Iterator[tuple[int, Mapping[str, Any]]]:
    for place, each in enumerate(listed if isinstance(listed, list) else ()):
        if isinstance(each, Mapping):
            yield place, each


def _amounts(body: Mapping[str, Any], positions: Entries, replacements: Entries) -> Iterator[FieldFault]:
    """Yield an unknown currency, or every amount that has more decimals than the currency."""
    code = body.get("currency")
    if not isinstance(code, str) or _CODE.fullmatch(code) is None:
        return
    try:
        currency = find_currency(code)
    except UnknownCurrency as unknown:
        yield unknown.fault("currency")
        return
    labour = body.get("labour")
    stated: list[tuple[object, Path]] = [
        (body.get(name), (name,)) for name in ("consumables", "incident_cost")
    ]
    if isinstance(labour, Mapping):
        stated.append((labour.get("rate_per_hour"), ("labour", "rate_per_hour")))
    stated += [(each.get("part_cost"), ("positions", place, "part_cost")) for place, each in positions]
    for name in ("price", "core_deposit"):
        stated += [(each.get(name), ("replacements", place, name)) for place, each in replacements]
    for text, path in stated:
        if isinstance(text, str) and _AMOUNT.fullmatch(text) is not None:
            try:
                parse_amount(text, currency)
            except AmountRefused as refused:
                yield refused.fault(*path)


def _failed(position: Mapping[str, Any]) -> bool:
    share = position.get("wear_share")
    worn = isinstance(share, int | float) and not isinstance(share, bool) and share >= 1
    return position.get("failed") is True or worn


def _repeated(entries: Entries, member: str, key: str, taken: set[str]) -> Iterator[FieldFault]:
    for place, each in entries:
        name = each.get(key)
        if not isinstance(name, str):
            continue
        if name in taken:
            expected = f"a name used once; {REPAIR!r} is kept for the repair"
            yield FieldFault((member, place, key), shown(name), expected, "repeated")
        taken.add(name)


def _ages(piece: Mapping[str, Any], needed: bool, *path: str | int) -> Iterator[FieldFault]:
    stated = [name for name in AGES if piece.get(name) is not None]
    for name in stated[1:]:
        expected = f"one age: {stated[0]} is given as well"
        yield FieldFault((*path, name), shown(piece[name]), expected, "two_ages")
    if needed and not stated:
        expected = f"one of {', '.join(AGES)} to be given"
        yield FieldFault((*path, AGES[0]), "", expected, "missing")


def _groups(groups: object, positions: list[str] | None) -> Iterator[FieldFault]:
    """Yield names that no position has, or that a group has twice; without positions only the latter."""
    for place, group in enumerate(groups if isinstance(groups, list) else ()):
        seen: set[str] = set()
        for inner, name in enumerate(group if isinstance(group, list) else ()):
            path = ("renew_together", place, inner)
            if not isinstance(name, str):
                continue
            if positions is not None and name not in positions:
                expected = shown("one of the positions of this comparison: " + ", ".join(positions))
                near = nearest_name(name, positions)
                yield FieldFault(path, shown(name), expected, "unknown_position", near)
            elif name in seen:
                yield FieldFault(path, shown(name), "a position named once in its group", "repeated")
            seen.add(name)
