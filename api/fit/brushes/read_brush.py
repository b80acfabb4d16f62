"""From the request of a brush check to checked values: every fault at once, with its figures."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

import attrs

from api.fit.brushes.brush import Brush, BrushSeat
from api.fit.brushes.brush_shapes import MOST_BRUSHES, BrushCheckRequest
from api.fit.feature_fields import FeatureReader
from api.fit.judging.features import Feature
from api.fit.judging.gaps import gap_nm, span
from api.fit.stated_numbers import (
    MOST_AMPERES,
    MOST_AMPERES_PER_SQUARE_CENTIMETRE,
    MOST_NEWTONS,
    read_positive,
)
from api.measurement.instruments import Instrument

BY_FAR: Final = Fraction(3, 2)
"""A brush so many times as thick as its holder is wide was misread or swapped (our judgement)."""

LEAST_VOLTAGE: Final = 6
MOST_VOLTAGE: Final = 24


@attrs.frozen(kw_only=True)
class ReadBrush:
    """A whole request as read; limits and numbers are None where they were left out."""

    brush: Brush
    seat: BrushSeat
    worn: bool
    length: Feature | None
    new_length: Feature | None
    discard_nm: int | None
    spring_newtons: float | None
    least_spring_newtons: float | None
    most_spring_newtons: float | None
    current_amperes: float | None
    greatest_density: float | None


def read_brush(body: BrushCheckRequest, instruments: Mapping[str, Instrument]) -> ReadBrush:
    """Return a request's values; raises `InvalidInput` with every fault found."""
    reader = FeatureReader(instruments)
    told, starter, holder = body.brush, body.starter, body.holder
    brush = Brush(
        thickness=reader.feature(told.thickness, "brush", "thickness", role="shaft"),
        width=reader.feature(told.width, "brush", "width", role="shaft"),
        lead_length=reader.feature(told.lead_length, "brush", "lead_length"),
        count=_count(reader, told.count, "brush", "count"),
        rated_voltage=_voltage(reader, told.rated_voltage, "brush", "rated_voltage"),
        grade=told.grade,
        terminal=told.terminal,
        lead_exit=told.lead_exit,
        bevel=told.bevel,
    )
    seat = BrushSeat(
        holder_thickness=reader.feature(holder.thickness, "holder", "thickness", way="inside", role="hole"),
        holder_width=reader.feature(holder.width, "holder", "width", way="inside", role="hole"),
        lead_reach=reader.feature(holder.lead_reach, "holder", "lead_reach"),
        count=_count(reader, starter.brush_count, "starter", "brush_count"),
        rated_voltage=_voltage(reader, starter.rated_voltage, "starter", "rated_voltage"),
        grade=starter.grade,
        terminal=starter.terminal,
        lead_exit=starter.lead_exit,
        bevel=starter.bevel,
    )
    _check_sides(reader, brush, seat)
    read = _with_limits(reader, body, brush, seat)
    reader.settle()
    return read


def _with_limits(reader: FeatureReader, body: BrushCheckRequest, brush: Brush, seat: BrushSeat) -> ReadBrush:
    density = "greatest_current_density_amperes_per_square_centimetre"

    def newtons(told: float | None, name: str) -> float | None:
        return read_positive(reader, told, MOST_NEWTONS, "N", name)

    read = ReadBrush(
        brush=brush,
        seat=seat,
        worn=body.brush.condition == "worn",
        length=reader.feature(body.brush.length, "brush", "length"),
        new_length=reader.feature(body.brush.new_length, "brush", "new_length"),
        discard_nm=reader.length(body.discard_length, "discard_length"),
        spring_newtons=newtons(body.spring_force_newtons, "spring_force_newtons"),
        least_spring_newtons=newtons(body.least_spring_force_newtons, "least_spring_force_newtons"),
        most_spring_newtons=newtons(body.most_spring_force_newtons, "most_spring_force_newtons"),
        current_amperes=read_positive(
            reader, body.cranking_current_amperes, MOST_AMPERES, "A", "cranking_current_amperes"
        ),
        greatest_density=read_positive(
            reader, getattr(body, density), MOST_AMPERES_PER_SQUARE_CENTIMETRE, "A/cm2", density
        ),
    )
    _check_lengths(reader, read)
    least, most = read.least_spring_newtons, read.most_spring_newtons
    if least is not None and most is not None and least > most:
        reader.refuse(least, f"at most {most:g} N, the most stated", "reversed", "least_spring_force_newtons")
    return read


def _check_sides(reader: FeatureReader, brush: Brush, seat: BrushSeat) -> None:
    sides = (
        ("thickness", brush.thickness, seat.holder_thickness),
        ("width", brush.width, seat.holder_width),
    )
    for name, piece, holder in sides:
        if piece is None or holder is None:
            continue
        if piece.bounds_nm()[0] > BY_FAR * holder.bounds_nm()[1]:
            expected = (
                f"at most {float(BY_FAR):g} times its holder ({span(holder.bounds_nm())}); "
                "thickness is along the way of the commutator, width along its axis"
            )
            reader.refuse(span(piece.bounds_nm()), expected, "impossible", "brush", name)


def _check_lengths(reader: FeatureReader, read: ReadBrush) -> None:
    new, length, discard = read.new_length, read.length, read.discard_nm
    if new is not None and length is not None and gap_nm(new, length)[1] < 0:
        expected = f"no more than the length when new ({span(new.bounds_nm())})"
        reader.refuse(span(length.bounds_nm()), expected, "impossible", "brush", "length")
    if new is not None and discard is not None and discard >= new.bounds_nm()[1]:
        expected = f"less than the length when new ({span(new.bounds_nm())})"
        reader.refuse(span((discard, discard)), expected, "impossible", "discard_length")


def _count(reader: FeatureReader, told: int | None, *path: str) -> int | None:
    if told is None or (2 <= told <= MOST_BRUSHES and told % 2 == 0):
        return told
    reader.refuse(told, f"an even number from 2 to {MOST_BRUSHES}", "out_of_range", *path)
    return None


def _voltage(reader: FeatureReader, told: int | None, *path: str) -> int | None:
    if told is None or LEAST_VOLTAGE <= told <= MOST_VOLTAGE:
        return told
    reader.refuse(told, f"{LEAST_VOLTAGE} to {MOST_VOLTAGE} volts", "out_of_range", *path)
    return None
