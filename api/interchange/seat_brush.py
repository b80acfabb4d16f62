"""Whether brushes of a size run in a starter's holders and are made for it. Pure."""

from api.fit.brushes.brush import Brush, BrushSeat, judge_brush
from api.fit.judging.reasons import Reason
from api.interchange.seat_features import SizeValues, seat_length, size_choice, size_count, size_length
from api.starters.entries import FamilyEntry, PositionEntry


def check_brush(family: FamilyEntry, position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    """Return what holders, count, voltage and the way of the leads say of a set of brushes."""
    brush = Brush(
        thickness=size_length(size, "thickness"),
        width=size_length(size, "width"),
        lead_length=size_length(size, "lead_length"),
        count=size_count(size, "brush_count"),
        rated_voltage=size_count(size, "rated_voltage"),
        grade=size_choice(size, "grade"),
    )
    seat = BrushSeat(
        holder_thickness=seat_length(position, "holder_thickness"),
        holder_width=seat_length(position, "holder_width"),
        lead_reach=seat_length(position, "lead_reach"),
        count=family.brush_count,
        rated_voltage=family.voltage,
    )
    return judge_brush(brush, seat)
