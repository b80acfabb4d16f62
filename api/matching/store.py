"""Queries of matching: the models of the kinds, the sizes that the index holds, the parts of an answer."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row, func, select

from api.columns import columns
from api.database import ReadSession
from api.starters.store import CURRENT_LISTING
from api.starters.tables import Family, Listing, Position
from api.wear_parts.standing import part_stands
from api.wear_parts.tables import (
    CatalogueState,
    Dimension,
    DimensionChoice,
    Kind,
    Maker,
    Part,
    Size,
    SizeValue,
)

_catalogue_state = columns(CatalogueState)
_dimension = columns(Dimension)
_dimension_choice = columns(DimensionChoice)
_family = columns(Family)
_kind = columns(Kind)
_listing = columns(Listing)
_maker = columns(Maker)
_part = columns(Part)
_position = columns(Position)
_size = columns(Size)
_size_value = columns(SizeValue)


@dataclass(frozen=True, slots=True)
class StoredKind:
    """A kind as stored: its row, its dimensions in order, and the choices of each dimension."""

    kind: Row[Any]
    dimensions: Sequence[Row[Any]]
    choices: dict[str, list[Row[Any]]]


@dataclass(frozen=True, slots=True)
class StoredSizes:
    """Everything that an index over the sizes of one kind is built from.

    `sizes` are (id, code); `values` the recorded dimensions; `parts` are (id, size id, maker code,
    number, listings), one for each part that is not withdrawn.
    """

    sizes: Sequence[Row[Any]]
    values: Sequence[Row[Any]]
    parts: Sequence[Row[Any]]


def catalogue_version(reads: ReadSession) -> int:
    """Return the number that grows with every committed change; 0 before the first."""
    row = reads.first(select(_catalogue_state.version))
    return int(row[0]) if row else 0


def kind_codes(reads: ReadSession) -> list[str]:
    """Return the codes of all kinds in order."""
    return [row[0] for row in reads.rows(select(_kind.code).order_by(_kind.code))]


def kind_summaries(reads: ReadSession) -> Sequence[Row[Any]]:
    """Return (code, name, description, number of sizes, number of current parts) of every kind."""
    sizes = (
        select(func.count())
        .select_from(Size)
        .where(_size.kind_code == _kind.code, _size.withdrawn_on.is_(None))
        .scalar_subquery()
    )
    parts = (
        select(func.count())
        .select_from(Part)
        .where(_part.kind_code == _kind.code, part_stands())
        .scalar_subquery()
    )
    return reads.rows(
        select(
            _kind.code, _kind.name, _kind.description, sizes.label("sizes"), parts.label("parts")
        ).order_by(_kind.code)
    )


def stored_kind(reads: ReadSession, code: str) -> StoredKind | None:
    """Return one kind with its dimensions and choices, or nothing."""
    kind = reads.first(select(*_kind).where(_kind.code == code))
    if kind is None:
        return None
    dimensions = reads.rows(
        select(*_dimension).where(_dimension.kind_code == code).order_by(_dimension.sequence)
    )
    choices: dict[str, list[Row[Any]]] = defaultdict(list)
    for row in reads.rows(
        select(_dimension_choice.dimension_code, _dimension_choice.value, _dimension_choice.label)
        .where(_dimension_choice.kind_code == code)
        .order_by(_dimension_choice.dimension_code, _dimension_choice.sequence)
    ):
        choices[row.dimension_code].append(row)
    return StoredKind(kind, dimensions, dict(choices))


def stored_sizes(reads: ReadSession, kind: str) -> StoredSizes:
    """Return what the index over one kind holds: its current sizes, their values, their current parts."""
    listings = (
        select(func.count())
        .select_from(Listing)
        .join(Position, _position.id == _listing.position_id)
        .join(Family, _family.id == _position.family_id)
        .where(_listing.part_id == _part.id, *CURRENT_LISTING)
        .scalar_subquery()
    )
    return StoredSizes(
        sizes=reads.rows(
            select(_size.id, _size.code)
            .where(_size.kind_code == kind, _size.withdrawn_on.is_(None))
            .order_by(_size.code)
        ),
        values=reads.rows(
            select(
                _size_value.size_id,
                _size_value.dimension_code,
                _size_value.applies,
                _size_value.lower_nm,
                _size_value.upper_nm,
                _size_value.count_value,
                _size_value.choice_value,
                _size_value.provenance,
            )
            .join(Size, _size.id == _size_value.size_id)
            .where(_size_value.kind_code == kind, _size.withdrawn_on.is_(None))
        ),
        parts=reads.rows(
            select(_part.id, _part.size_id, _part.maker_code, _part.number, listings.label("listings"))
            .where(_part.kind_code == kind, part_stands())
            .order_by(_part.maker_code, _part.number)
        ),
    )


def parts_by_id(reads: ReadSession, ids: Sequence[str]) -> dict[str, Row[Any]]:
    """Return (id, maker name, number, size code, description, provenance, voltage, material), by id."""
    found = reads.rows(
        select(
            _part.id,
            _maker.name.label("maker"),
            _part.number,
            _size.code.label("size"),
            _part.description,
            _part.provenance,
            _part.voltage,
            _part.material,
        )
        .join(Maker, _maker.code == _part.maker_code)
        .join(Size, _size.id == _part.size_id)
        .where(_part.id.in_(ids))
    )
    return {row.id: row for row in found}
