"""Wear parts, as whoever keeps the catalogue writes them, each with its maker's number."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field
from sqlalchemy import Row, insert, select, update
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import InvalidInput
from api.exchange.catalogue_rows import Values, part_row
from api.interchange.answer_part import find_part, part_answer
from api.offers.days import today
from api.upkeep.entry_types import Code, Line, MakerNumber, Withdrawable, patch_of
from api.upkeep.known_items import MOST_SUGGESTED, Known, withdrawn_fault
from api.upkeep.maker_numbers import add_own_number, change_own_number, refuse_taken_number
from api.upkeep.noun import Address, Noun
from api.upkeep.withdrawals import withdrawing
from api.wear_parts.check_part import check_part
from api.wear_parts.entries import PartEntry
from api.wear_parts.shapes import Provenance
from api.wear_parts.store import find_maker, kind_codes
from api.wear_parts.tables import Maker, Part, Size

_maker = columns(Maker)
_part = columns(Part)
_size = columns(Size)


class PartRequest(Withdrawable):
    """A part; its maker's number is kept with it, and is unique over the maker's parts and starters."""

    maker: Annotated[Code, Field(description="code of a maker", examples=["ombrisk"])]
    number: MakerNumber
    kind: Annotated[Code, Field(description="code of a kind, its size's", examples=["bushing"])]
    size: Annotated[Code, Field(description="code of a size", examples=["bush-12.5x16x12"])]
    description: Line
    material: Line | None = None
    grade: Line | None = None
    voltage: Literal[6, 12, 24] | None = None
    provenance: Provenance


def known_makers(reads: ReadSession) -> Known[str, str]:
    """Return the makers by code, with their name."""

    def some() -> Iterator[str]:
        first = select(_maker.code).order_by(_maker.code).limit(MOST_SUGGESTED)
        return (row.code for row in reads.rows(first))

    return Known(lambda code: find_maker(reads, code), lambda row: str(row.name), some)


def known_sizes(reads: ReadSession) -> Known[str, str]:
    """Return the sizes by code, with their kind."""

    def find(code: str) -> Row[Any] | None:
        return reads.first(select(*_size).where(_size.code == code))

    def some() -> Iterator[str]:
        first = select(_size.code).order_by(_size.code).limit(MOST_SUGGESTED)
        return (row.code for row in reads.rows(first))

    return Known(find, lambda row: str(row.kind_code), some)


def _find(reads: ReadSession, address: Address) -> Row[Any] | None:
    return find_part(reads, address[0])


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    return {
        "maker": row.maker_code,
        "number": row.number,
        "kind": row.kind_code,
        "size": row.size_code,
        "description": row.description,
        "material": row.material,
        "grade": row.grade,
        "voltage": row.voltage,
        "provenance": row.provenance,
    }


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> PartEntry:
    return check_part(entry, known_makers(reads), kind_codes(reads), known_sizes(reads))


def _refuse(reads: ReadSession, entry: PartEntry, kept: Row[Any] | None) -> None:
    """Refuse new references to what is withdrawn, and a number that the maker uses already."""
    faults = []
    if kept is None or kept.maker_code != entry.maker:
        faults += withdrawn_fault(known_makers(reads).row(entry.maker), "maker", entry.maker, "maker")
    if kept is None or kept.size_code != entry.size:
        faults += withdrawn_fault(known_sizes(reads).row(entry.size), "size", entry.size, "size")
    if faults:
        raise InvalidInput.of(faults)
    refuse_taken_number(reads, entry.key, kept)


def _row(reads: ReadSession, entry: PartEntry) -> Values:
    """Return the row of a checked part: its size is known."""
    size = known_sizes(reads).row(entry.size)
    return part_row(entry, {} if size is None else {(entry.size,): size.id})


def _add(writes: WriteSession, entry: PartEntry) -> Address:
    part_id = str(uuid7())
    writes.run(insert(Part), {"id": part_id, **_row(writes, entry)})
    add_own_number(writes, entry.key, part_id)
    return (part_id,)


def _change(writes: WriteSession, row: Row[Any], entry: PartEntry) -> None:
    writes.run(update(Part).where(_part.id == row.id).values(**_row(writes, entry)))
    change_own_number(writes, row, entry.key)


PARTS = Noun(
    name="part",
    scope="catalogue",
    model=PartRequest,
    patch_model=patch_of(PartRequest),
    fixed=("kind",),
    path=lambda row: f"/v1/parts/{row.id}",
    address=lambda row: (row.id,),
    find=_find,
    entry=_entry,
    check=_check,
    refuse=_refuse,
    add=_add,
    change=_change,
    set_withdrawn=withdrawing(Part),
    answer=lambda reads, row: part_answer(reads, row, today()),
)
