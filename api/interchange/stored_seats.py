"""Queries: the seats that parts are listed for, as the fit checks take them."""

from collections import defaultdict
from collections.abc import Collection
from typing import Any

import attrs
from sqlalchemy import ColumnElement, select

from api.columns import columns
from api.database import ReadSession
from api.interchange.seats import Seat
from api.starters.entries import SeatFeatureEntry
from api.starters.store import CURRENT_LISTING, family_entry
from api.starters.tables import Family, Listing, Position, SeatFeature
from api.wear_parts.standing import part_stands
from api.wear_parts.tables import Part

_family = columns(Family)
_listing = columns(Listing)
_part = columns(Part)
_position = columns(Position)
_seat = columns(SeatFeature)


@attrs.frozen
class ListedSeat:
    """A seat, the family it is in, and the size of the parts that are listed for it."""

    size_id: str
    family: str
    seat: Seat


def seats_of_part(reads: ReadSession, part_id: str) -> list[ListedSeat]:
    """Return every seat that a part is listed for, in order of family and position."""
    return _seats(reads, _part.id == part_id)


def seats_of_sizes(reads: ReadSession, size_ids: Collection[str]) -> list[ListedSeat]:
    """Return every seat that a current part of some sizes is listed for, once for each of the sizes."""
    return _seats(reads, _part.size_id.in_(size_ids), part_stands())


def _seats(reads: ReadSession, *conditions: ColumnElement[bool]) -> list[ListedSeat]:
    listed = (
        select(_part.size_id, _listing.position_id)
        .join(Part, _part.id == _listing.part_id)
        .join(Position, _position.id == _listing.position_id)
        .join(Family, _family.id == _position.family_id)
        .where(*conditions, *CURRENT_LISTING)
        .distinct()
        .subquery()
    )
    positions = reads.rows(
        select(*_position, _family.code.label("family_code"), listed.c.size_id)
        .join(listed, listed.c.position_id == _position.id)
        .join(Family, _family.id == _position.family_id)
        .order_by(_family.code, _position.sequence, listed.c.size_id)
    )
    places = select(listed.c.position_id).distinct()
    features: dict[str, list[SeatFeatureEntry]] = defaultdict(list)
    for row in reads.rows(
        select(*_seat).where(_seat.position_id.in_(places)).order_by(_seat.position_id, _seat.feature)
    ):
        features[row.position_id].append(
            SeatFeatureEntry(
                feature=row.feature,
                lower_nm=row.lower_nm,
                upper_nm=row.upper_nm,
                count=row.count_value,
                text=row.text_value,
            )
        )
    owners = select(_position.family_id).where(_position.id.in_(places)).distinct()
    families: dict[str, Any] = {
        row.id: row for row in reads.rows(select(*_family).where(_family.id.in_(owners)))
    }
    seats: dict[str, Seat] = {}
    for row in positions:
        if row.id not in seats:
            family = family_entry(families[row.family_id], [row], features)
            seats[row.id] = Seat.of(family, family.positions[0])
    return [ListedSeat(row.size_id, row.family_code, seats[row.id]) for row in positions]
