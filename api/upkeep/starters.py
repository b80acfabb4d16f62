"""Starters, as whoever keeps the catalogue writes them."""

from collections.abc import Iterator, Mapping
from typing import Any

from sqlalchemy import Row, insert, select, update
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import InvalidInput
from api.starters.check_starter import check_starter
from api.starters.entries import StarterEntry
from api.starters.present import present_starter
from api.starters.store import find_family, starters_by_id
from api.starters.tables import Family, Starter
from api.upkeep.entry_types import patch_of
from api.upkeep.family_bodies import StarterRequest
from api.upkeep.known_items import MOST_SUGGESTED, Known, withdrawn_fault
from api.upkeep.maker_numbers import add_own_number, change_own_number, refuse_taken_number
from api.upkeep.noun import Address, Noun
from api.upkeep.parts import known_makers
from api.upkeep.withdrawals import withdrawing
from api.wear_parts.keys import require_id

_family = columns(Family)
_starter = columns(Starter)


def known_families(reads: ReadSession) -> Known[str, str]:
    """Return the families by code, with their id."""

    def some() -> Iterator[str]:
        first = select(_family.code).order_by(_family.code).limit(MOST_SUGGESTED)
        return (row.code for row in reads.rows(first))

    return Known(lambda code: find_family(reads, code), lambda row: str(row.id), some)


def _find(reads: ReadSession, address: Address) -> Row[Any] | None:
    starter_id = require_id("starter", address[0])
    return starters_by_id(reads, [starter_id]).get(starter_id)


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    return {
        "maker": row.maker_code,
        "number": row.number,
        "family": row.family_code,
        "description": row.description,
    }


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> StarterEntry:
    return check_starter(entry, known_makers(reads), known_families(reads))


def _refuse(reads: ReadSession, entry: StarterEntry, kept: Row[Any] | None) -> None:
    """Refuse new references to what is withdrawn, and a number that the maker uses already."""
    faults = []
    if kept is None or kept.maker_code != entry.maker:
        faults += withdrawn_fault(known_makers(reads).row(entry.maker), "maker", entry.maker, "maker")
    if kept is None or kept.family_code != entry.family:
        faults += withdrawn_fault(known_families(reads).row(entry.family), "family", entry.family, "family")
    if faults:
        raise InvalidInput.of(faults)
    refuse_taken_number(reads, entry.key, kept)


def _values(reads: ReadSession, entry: StarterEntry) -> dict[str, Any]:
    return {
        "family_id": known_families(reads)[entry.family],
        "maker_code": entry.maker,
        "number": entry.number,
        "description": entry.description,
    }


def _add(writes: WriteSession, entry: StarterEntry) -> Address:
    starter_id = str(uuid7())
    writes.run(insert(Starter), {"id": starter_id, **_values(writes, entry)})
    add_own_number(writes, entry.key, starter_id)
    return (starter_id,)


def _change(writes: WriteSession, row: Row[Any], entry: StarterEntry) -> None:
    writes.run(update(Starter).where(_starter.id == row.id).values(**_values(writes, entry)))
    change_own_number(writes, row, entry.key)


STARTERS = Noun(
    name="starter",
    scope="catalogue",
    model=StarterRequest,
    patch_model=patch_of(StarterRequest),
    fixed=(),
    path=lambda row: f"/v1/starters/{row.id}",
    address=lambda row: (row.id,),
    find=_find,
    entry=_entry,
    check=_check,
    refuse=_refuse,
    add=_add,
    change=_change,
    set_withdrawn=withdrawing(Starter),
    answer=present_starter,
)
