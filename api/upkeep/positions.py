"""Positions of a family one by one, as whoever keeps the catalogue writes them.

The construction's rule holds across the family: positions that need each other, such as the contacts of a
solenoid, come and go together by the family's own list.
"""

from collections.abc import Collection, Mapping, Sequence
from typing import Any

import attrs
from sqlalchemy import Row, select

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import FieldFault, InvalidInput
from api.exchange.opened_catalogue import text_of
from api.starters.check_position import check_position
from api.starters.entries import PositionEntry
from api.starters.positions_of_construction import find_position_faults
from api.starters.present import present_position
from api.starters.routes import require_family, require_position
from api.starters.store import find_position, positions_of, seat_of
from api.starters.tables import Position
from api.starters.vocabulary import POSITION_KINDS
from api.upkeep.entry_types import patch_of
from api.upkeep.family_bodies import SeatedPositionRequest
from api.upkeep.keep_positions import (
    add_position,
    change_position,
    kind_faults,
    next_sequence,
    seat_members,
    withdraw_position,
)
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.wear_parts.store import kind_codes

_position = columns(Position)


@attrs.frozen
class PlacedPosition:
    """A position and the row of the family that it is of."""

    family: Row[Any]
    position: PositionEntry


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    return {
        "code": row.code,
        "kind": row.kind_code,
        "quantity": row.quantity,
        "seat": seat_members(seat_of(reads, row.id)),
    }


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> PlacedPosition:
    """Check by the files' rules: the position by itself, a new one beside those that the family has."""
    family = require_family(reads, entry["family"])
    stated = {name: value for name, value in entry.items() if name != "family"}
    faults: list[FieldFault] = []
    position = None
    try:
        position = check_position(stated, kind_codes(reads))
    except InvalidInput as refused:
        faults += refused.faults
    code = text_of(stated, "code")
    kept = find_position(reads, family.code, code) if code in POSITION_KINDS else None
    if kept is not None:
        faults += _new(
            kind_faults(reads, family.id, code, text_of(stated, "kind") or None),
            faults,
        )
    elif code in POSITION_KINDS:
        faults += _new(_company_faults(family.construction, [*_codes(reads, family.id), code], code), faults)
    if faults or position is None:
        raise InvalidInput.of(faults)
    return PlacedPosition(family, position)


def _new(found: Sequence[FieldFault], known: Sequence[FieldFault]) -> list[FieldFault]:
    places = {fault.path for fault in known}
    return [fault for fault in found if fault.path not in places]


def _codes(reads: ReadSession, family_id: str) -> list[str]:
    return [row.code for row in positions_of(reads, family_id)]


def _company_faults(construction: str, codes: Sequence[str], code: str) -> list[FieldFault]:
    """Return what the construction says of the positions with `code` among them, as faults of this one."""
    found = find_position_faults(construction, codes)
    return [FieldFault(("code",), code, fault.expected, fault.code, fault.nearest) for fault in found][:1]


def _refuse(reads: ReadSession, entry: PlacedPosition, kept: Row[Any] | None) -> None:
    if kept is not None:
        return
    code = entry.position.code
    known = find_position(reads, entry.family.code, code)
    if known is not None:
        state = "" if known.withdrawn_on is None else f", withdrawn on {known.withdrawn_on}: restore it"
        raise AlreadyKnown("position", code, f"the family {entry.family.code} has it{state}")
    if entry.family.withdrawn_on is not None:
        raise AlreadyKnown("position", code, f"the family {entry.family.code} is withdrawn")


def _refuse_standing(reads: ReadSession, entry: PlacedPosition, kept: Row[Any] | None) -> None:
    """Refuse to restore what the family's other positions do not allow."""
    if kept is not None and kept.withdrawn_on is not None:
        code = entry.position.code
        faults = _company_faults(entry.family.construction, [*_codes(reads, entry.family.id), code], code)
        if faults:
            raise InvalidInput.of(faults)


def _add(writes: WriteSession, entry: PlacedPosition) -> Address:
    family_id = entry.family.id
    add_position(writes, family_id, next_sequence(writes, family_id), entry.position)
    return (entry.family.code, entry.position.code)


def _change(writes: WriteSession, row: Row[Any], entry: PlacedPosition) -> None:
    sequence = writes.number(select(_position.sequence).where(_position.id == row.id))
    change_position(writes, row.id, entry.family.id, sequence, entry.position)


def _set_withdrawn(writes: WriteSession, row: Row[Any], day: str | None) -> None:
    """Withdraw or restore a position; raises `InvalidInput` where others of the family need it."""
    if day is not None and row.withdrawn_on is None:
        rest = [code for code in _codes(writes, row.family_id) if code != row.code]
        expected = _why_needed(row.construction, row.code, rest)
        if expected is not None:
            raise InvalidInput.of([FieldFault(("withdrawn_on",), day, expected, "lacks_partner")])
    withdraw_position(writes, row.id, day)


def _why_needed(construction: str, code: str, rest: Collection[str]) -> str | None:
    if not rest:
        return f"{code} to stay: a family has one position at least"
    codes = list(rest)
    stranded = [codes[int(fault.path[1])] for fault in find_position_faults(construction, codes)]
    if not stranded:
        return None
    return (
        f"{code} to stay while {stranded[0]} does; what needs each other is withdrawn together, "
        "by the positions that the family lists"
    )


POSITIONS = Noun(
    name="position",
    scope="catalogue",
    model=SeatedPositionRequest,
    patch_model=patch_of(SeatedPositionRequest),
    fixed=("code",),
    path=lambda row: f"/v1/families/{row.family_code}/positions/{row.code}",
    address=lambda row: (row.family_code, row.code),
    find=lambda reads, address: require_position(reads, address[0], address[1]),
    entry=_entry,
    check=_check,
    refuse=_refuse,
    refuse_standing=_refuse_standing,
    add=_add,
    change=_change,
    set_withdrawn=_set_withdrawn,
    answer=present_position,
)
