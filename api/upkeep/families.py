"""Families with their positions, as whoever keeps the catalogue writes them."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Row, insert, select, update
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import FieldFault, InvalidInput
from api.exchange.catalogue_rows import family_row
from api.exchange.opened_catalogue import tables_of, text_of
from api.measurement.lengths import format_length
from api.offers.days import today
from api.starters.check_family import check_family
from api.starters.entries import FamilyEntry
from api.starters.present import present_family
from api.starters.routes import require_family
from api.starters.store import find_family, positions_of, seats_of
from api.starters.tables import Family, Position
from api.upkeep.entry_types import patch_of
from api.upkeep.family_bodies import FamilyRequest
from api.upkeep.keep_positions import (
    add_position,
    change_position,
    kind_faults,
    seat_members,
    withdraw_position,
)
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.upkeep.withdrawals import withdrawing
from api.wear_parts.store import kind_codes

_family = columns(Family)
_position = columns(Position)


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    seats = seats_of(reads, row.id)
    module = row.pinion_module_nm
    return {
        "code": row.code,
        "name": row.name,
        "construction": row.construction,
        "voltage": row.voltage,
        "rated_power_w": row.rated_power_w,
        "rotation": row.rotation,
        "field": row.field,
        "pole_count": row.pole_count,
        "brush_count": row.brush_count,
        "internal_reduction": row.internal_reduction_thousandths / 1000,
        "pinion": {
            "teeth": row.pinion_teeth,
            "diametral_pitch": row.pinion_diametral_pitch,
            "module": None if module is None else format_length(module),
            "pressure_angle": row.pressure_angle_millidegrees / 1000,
            "profile_shift": row.profile_shift_thousandths / 1000,
        },
        "pilot_diameter": format_length(row.pilot_diameter_nm),
        "mounting_holes": row.mounting_holes,
        "access_class": row.access_class,
        "notes": row.notes or None,
        "position": [
            {
                "code": position.code,
                "kind": position.kind_code,
                "quantity": position.quantity,
                "seat": seat_members(seats.get(position.id, ())),
            }
            for position in positions_of(reads, row.id)
        ],
    }


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> FamilyEntry:
    """Check by the files' rule; no position's kind may differ from that of the parts listed for it."""
    faults: list[FieldFault] = []
    family = None
    try:
        family = check_family(entry, kind_codes(reads))
    except InvalidInput as refused:
        faults += refused.faults
    kept = find_family(reads, text_of(entry, "code"))
    if kept is not None:
        for place, position in enumerate(tables_of(entry, "position")):
            code, kind = text_of(position, "code"), text_of(position, "kind") or None
            found = kind_faults(reads, kept.id, code, kind, "position", place)
            known = {fault.path for fault in faults}
            faults += [fault for fault in found if fault.path not in known]
    if faults or family is None:
        raise InvalidInput.of(faults)
    return family


def _refuse(reads: ReadSession, entry: FamilyEntry, kept: Row[Any] | None) -> None:
    if kept is None and find_family(reads, entry.code) is not None:
        raise AlreadyKnown("family", entry.code, "there is one of this code")


def _add(writes: WriteSession, entry: FamilyEntry) -> Address:
    family_id = str(uuid7())
    writes.run(insert(Family), {"id": family_id, **family_row(entry)})
    for sequence, position in enumerate(entry.positions, start=1):
        add_position(writes, family_id, sequence, position)
    return (entry.code,)


def _change(writes: WriteSession, row: Row[Any], entry: FamilyEntry) -> None:
    """Keep the family and its positions: withdraw what is no longer named, restore what is named again."""
    writes.run(update(Family).where(_family.id == row.id).values(**family_row(entry)))
    stored = {
        one.code: one
        for one in writes.rows(
            select(_position.id, _position.code, _position.withdrawn_on).where(_position.family_id == row.id)
        )
    }
    for sequence, position in enumerate(entry.positions, start=1):
        kept = stored.pop(position.code, None)
        if kept is None:
            add_position(writes, row.id, sequence, position)
            continue
        change_position(writes, kept.id, row.id, sequence, position)
        if kept.withdrawn_on is not None:
            withdraw_position(writes, kept.id, None)
    for gone in stored.values():
        if gone.withdrawn_on is None:
            withdraw_position(writes, gone.id, today().isoformat())


FAMILIES = Noun(
    name="family",
    scope="catalogue",
    model=FamilyRequest,
    patch_model=patch_of(FamilyRequest),
    fixed=("code",),
    path=lambda row: f"/v1/families/{row.code}",
    address=lambda row: (row.code,),
    find=lambda reads, address: require_family(reads, address[0]),
    entry=_entry,
    check=_check,
    refuse=_refuse,
    add=_add,
    change=_change,
    set_withdrawn=withdrawing(Family),
    answer=present_family,
)
