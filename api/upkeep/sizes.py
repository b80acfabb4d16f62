"""Sizes, as whoever keeps the catalogue writes them: all values of one size come from one source."""

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Final

import attrs
from pydantic import Discriminator, Field, Tag
from sqlalchemy import Row, delete, insert
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import FieldFault, InvalidInput
from api.exchange.catalogue_rows import size_row, size_value_row
from api.interchange.answer_size import size_answer
from api.measurement.counts import GREATEST_COUNT
from api.upkeep.entry_types import Code, Withdrawable, patch_of
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.upkeep.withdrawals import withdrawing
from api.wear_parts.check_size import NOT_APPLICABLE, check_size
from api.wear_parts.entries import KindEntry, SizeEntry, SizeValueEntry
from api.wear_parts.entry_fields import EntryFields
from api.wear_parts.shapes import Provenance
from api.wear_parts.store import find_size, kind_codes, size_values
from api.wear_parts.stored_kinds import kind_entry
from api.wear_parts.tables import Size, SizeValue
from api.wear_parts.value_text import value_text

_size = columns(Size)
_size_value = columns(SizeValue)

MOST_DIMENSIONS: Final = 60


def _told_as(value: object) -> str:
    """Name the branch by which a value is read, so that a wrong one has one fault."""
    return "count" if isinstance(value, int) and not isinstance(value, bool) else "text"


DimensionValue = Annotated[
    Annotated[
        Annotated[str, Field(min_length=1, max_length=60), Tag("text")]
        | Annotated[int, Field(ge=0, le=GREATEST_COUNT, description="of a count"), Tag("count")],
        Discriminator(_told_as),
    ]
    | None,
    Field(
        description="a length or a range with its unit, a count, a choice, or n/a where it does not apply; "
        "null or left out: not recorded",
        examples=["12.506..12.524 mm"],
    ),
]
Dimensions = Annotated[
    dict[str, DimensionValue],
    Field(max_length=MOST_DIMENSIONS, description="by the codes of the kind's dimensions"),
]


class SizeRequest(Withdrawable):
    """A size; while it is withdrawn, the parts of it count as withdrawn too."""

    code: Code
    kind: Annotated[Code, Field(description="code of a kind")]
    provenance: Provenance
    dimensions: Dimensions


def _find(reads: ReadSession, address: Address) -> Row[Any] | None:
    return find_size(reads, address[0])


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    values = size_values(reads, [row.id]).get(row.id, {})
    return {
        "code": row.code,
        "kind": row.kind_code,
        "provenance": row.provenance,
        "dimensions": {code: _written(value) for code, value in values.items()},
    }


def _written(value: SizeValueEntry) -> str | int:
    if not value.applies:
        return NOT_APPLICABLE
    return value_text(value) if value.count is None else value.count


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> SizeEntry:
    fields = EntryFields({"kind": entry.get("kind")}, ("kind",))
    given = fields.known("kind", kind_codes(reads), "kind")
    kind = kind_entry(reads, given) if fields.sound else None
    rest = {name: held for name, held in entry.items() if name != "kind"}
    if kind is not None:
        return check_size(kind, rest)
    fields.take(_faults_besides_dimensions(given, rest))
    fields.settle()
    raise InvalidInput.of([FieldFault(("kind",), given, "a known kind", "unknown_kind")])


def _faults_besides_dimensions(kind: str, entry: Mapping[str, Any]) -> tuple[FieldFault, ...]:
    """Return what can be said of a size of an unknown kind: nothing of any single dimension."""
    try:
        check_size(_no_dimensions(kind), entry)
    except InvalidInput as refused:
        return tuple(fault for fault in refused.faults if fault.path[0] != "dimensions" or not fault.path[1:])
    return ()


def _no_dimensions(code: str) -> KindEntry:
    return KindEntry(
        code=code,
        name="",
        description="",
        model_version="",
        unlisted_prior=0.5,
        unlisted_prior_origin="",
        dimensions=(),
    )


def _refuse(reads: ReadSession, entry: SizeEntry, kept: Row[Any] | None) -> None:
    if kept is None and find_size(reads, entry.code) is not None:
        raise AlreadyKnown("size", entry.code, "there is one of this code")


def _add(writes: WriteSession, entry: SizeEntry) -> Address:
    size_id = str(uuid7())
    writes.run(insert(Size), {"id": size_id, **size_row(entry)})
    _add_values(writes, size_id, entry.kind, entry.values)
    return (entry.code,)


def _add_values(writes: WriteSession, size_id: str, kind: str, values: Sequence[SizeValueEntry]) -> None:
    if values:
        writes.run(insert(SizeValue), [size_value_row(size_id, kind, value) for value in values])


def _change(writes: WriteSession, row: Row[Any], entry: SizeEntry) -> None:
    """Put what changes anew; the size keeps its id, and so its parts.

    A value that stays as it is keeps where it comes from and how well it is known, though the size says
    otherwise of itself: some of its values may have been measured.
    """
    stored = size_values(writes, [row.id]).get(row.id, {})
    stays = {
        value.dimension
        for value in entry.values
        if value.provenance == row.provenance
        and value.dimension in stored
        and attrs.evolve(stored[value.dimension], provenance=value.provenance) == value
    }
    changed = [value for value in entry.values if value.dimension not in stays]
    writes.run(
        delete(SizeValue).where(_size_value.size_id == row.id, _size_value.dimension_code.not_in(stays))
    )
    _add_values(writes, row.id, entry.kind, changed)


SIZES = Noun(
    name="size",
    scope="catalogue",
    model=SizeRequest,
    patch_model=patch_of(SizeRequest),
    fixed=("code", "kind"),
    path=lambda row: f"/v1/sizes/{row.code}",
    address=lambda row: (row.code,),
    find=_find,
    entry=_entry,
    check=_check,
    refuse=_refuse,
    add=_add,
    change=_change,
    set_withdrawn=withdrawing(Size),
    answer=size_answer,
)
