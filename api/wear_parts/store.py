"""Queries of wear parts: makers, the values of sizes, numbers, and chains of superseded numbers."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from functools import cache
from typing import Any, Final

from sqlalchemy import ColumnElement, Row, Select, bindparam, func, literal, select
from sqlmodel import SQLModel

from api.columns import columns
from api.database import ReadSession
from api.wear_parts.entries import SizeValueEntry
from api.wear_parts.standing import number_stands
from api.wear_parts.tables import Dimension, Kind, Maker, Number, Part, Size, SizeValue, Supersession

_dimension = columns(Dimension)
_kind = columns(Kind)
_maker = columns(Maker)
_number = columns(Number)
_part = columns(Part)
_size = columns(Size)
_size_value = columns(SizeValue)
_supersession = columns(Supersession)

LONGEST_CHAIN: Final = 100
"""How many supersessions one number is followed through (our judgement; the loader refuses circles)."""


def maker_codes(reads: ReadSession) -> list[str]:
    """Return the codes of all makers."""
    return [row[0] for row in reads.rows(select(_maker.code).order_by(_maker.code))]


def list_makers(reads: ReadSession, after: str | None, limit: int) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` makers that are not withdrawn, in order of code, and how many there are."""
    standing = _maker.withdrawn_on.is_(None)
    total = reads.number(select(func.count()).select_from(Maker).where(standing))
    statement = select(*_maker).where(standing).order_by(_maker.code).limit(limit)
    return reads.rows(statement if after is None else statement.where(_maker.code > after)), total


def find_maker(reads: ReadSession, code: str) -> Row[Any] | None:
    """Return (code, name, withdrawn_on) of a maker, or nothing."""
    return reads.first(select(*_maker).where(_maker.code == code))


def kind_codes(reads: ReadSession) -> list[str]:
    """Return the codes of all kinds."""
    return [row[0] for row in reads.rows(select(_kind.code).order_by(_kind.code))]


def size_codes(reads: ReadSession) -> list[str]:
    """Return the codes of all sizes."""
    return [row[0] for row in reads.rows(select(_size.code).order_by(_size.code))]


def _sizes() -> Select[Any]:
    provenance = (
        select(func.min(_size_value.provenance)).where(_size_value.size_id == _size.id).scalar_subquery()
    )
    return select(*_size, provenance.label("provenance"))


def list_sizes(
    reads: ReadSession, kind: str | None, after: str | None, limit: int
) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` sizes (of a kind) that are not withdrawn, by code, and how many there are.

    A row has (id, kind_code, code, withdrawn_on, provenance): all values of a size are of one provenance.
    """
    conditions: list[ColumnElement[bool]] = [_size.withdrawn_on.is_(None)]
    if kind is not None:
        conditions.append(_size.kind_code == kind)
    total = reads.number(select(func.count()).select_from(Size).where(*conditions))
    statement = _sizes().where(*conditions).order_by(_size.code).limit(limit)
    return reads.rows(statement if after is None else statement.where(_size.code > after)), total


def find_size(reads: ReadSession, code: str) -> Row[Any] | None:
    """Return a size's row as `list_sizes` does, withdrawn or not, or nothing."""
    return reads.first(_sizes().where(_size.code == code))


_SIZE_VALUES: Final = (
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
    .join(
        Dimension,
        (_dimension.kind_code == _size_value.kind_code) & (_dimension.code == _size_value.dimension_code),
    )
    .where(_size_value.size_id.in_(bindparam("ids", expanding=True)))
    .order_by(_size_value.size_id, _dimension.sequence)
)


def size_values(reads: ReadSession, size_ids: Collection[str]) -> dict[str, dict[str, SizeValueEntry]]:
    """Return what each size records, by size id and dimension code, in the order of the kind."""
    found: dict[str, dict[str, SizeValueEntry]] = defaultdict(dict)
    if not size_ids:
        return found
    for row in reads.rows(_SIZE_VALUES, {"ids": list(size_ids)}):
        found[row.size_id][row.dimension_code] = SizeValueEntry(
            dimension=row.dimension_code,
            provenance=row.provenance,
            applies=bool(row.applies),
            lower_nm=row.lower_nm,
            upper_nm=row.upper_nm,
            count=row.count_value,
            choice=row.choice_value,
        )
    return found


def dimensions_of(reads: ReadSession, kind: str) -> Sequence[Row[Any]]:
    """Return (code, name) of a kind's dimensions in their order."""
    return reads.rows(
        select(_dimension.code, _dimension.name)
        .where(_dimension.kind_code == kind)
        .order_by(_dimension.sequence)
    )


def numbers_of(
    reads: ReadSession, *, part_id: str | None = None, starter_id: str | None = None
) -> Sequence[Row[Any]]:
    """Return (id, scheme, issuer, written) of the numbers of one part or one starter, withdrawn ones not."""
    owner = _number.part_id == part_id if part_id else _number.starter_id == starter_id
    return reads.rows(
        select(_number.id, _number.scheme, _number.issuer, _number.written)
        .where(owner, _number.withdrawn_on.is_(None))
        .order_by(_number.scheme, _number.issuer, _number.written)
    )


def numbers_by_form(reads: ReadSession, forms: Collection[str]) -> Sequence[Row[Any]]:
    """Return (id, part_id, starter_id, scheme, issuer, written, normalised) of numbers in these forms.

    Those alone that stand, and whose part or starter does.
    """
    return reads.rows(
        select(*_number).where(_number.normalised.in_(forms), number_stands()).order_by(_number.id)
    )


def numbers_of_items(reads: ReadSession, ids: Collection[str]) -> dict[str, list[Row[Any]]]:
    """Return (id, part_id, starter_id) of every number of some parts and starters, by their id."""
    found: dict[str, list[Row[Any]]] = defaultdict(list)
    for row in reads.rows(
        select(_number.id, _number.part_id, _number.starter_id)
        .where(_number.part_id.in_(ids) | _number.starter_id.in_(ids))
        .order_by(_number.id)
    ):
        found[row.part_id or row.starter_id].append(row)
    return found


def numbers_between(
    reads: ReadSession, first: str, last: str, lengths: Collection[int], most: int
) -> list[str]:
    """Return the normalised forms of these lengths from `first` to before `last`, `most` at most; of
    numbers that stand."""
    statement = (
        select(_number.normalised)
        .distinct()
        .where(
            _number.normalised >= first,
            _number.normalised < last,
            func.length(_number.normalised).in_(lengths),
            number_stands(),
        )
        .order_by(_number.normalised)
        .limit(most)
    )
    return [row.normalised for row in reads.rows(statement)]


def chains(reads: ReadSession, number_ids: Collection[str]) -> dict[str, list[Row[Any]]]:
    """Return each superseded number's steps to its current one, by number id; others are left out.

    A step has `start`, `number_id` (what came next), `part_id`, `starter_id`, `superseded_on`. Supersessions
    that are withdrawn end a chain; what is withdrawn of the items in it is stepped over.
    """
    if not number_ids:
        return {}
    steps = (
        select(
            _supersession.old_number_id.label("start"),
            _supersession.new_number_id.label("number_id"),
            _supersession.superseded_on.label("superseded_on"),
            literal(1).label("step"),
        )
        .where(_supersession.old_number_id.in_(number_ids), _supersession.withdrawn_on.is_(None))
        .cte("steps", recursive=True)
    )
    steps = steps.union_all(
        select(
            steps.c.start, _supersession.new_number_id, _supersession.superseded_on, steps.c.step + 1
        ).where(
            _supersession.old_number_id == steps.c.number_id,
            _supersession.withdrawn_on.is_(None),
            steps.c.step < LONGEST_CHAIN,
        )
    )
    found: dict[str, list[Row[Any]]] = defaultdict(list)
    for row in reads.rows(
        select(steps.c.start, steps.c.number_id, steps.c.superseded_on, _number.part_id, _number.starter_id)
        .join(Number, _number.id == steps.c.number_id)
        .where(number_stands())
        .order_by(steps.c.start, steps.c.step)
    ):
        found[row.start].append(row)
    return found


def successors_of_parts(reads: ReadSession, part_ids: Collection[str]) -> dict[str, str]:
    """Return the id of the part that directly replaced each superseded part, by the old part's id.

    Of several the least id.
    """
    if not part_ids:
        return {}
    rows = reads.rows(_successors_of_some(), {"ids": list(part_ids)})
    return {row.older: row.newer for row in rows}


def successors_of_kind(reads: ReadSession, kind: str) -> Sequence[Row[Any]]:
    """Return (older, newer) part ids of every superseded part of a kind, as `successors_of_parts` does."""
    return reads.rows(_successors().join(Part, _part.id == _number.part_id).where(_part.kind_code == kind))


@cache
def _successors_of_some() -> Select[Any]:
    """Build the query once, when every table is declared: building it takes far longer than running it."""
    return _successors().where(_number.part_id.in_(bindparam("ids", expanding=True)))


def _successors() -> Select[Any]:
    newer = SQLModel.metadata.tables["number"].alias("newer")
    return (
        select(_number.part_id.label("older"), newer.c.part_id.label("newer"))
        .join(Supersession, _supersession.old_number_id == _number.id)
        .join(newer, newer.c.id == _supersession.new_number_id)
        .where(
            newer.c.part_id.is_not(None),
            number_stands(newer.c),
            _supersession.withdrawn_on.is_(None),
        )
        .order_by(newer.c.part_id.desc())
    )
