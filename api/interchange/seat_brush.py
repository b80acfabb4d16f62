"""Whether brushes of a size run in a starter's holders and are made for it. Pure."""

from typing import Final

from api.fit.brushes.brush import Brush, BrushSeat
from api.interchange.seat_features import SizeValues, seat_length, size_choice, size_count, size_length
from api.starters.entries import FamilyEntry, PositionEntry

DIMENSIONS: Final = frozenset({"thickness", "width", "brush_count", "rated_voltage", "lead_length"})
"""Of which dimensions holders, count, voltage and the way of the leads say something."""


def brush_of(size: SizeValues) -> Brush:
    """Return a brush of a set as far as the check reads what its size records."""
    return Brush(
        thickness=size_length(size, "thickness"),
        width=size_length(size, "width"),
        lead_length=size_length(size, "lead_length"),
        count=size_count(size, "brush_count"),
        rated_voltage=size_count(size, "rated_voltage"),
        grade=size_choice(size, "grade"),
    )


def seat_of(family: FamilyEntry, position: PositionEntry) -> BrushSeat:
    """Return what a starter takes of brushes: holders, count, voltage and the way of the leads."""
    return BrushSeat(
        holder_thickness=seat_length(position, "holder_thickness"),
        holder_width=seat_length(position, "holder_width"),
        lead_reach=seat_length(position, "lead_reach"),
        count=family.brush_count,
        rated_voltage=family.voltage,
    )
