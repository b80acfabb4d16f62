"""Queries: the seats that parts are listed for, as the fit checks take them."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from functools import cache
from typing import Any, Final

import attrs
from sqlalchemy import ColumnElement, Row, Select, bindparam, select

from api.columns import columns
from api.database import ReadSession
from api.interchange.seats import Seat
from api.starters.entries import PositionEntry, SeatFeatureEntry
from api.starters.store import family_entry
from api.starters.tables import Family, Listing, Position, SeatFeature
from api.wear_parts.standing import part_stands
from api.wear_parts.tables import Part

_family = columns(Family)
_listing = columns(Listing)
_part = columns(Part)
_position = columns(Position)
_seat = columns(SeatFeature)

AT_ONCE: Final = 5_000
"""Positions asked for in one statement; drivers take some 30,000 values (our judgement)."""


@attrs.frozen
class ListedSeat:
    """A seat, the family it is in, and the size of the parts that are listed for it."""

    size_id: str
    family: str
    seat: Seat


def seats_of_part(reads: ReadSession, part_id: str) -> list[ListedSeat]:
    """Return every seat that a part is listed for, in order of family and position."""
    return _seats(reads, reads.rows(_listed_of_part(), {"id": part_id}))


def seats_of_sizes(reads: ReadSession, size_ids: Collection[str]) -> list[ListedSeat]:
    """Return every seat that a current part of some sizes is listed for, once for each of the sizes."""
    if not size_ids:
        return []
    return _seats(reads, reads.rows(_listed_of_sizes(), {"ids": list(size_ids)}))


def _seats(reads: ReadSession, listed: Iterable[Row[Any]]) -> list[ListedSeat]:
    """Return the seats of (size_id, position_id) where the position and its family stand."""
    sizes_at: dict[str, list[str]] = defaultdict(list)
    for row in listed:
        sizes_at[row.position_id].append(row.size_id)
    ids = list(sizes_at)
    batches = [{"ids": ids[start : start + AT_ONCE]} for start in range(0, len(ids), AT_ONCE)]
    positions = [row for asked in batches for row in reads.rows(_positions(), asked)]
    features: dict[str, list[SeatFeatureEntry]] = defaultdict(list)
    for row in (row for asked in batches for row in reads.rows(_features(), asked)):
        features[row.position_id].append(
            SeatFeatureEntry(
                feature=row.feature,
                lower_nm=row.lower_nm,
                upper_nm=row.upper_nm,
                count=row.count_value,
                text=row.text_value,
            )
        )
    return [
        ListedSeat(size_id, row.code, seat)
        for row in sorted(positions, key=lambda row: (row.code, row.sequence))
        for seat in (_seat_of(row, features[row.position_id]),)
        for size_id in sorted(sizes_at[row.position_id])
    ]


def _seat_of(row: Row[Any], features: list[SeatFeatureEntry]) -> Seat:
    position = PositionEntry(
        code=row.position_code, kind=row.kind_code, quantity=row.quantity, seat=tuple(features)
    )
    return Seat.of(family_entry(row, (), {}), position)


# Each statement is built once, when every table is declared: building it takes longer than running it.


@cache
def _listed_of_part() -> Select[Any]:
    return _listed(_part.id == bindparam("id"))


@cache
def _listed_of_sizes() -> Select[Any]:
    return _listed(_part.size_id.in_(bindparam("ids", expanding=True)), part_stands())


def _listed(*conditions: ColumnElement[bool]) -> Select[Any]:
    """Select (size_id, position_id); whether a position stands is asked once each, not for every listing."""
    return (
        select(_part.size_id, _listing.position_id)
        .join(Part, _part.id == _listing.part_id)
        .where(*conditions, _listing.withdrawn_on.is_(None))
        .distinct()
    )


@cache
def _positions() -> Select[Any]:
    return (
        select(
            _position.id.label("position_id"),
            _position.code.label("position_code"),
            _position.kind_code,
            _position.quantity,
            _position.sequence,
            *_family,
        )
        .join(Family, _family.id == _position.family_id)
        .where(
            _position.id.in_(bindparam("ids", expanding=True)),
            _position.withdrawn_on.is_(None),
            _family.withdrawn_on.is_(None),
        )
    )


@cache
def _features() -> Select[Any]:
    return (
        select(*_seat)
        .where(_seat.position_id.in_(bindparam("ids", expanding=True)))
        .order_by(_seat.position_id, _seat.feature)
    )
