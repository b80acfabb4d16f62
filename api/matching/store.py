"""Queries of matching: the models of the kinds, the sizes that the index holds, the parts of an answer."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row, func, select

from api.columns import columns
from api.database import ReadSession
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


def origins_of_values(reads: ReadSession, size_ids: Sequence[str]) -> dict[tuple[str, str], Row[Any]]:
    """Return (provenance, knowledge_uncertainty_nm) of what sizes record, by size id and dimension."""
    found = reads.rows(
        select(
            _size_value.size_id,
            _size_value.dimension_code,
            _size_value.provenance,
            _size_value.knowledge_uncertainty_nm,
        ).where(_size_value.size_id.in_(size_ids))
    )
    return {(row.size_id, row.dimension_code): row for row in found}
