"""Queries of interchange: parts by every filter, sizes alike, where a part is used."""

from collections.abc import Collection, Sequence
from typing import Any, Final

from sqlalchemy import ColumnElement, Row, Select, case, func, select, tuple_
from sqlmodel import SQLModel

from api.columns import columns
from api.database import ReadSession
from api.interchange.queries import PartQuery
from api.starters.store import CURRENT_LISTING
from api.starters.tables import Family, Listing, Position
from api.wear_parts.keys import split_key
from api.wear_parts.standing import part_stands
from api.wear_parts.tables import Maker, Number, Part, Size

_family = columns(Family)
_listing = columns(Listing)
_maker = columns(Maker)
_number = columns(Number)
_part = columns(Part)
_position = columns(Position)
_size = columns(Size)

LEAST_SHARED_LENGTHS: Final = 2
"""How many lengths two sizes have to record both before they are called alike (our judgement: one
length that happens to agree says nothing)."""


OTHER_THING: Final = "form"
"""The choice by which two sizes are different things and not look-alikes, whatever their lengths: the
battery-side contact, the motor-side contact and the disc of one solenoid switch."""


def _parts() -> Select[Any]:
    return (
        select(*_part, _maker.name.label("maker_name"), _size.code.label("size_code"))
        .join(Maker, _maker.code == _part.maker_code)
        .join(Size, _size.id == _part.size_id)
    )


def list_parts(
    reads: ReadSession, query: PartQuery, forms: Collection[str] | None, after: str | None
) -> tuple[Sequence[Row[Any]], int]:
    """Return one row more than the limit asks for, by maker code and number, and how many match in all.

    Only parts that stand. `forms` are normalised numbers, any one of which a part must go by; `after` is the
    last key seen.
    """
    conditions: list[ColumnElement[bool]] = [part_stands()]
    if query.kind is not None:
        conditions.append(_part.kind_code == query.kind)
    if query.maker is not None:
        conditions.append(_part.maker_code == query.maker)
    if query.size is not None:
        conditions.append(_size.code == query.size)
    if forms is not None:
        numbers = _number.normalised.in_(forms) & _number.withdrawn_on.is_(None)
        conditions.append(_part.id.in_(select(_number.part_id).where(numbers)))
    if query.family is not None or query.position is not None:
        conditions.append(_part.id.in_(_listed_for(query.family, query.position)))
    counted = select(func.count()).select_from(Part).join(Size, _size.id == _part.size_id)
    total = reads.number(counted.where(*conditions))
    statement = _parts().where(*conditions).order_by(_part.maker_code, _part.number)
    if after is not None:
        statement = statement.where(tuple_(_part.maker_code, _part.number) > split_key(after))
    return reads.rows(statement.limit(query.limit + 1)), total


def _listed_for(family: str | None, position: str | None) -> Select[Any]:
    listed = (
        select(_listing.part_id)
        .join(Position, _position.id == _listing.position_id)
        .join(Family, _family.id == _position.family_id)
        .where(*CURRENT_LISTING)
    )
    if family is not None:
        listed = listed.where(_family.code == family)
    return listed if position is None else listed.where(_position.code == position)


def parts_by_id(reads: ReadSession, ids: Collection[str]) -> dict[str, Row[Any]]:
    """Return the rows of parts (with `maker_name` and `size_code`), by id."""
    if not ids:
        return {}
    return {row.id: row for row in reads.rows(_parts().where(_part.id.in_(ids)))}


def parts_of_sizes(reads: ReadSession, size_ids: Collection[str]) -> Sequence[Row[Any]]:
    """Return the rows of all parts of some sizes that are not withdrawn, by maker code and number."""
    if not size_ids:
        return []
    return reads.rows(
        _parts().where(_part.size_id.in_(size_ids), part_stands()).order_by(_part.maker_code, _part.number)
    )


def alike_sizes(reads: ReadSession, size_ids: Collection[str]) -> Sequence[Row[Any]]:
    """Return (reference, candidate, differing) of each pair of sizes that overlap in every length.

    `reference` is one of `size_ids`; a dimension that one of the two does not record is passed over;
    `differing` counts the counts and choices in which they differ.
    """
    if not size_ids:
        return []
    table = SQLModel.metadata.tables["size_value"]
    one, other = table.alias("one").c, table.alias("other").c
    apart = (other.lower_nm > one.upper_nm) | (other.upper_nm < one.lower_nm) | (other.applies != one.applies)
    differs = (other.count_value != one.count_value) | (other.choice_value != one.choice_value)
    apart |= (one.dimension_code == OTHER_THING) & differs
    both = one.lower_nm.is_not(None) & other.lower_nm.is_not(None)
    differing = func.sum(case((differs, 1), else_=0))
    return reads.rows(
        select(one.size_id.label("reference"), other.size_id.label("candidate"), differing.label("differing"))
        .where(
            one.size_id.in_(size_ids),
            other.kind_code == one.kind_code,
            other.dimension_code == one.dimension_code,
            other.size_id != one.size_id,
        )
        .group_by(one.size_id, other.size_id)
        .having(
            func.sum(case((apart, 1), else_=0)) == 0,
            func.sum(case((both, 1), else_=0)) >= LEAST_SHARED_LENGTHS,
        )
        .order_by(one.size_id, other.size_id)
    )


def where_used(
    reads: ReadSession, part_id: str, after: str | None, limit: int
) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` families that a part is listed for, in order of code, and how many there are."""
    families = (
        select(_position.family_id)
        .join(Listing, _listing.position_id == _position.id)
        .where(_listing.part_id == part_id, _listing.withdrawn_on.is_(None), _position.withdrawn_on.is_(None))
    )
    uses = _family.id.in_(families) & _family.withdrawn_on.is_(None)
    total = reads.number(select(func.count()).select_from(Family).where(uses))
    statement = select(*_family).where(uses).order_by(_family.code).limit(limit)
    if after is not None:
        statement = statement.where(_family.code > after)
    return reads.rows(statement), total


def positions_used(
    reads: ReadSession, part_id: str, family_ids: Collection[str]
) -> dict[str, list[tuple[str, int]]]:
    """Return (position code, quantity) for which a part is listed, by family id."""
    found: dict[str, list[tuple[str, int]]] = {family: [] for family in family_ids}
    if not family_ids:
        return found
    for row in reads.rows(
        select(_position.family_id, _position.code, _position.quantity)
        .join(Listing, _listing.position_id == _position.id)
        .where(
            _listing.part_id == part_id,
            _position.family_id.in_(family_ids),
            _listing.withdrawn_on.is_(None),
            _position.withdrawn_on.is_(None),
        )
        .order_by(_position.family_id, _position.sequence)
    ):
        found[row.family_id].append((row.code, row.quantity))
    return found


def count_listings(reads: ReadSession, part_id: str) -> int:
    """Return for how many positions a part is listed; listings, positions and families that stand count."""
    return reads.number(
        select(func.count())
        .select_from(Listing)
        .join(Position, _position.id == _listing.position_id)
        .join(Family, _family.id == _position.family_id)
        .where(_listing.part_id == part_id, *CURRENT_LISTING)
    )
