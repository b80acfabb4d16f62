"""Queries of families, positions with seats, starters and listings."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from typing import Any, Final

from sqlalchemy import ColumnElement, Row, Select, func, select, tuple_

from api.columns import columns
from api.database import ReadSession
from api.starters.entries import FamilyEntry, PinionEntry, PositionEntry, SeatFeatureEntry
from api.starters.queries import MODULE_TOLERANCE_NM, FamilyQuery
from api.starters.tables import Family, Listing, Position, SeatFeature, Starter
from api.wear_parts.keys import split_key
from api.wear_parts.standing import part_stands, starter_stands
from api.wear_parts.tables import Maker, Number, Part, Size

_family = columns(Family)
_listing = columns(Listing)
_maker = columns(Maker)
_number = columns(Number)
_part = columns(Part)
_position = columns(Position)
_seat = columns(SeatFeature)
_size = columns(Size)
_starter = columns(Starter)

CURRENT_LISTING: Final = (
    _listing.withdrawn_on.is_(None),
    _position.withdrawn_on.is_(None),
    _family.withdrawn_on.is_(None),
)
"""The condition that a listing, its position and its family stand; for a query that joins the three."""

_EQUAL = ("construction", "voltage", "rotation", "field", "pole_count", "brush_count", "mounting_holes")


def _family_conditions(query: FamilyQuery, lengths: Mapping[str, int]) -> list[ColumnElement[bool]]:
    conditions = [_family[name] == value for name in _EQUAL if (value := getattr(query, name)) is not None]
    conditions.append(_family.withdrawn_on.is_(None))
    if query.teeth is not None:
        conditions.append(_family.pinion_teeth == query.teeth)
    if query.diametral_pitch is not None:
        conditions.append(_family.pinion_diametral_pitch == query.diametral_pitch)
    if query.min_power_w is not None:
        conditions.append(_family.rated_power_w >= query.min_power_w)
    if query.max_power_w is not None:
        conditions.append(_family.rated_power_w <= query.max_power_w)
    if "module" in lengths:
        conditions.append(_near(_family.pinion_module_nm, lengths["module"], MODULE_TOLERANCE_NM))
    if "pilot_diameter" in lengths:
        conditions.append(
            _near(_family.pilot_diameter_nm, lengths["pilot_diameter"], lengths["pilot_tolerance"])
        )
    if query.position is not None:
        holds = select(_position.id).where(
            _position.family_id == _family.id,
            _position.code == query.position,
            _position.withdrawn_on.is_(None),
        )
        conditions.append(holds.exists())
    if query.q is not None:
        sought = query.q.lower()
        named = func.lower(_family.name).contains(sought, autoescape=True)
        conditions.append(func.lower(_family.code).contains(sought, autoescape=True) | named)
    return conditions


def _near(column: ColumnElement[Any], nm: int, tolerance_nm: int) -> ColumnElement[bool]:
    return column.between(nm - tolerance_nm, nm + tolerance_nm)


def list_families(
    reads: ReadSession, query: FamilyQuery, lengths: Mapping[str, int]
) -> tuple[Sequence[Row[Any]], int]:
    """Return one row more than the limit asks for, in order of code, and how many match in all."""
    conditions = _family_conditions(query, lengths)
    total = reads.number(select(func.count()).select_from(Family).where(*conditions))
    after = query.after("/v1/families")
    statement = select(*_family).where(*conditions).order_by(_family.code).limit(query.limit + 1)
    if after is not None:
        statement = statement.where(_family.code > after)
    return reads.rows(statement), total


def find_family(reads: ReadSession, code: str) -> Row[Any] | None:
    """Return a family's row, whether or not it is withdrawn, or nothing."""
    return reads.first(select(*_family).where(_family.code == code))


def family_codes(reads: ReadSession) -> list[str]:
    """Return the codes of all families that are not withdrawn."""
    current = select(_family.code).where(_family.withdrawn_on.is_(None)).order_by(_family.code)
    return [row[0] for row in reads.rows(current)]


def _positions() -> Select[Any]:
    listed = (
        select(func.count())
        .select_from(Listing)
        .join(Part, _part.id == _listing.part_id)
        .where(
            _listing.position_id == _position.id,
            _listing.withdrawn_on.is_(None),
            part_stands(),
        )
        .scalar_subquery()
    )
    return select(
        _position.id,
        _position.code,
        _position.kind_code,
        _position.quantity,
        _position.withdrawn_on,
        listed.label("listed_parts"),
    )


def positions_of(reads: ReadSession, family_id: str) -> Sequence[Row[Any]]:
    """Return (id, code, kind_code, quantity, withdrawn_on, listed_parts) of a family's positions in order.

    Withdrawn ones are left out.
    """
    return reads.rows(
        _positions()
        .where(_position.family_id == family_id, _position.withdrawn_on.is_(None))
        .order_by(_position.sequence)
    )


def find_position(reads: ReadSession, family: str, code: str) -> Row[Any] | None:
    """Return a position's row as `positions_of` does, withdrawn or not, or nothing.

    With it come `family_id`, `family_code`, `construction` and `family_withdrawn_on`.
    """
    return reads.first(
        _positions()
        .add_columns(
            _position.family_id,
            _family.code.label("family_code"),
            _family.construction,
            _family.withdrawn_on.label("family_withdrawn_on"),
        )
        .join(Family, _family.id == _position.family_id)
        .where(_family.code == family, _position.code == code)
    )


def seats_of(reads: ReadSession, family_id: str) -> dict[str, list[SeatFeatureEntry]]:
    """Return the seat features of a family's positions, by position id, in order of name."""
    return _seats(reads, _position.family_id == family_id)


def seat_of(reads: ReadSession, position_id: str) -> list[SeatFeatureEntry]:
    """Return the seat features of one position in order of name."""
    return _seats(reads, _position.id == position_id)[position_id]


def _seats(reads: ReadSession, condition: ColumnElement[bool]) -> dict[str, list[SeatFeatureEntry]]:
    found: dict[str, list[SeatFeatureEntry]] = defaultdict(list)
    for row in reads.rows(
        select(*_seat)
        .join(Position, _position.id == _seat.position_id)
        .where(condition)
        .order_by(_seat.position_id, _seat.feature)
    ):
        found[row.position_id].append(
            SeatFeatureEntry(
                feature=row.feature,
                lower_nm=row.lower_nm,
                upper_nm=row.upper_nm,
                count=row.count_value,
                text=row.text_value,
            )
        )
    return found


def count_starters(reads: ReadSession, family_id: str) -> int:
    """Return how many units of a family are catalogued and not withdrawn."""
    current = (_starter.family_id == family_id, starter_stands(_starter))
    return reads.number(select(func.count()).select_from(Starter).where(*current))


def _starters() -> Select[Any]:
    return (
        select(*_starter, _maker.name.label("maker_name"), _family.code.label("family_code"))
        .join(Maker, _maker.code == _starter.maker_code)
        .join(Family, _family.id == _starter.family_id)
    )


def list_starters(
    reads: ReadSession,
    *,
    family: str | None,
    maker: str | None,
    forms: Collection[str] | None,
    after: str | None,
    limit: int,
) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` current starters by maker code and number, and how many match in all.

    `forms` are normalised numbers, any one of which a starter must go by.
    """
    conditions: list[ColumnElement[bool]] = [starter_stands(_starter)]
    if family is not None:
        conditions.append(_family.code == family)
    if maker is not None:
        conditions.append(_starter.maker_code == maker)
    if forms is not None:
        owners = select(_number.starter_id).where(
            _number.normalised.in_(forms), _number.withdrawn_on.is_(None)
        )
        conditions.append(_starter.id.in_(owners))
    counted = select(func.count()).select_from(Starter).join(Family, _family.id == _starter.family_id)
    total = reads.number(counted.where(*conditions))
    statement = _starters().where(*conditions).order_by(_starter.maker_code, _starter.number).limit(limit)
    if after is not None:
        statement = statement.where(tuple_(_starter.maker_code, _starter.number) > split_key(after))
    return reads.rows(statement), total


def starters_by_id(reads: ReadSession, ids: Collection[str]) -> dict[str, Row[Any]]:
    """Return the rows of starters (with `maker_name` and `family_code`), by id."""
    if not ids:
        return {}
    return {row.id: row for row in reads.rows(_starters().where(_starter.id.in_(ids)))}


def listings_of_family(reads: ReadSession, family_id: str) -> Sequence[Row[Any]]:
    """Return (position_id, part_id, size_id) of every listing of a family that stands, as its part does."""
    return reads.rows(
        select(_listing.position_id, _listing.part_id, _part.size_id)
        .join(Position, _position.id == _listing.position_id)
        .join(Part, _part.id == _listing.part_id)
        .where(
            _position.family_id == family_id,
            _position.withdrawn_on.is_(None),
            _listing.withdrawn_on.is_(None),
            part_stands(),
        )
        .order_by(_part.size_id)
    )


def _listings() -> Select[Any]:
    return (
        select(
            _listing.position_id,
            _listing.withdrawn_on,
            _family.code.label("family_code"),
            _position.code.label("position_code"),
            _part.id,
            _part.maker_code,
            _part.number,
            _part.description,
            _maker.name.label("maker_name"),
            _size.code.label("size_code"),
        )
        .join(Position, _position.id == _listing.position_id)
        .join(Family, _family.id == _position.family_id)
        .join(Part, _part.id == _listing.part_id)
        .join(Maker, _maker.code == _part.maker_code)
        .join(Size, _size.id == _part.size_id)
    )


def list_listings(
    reads: ReadSession, position_id: str, after: str | None, limit: int
) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` listings of a position that stand, as their parts do, and how many there are.

    In order of maker code and number; a row has the listing's columns and those of `part_reference`.
    """
    conditions = (
        _listing.position_id == position_id,
        _listing.withdrawn_on.is_(None),
        part_stands(),
    )
    counted = select(func.count()).select_from(Listing).join(Part, _part.id == _listing.part_id)
    total = reads.number(counted.where(*conditions))
    statement = _listings().where(*conditions).order_by(_part.maker_code, _part.number).limit(limit)
    if after is not None:
        statement = statement.where(tuple_(_part.maker_code, _part.number) > split_key(after))
    return reads.rows(statement), total


def find_listing(reads: ReadSession, family: str, position: str, part_id: str) -> Row[Any] | None:
    """Return a listing's row as `list_listings` does, withdrawn or not, or nothing."""
    return reads.first(
        _listings().where(_family.code == family, _position.code == position, _part.id == part_id)
    )


def family_entry(
    row: Row[Any], positions: Sequence[Row[Any]], seats: Mapping[str, Sequence[SeatFeatureEntry]]
) -> FamilyEntry:
    """Return a stored family as the rules take it, from its rows."""
    return FamilyEntry(
        code=row.code,
        name=row.name,
        construction=row.construction,
        voltage=row.voltage,
        rated_power_w=row.rated_power_w,
        rotation=row.rotation,
        field=row.field,
        pole_count=row.pole_count,
        brush_count=row.brush_count,
        internal_reduction_thousandths=row.internal_reduction_thousandths,
        pinion=PinionEntry(
            teeth=row.pinion_teeth,
            diametral_pitch=row.pinion_diametral_pitch,
            module_nm=row.pinion_module_nm,
            pressure_angle_millidegrees=row.pressure_angle_millidegrees,
            profile_shift_thousandths=row.profile_shift_thousandths,
        ),
        pilot_diameter_nm=row.pilot_diameter_nm,
        mounting_holes=row.mounting_holes,
        access_class=row.access_class,
        notes=row.notes,
        positions=tuple(
            PositionEntry(
                code=one.code,
                kind=one.kind_code,
                quantity=one.quantity,
                seat=tuple(seats.get(one.id, ())),
            )
            for one in positions
        ),
    )
