"""Queries: the sizes and parts of a kind as the arrays that the candidate index is built from."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

import numpy as np
from sqlalchemy import Row, Select, Subquery, func, literal, select

from api.columns import columns
from api.database import ReadSession
from api.matching.columns.bulk import KindRows
from api.matching.model import KindModel
from api.matching.sizes.size_table import Column, Recorded, SizeTable
from api.starters.store import CURRENT_LISTING
from api.starters.tables import Family, Listing, Position
from api.wear_parts.standing import part_stands
from api.wear_parts.tables import Part, Size, SizeValue

_family = columns(Family)
_listing = columns(Listing)
_part = columns(Part)
_position = columns(Position)
_size = columns(Size)
_size_value = columns(SizeValue)

BATCH: Final = 20_000
"""Rows read at once."""
IDS_AT_ONCE: Final = 500


def read_kind(reads: ReadSession, model: KindModel, only: Collection[str] | None = None) -> KindRows:
    """Return the sizes and parts of a kind, or those of the sizes of some ids."""
    codes: list[str] = []
    ids: list[str] = []
    wanted = None if only is None else sorted(only)
    for row in sorted(_sizes(reads, model.kind, wanted), key=lambda row: row.code):
        ids.append(row.id)
        codes.append(row.code)
    row_of = {size_id: row for row, size_id in enumerate(ids)}
    table_columns = _values(reads, model, row_of, wanted)
    part_ids: list[str] = []
    parts_of: list[int] = []
    listings: list[int] = []
    keys: list[str] = []
    for row in _parts(reads, model.kind, wanted):
        if row.size_id not in row_of:
            continue
        part_ids.append(row.id)
        parts_of.append(row_of[row.size_id])
        listings.append(row.listings)
        keys.append(f"{row.maker_code}\n{row.number}")  # in the order of both, as a pair would be
    of_size = np.array(parts_of, dtype=np.int64)
    listed = np.array(listings, dtype=np.int64)
    if wanted is not None:  # read in pieces, each in its own order
        order = sorted(range(len(keys)), key=keys.__getitem__)
        part_ids, of_size, listed = [part_ids[one] for one in order], of_size[order], listed[order]
        keys = [keys[one] for one in order]
    size_listings = np.bincount(of_size, weights=listed, minlength=len(ids)).astype(np.int64)
    return KindRows(
        table=SizeTable(codes=tuple(codes), listings=size_listings, columns=table_columns),
        size_ids=ids,
        part_ids=part_ids,
        part_keys=keys,
        parts_of=of_size,
        listings=listed,
    )


def _pieces(
    reads: ReadSession, statement: Select[Any], column: Any, ids: Sequence[str] | None
) -> Iterator[Row[Any]]:
    if ids is None:
        yield from reads.stream(statement, BATCH)
        return
    for start in range(0, len(ids), IDS_AT_ONCE):
        yield from reads.rows(statement.where(column.in_(ids[start : start + IDS_AT_ONCE])))


def _sizes(reads: ReadSession, kind: str, ids: Sequence[str] | None) -> Iterable[Row[Any]]:
    statement = select(_size.id, _size.code).where(_size.kind_code == kind, _size.withdrawn_on.is_(None))
    return _pieces(reads, statement, _size.id, ids)


def _values(
    reads: ReadSession, model: KindModel, row_of: Mapping[str, int], ids: Sequence[str] | None
) -> dict[str, Column]:
    """Return the columns of the sizes; of a size that is not among the rows nothing is kept."""
    found: dict[str, tuple[list[int], list[int], list[int], list[int]]] = defaultdict(
        lambda: ([], [], [], [])
    )
    places = {
        one.code: {choice: place for place, choice in enumerate(one.choices)} for one in model.dimensions
    }
    statement = select(
        _size_value.size_id,
        _size_value.dimension_code,
        _size_value.applies,
        func.coalesce(_size_value.lower_nm, _size_value.count_value, literal(0)).label("lower"),
        func.coalesce(_size_value.upper_nm, _size_value.count_value, literal(0)).label("upper"),
        _size_value.choice_value,
    )
    if ids is None:  # SQLite would take the index of kinds before that of ids
        statement = statement.where(_size_value.kind_code == model.kind)
    for found_row in _pieces(reads, statement, _size_value.size_id, ids):
        size_id, code, applies, lower, upper, choice = tuple(found_row)
        row = row_of.get(size_id)
        if row is None:
            continue
        rows, lowers, uppers, states = found[code]
        rows.append(row)
        if choice is not None:
            lower = upper = places[code][choice]
        lowers.append(lower)
        uppers.append(upper)
        states.append(Recorded.RECORDED if applies else Recorded.DOES_NOT_APPLY)
    return {one.code: _column(len(row_of), *found[one.code]) for one in model.dimensions}


def _column(
    sizes: int, rows: Sequence[int], lower: Sequence[int], upper: Sequence[int], state: Sequence[int]
) -> Column:
    column = Column(
        lower=np.zeros(sizes, dtype=np.int64),
        upper=np.zeros(sizes, dtype=np.int64),
        state=np.zeros(sizes, dtype=np.int8),
    )
    column.lower[rows], column.upper[rows], column.state[rows] = lower, upper, state
    return column


def _parts(reads: ReadSession, kind: str, ids: Sequence[str] | None) -> Iterator[Row[Any]]:
    """Return (id, size id, maker code, number, listings) of the current parts of current sizes."""
    statement = select(_part.id, _part.size_id, _part.maker_code, _part.number)
    statement = statement.where(part_stands())
    if ids is not None:
        return _pieces(reads, statement.add_columns(_listings_of_one()), _part.size_id, ids)
    listed = _listed(kind)
    statement = statement.where(_part.kind_code == kind).add_columns(
        func.coalesce(listed.c.listings, 0).label("listings")
    )
    statement = statement.join(listed, listed.c.part_id == _part.id, isouter=True)
    return _pieces(reads, statement.order_by(_part.maker_code, _part.number), _part.size_id, ids)


def _listings_of_one() -> Any:
    """Return how often the part of a row is listed, looked up part by part."""
    return (
        select(func.count())
        .select_from(Listing)
        .join(Position, _position.id == _listing.position_id)
        .join(Family, _family.id == _position.family_id)
        .where(_listing.part_id == _part.id, *CURRENT_LISTING)
        .scalar_subquery()
        .label("listings")
    )


def _listed(kind: str) -> Subquery:
    """Return how often each part is listed, for those that are, counted all at once."""
    return (
        select(_listing.part_id, func.count().label("listings"))
        .join(Part, _part.id == _listing.part_id)
        .join(Position, _position.id == _listing.position_id)
        .join(Family, _family.id == _position.family_id)
        .where(_part.kind_code == kind, *CURRENT_LISTING)
        .group_by(_listing.part_id)
        .subquery()
    )
