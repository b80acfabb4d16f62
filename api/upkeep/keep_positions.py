"""Keep positions and their seats, and say what may not change while parts are listed for them."""

from collections.abc import Iterable

from sqlalchemy import delete, func, insert, select, update
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import FieldFault, shown
from api.exchange.catalogue_rows import position_row, seat_row
from api.starters.entries import PositionEntry, SeatFeatureEntry
from api.starters.tables import Listing, Position, SeatFeature
from api.wear_parts.tables import Part
from api.wear_parts.value_text import range_text

_listing = columns(Listing)
_part = columns(Part)
_position = columns(Position)
_seat = columns(SeatFeature)


def seat_members(seat: Iterable[SeatFeatureEntry]) -> dict[str, object] | None:
    """Return a seat in the words of the catalogue's files, or nothing where nothing is recorded."""
    return {feature.feature: _words(feature) for feature in seat} or None


def _words(feature: SeatFeatureEntry) -> object:
    if feature.lower_nm is not None and feature.upper_nm is not None:
        return range_text(feature.lower_nm, feature.upper_nm)
    return feature.text if feature.count is None else feature.count


def add_position(writes: WriteSession, family_id: str, sequence: int, position: PositionEntry) -> None:
    """Add a position with its seat to a family."""
    position_id = str(uuid7())
    writes.run(insert(Position), {"id": position_id, **position_row(family_id, sequence, position)})
    _add_seat(writes, position_id, position)


def change_position(
    writes: WriteSession, position_id: str, family_id: str, sequence: int, position: PositionEntry
) -> None:
    """Put a position and its seat in place of a stored one."""
    values = position_row(family_id, sequence, position)
    writes.run(update(Position).where(_position.id == position_id).values(**values))
    writes.run(delete(SeatFeature).where(_seat.position_id == position_id))
    _add_seat(writes, position_id, position)


def _add_seat(writes: WriteSession, position_id: str, position: PositionEntry) -> None:
    rows = [seat_row(position_id, feature) for feature in position.seat]
    if rows:
        writes.run(insert(SeatFeature), rows)


def withdraw_position(writes: WriteSession, position_id: str, day: str | None) -> None:
    """Withdraw a position from a day on, or (None) restore it."""
    writes.run(update(Position).where(_position.id == position_id).values(withdrawn_on=day))


def next_sequence(reads: ReadSession, family_id: str) -> int:
    """Return the place behind a family's last position."""
    last = select(func.coalesce(func.max(_position.sequence), 0)).where(_position.family_id == family_id)
    return reads.number(last) + 1


def kind_faults(
    reads: ReadSession, family_id: str, position: str, kind: str | None, *path: str | int
) -> list[FieldFault]:
    """Return the fault of a kind that is not the one of the parts that are listed for a position."""
    rows = reads.rows(
        select(_part.kind_code)
        .distinct()
        .join(Listing, _listing.part_id == _part.id)
        .join(Position, _position.id == _listing.position_id)
        .where(_position.family_id == family_id, _position.code == position, _listing.withdrawn_on.is_(None))
    )
    others = sorted(row.kind_code for row in rows if row.kind_code != kind)
    if not others:
        return []
    expected = f"{' and '.join(others)}, the kind of the parts that are listed for it"
    return [FieldFault((*path, "kind"), shown(kind or ""), expected, "other_kind")]
