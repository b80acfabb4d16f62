"""HTTP of the brush check: a brush, its holder, its starter."""

from collections.abc import Mapping

from api.fit.brushes.brush import judge_brush
from api.fit.brushes.brush_length import discard_lengths, judge_length
from api.fit.brushes.brush_load import (
    PRESSURES_KPA,
    current_density,
    judge_density,
    judge_spring,
    pressure_kpa,
)
from api.fit.brushes.brush_shapes import BrushCheckAnswer, BrushCheckRequest
from api.fit.brushes.read_brush import ReadBrush, read_brush
from api.fit.judging.cautions import BRUSH_CAUTIONS
from api.fit.judging.gaps import figure_mm
from api.fit.judging.reasons import Figure, Reason, grade_of, limiting_reason
from api.fit.reason_shapes import FitReport, caution_answers, figures_answer, fit_reason
from api.measurement.instruments import Instrument
from api.wire.operation import Operation, operation

EXAMPLE = {
    "holder": {"thickness": "8 mm E10", "width": "16.032..16.102 mm", "lead_reach": "39..41 mm"},
    "brush": {
        "condition": "worn",
        "thickness": {"text": "7.92 mm", "instrument": "outside_micrometer"},
        "width": {"text": "15.90 mm", "instrument": "outside_micrometer"},
        "length": "12.4 mm",
        "new_length": "15.7..16.3 mm",
        "lead_length": "43..47 mm",
        "count": 4,
        "rated_voltage": 12,
        "grade": "copper_rich_12v",
    },
    "starter": {"brush_count": 4, "rated_voltage": 12},
    "spring_force_newtons": 20,
    "cranking_current_amperes": 300,
}
NO_DENSITY_LIMIT = (
    "half of the brushes carry the current side by side; no source was found for what metal graphite stands "
    "for the seconds of cranking, so it is judged only against a limit that you state"
)


@operation(
    Operation(
        "POST",
        "/v1/fit-checks/brush",
        "check_brush",
        "fit checks",
        "Do these brushes run in that starter: holder, length, spring, current, grade, voltage",
        BrushCheckAnswer,
        body=BrushCheckRequest,
        example=EXAMPLE,
    )
)
def check_brush(body: BrushCheckRequest, instruments: Mapping[str, Instrument]) -> BrushCheckAnswer:
    """Judge a brush in its starter; what is not stated is unknown, never a pass."""
    read = read_brush(body, instruments)
    density = _density(read)
    reasons = [*judge_brush(read.brush, read.seat)]
    if read.worn:
        reasons.append(judge_length(read.length, read.new_length, read.discard_nm))
    if read.spring_newtons is not None:
        reasons.append(
            judge_spring(
                read.spring_newtons,
                read.seat.holder_thickness,
                read.seat.holder_width,
                least_newtons=read.least_spring_newtons,
                most_newtons=read.most_spring_newtons,
            )
        )
    if read.greatest_density is not None:
        reasons.append(_judge_density(density, read.greatest_density))
    limiting = limiting_reason(reasons)
    return BrushCheckAnswer(
        verdict=grade_of(reasons),
        limiting=fit_reason(reasons[0] if limiting is None else limiting),
        reasons=[fit_reason(reason) for reason in reasons],
        reported=[*_discards(read), *_pressures(read), *_densities(read, density)],
        cautions=caution_answers(BRUSH_CAUTIONS),
    )


def _density(read: ReadBrush) -> float | None:
    """Return the current density, or None where current, count, thickness or width is not known."""
    brush, seat = read.brush, read.seat
    count = brush.count if seat.count is None else seat.count
    if read.current_amperes is None or count is None or brush.thickness is None or brush.width is None:
        return None
    return current_density(read.current_amperes, count, brush.thickness.middle_nm, brush.width.middle_nm)


def _judge_density(density: float | None, greatest: float) -> Reason:
    if density is None:
        text = "the cranking current, the brush count, thickness and width have to be known"
        return Reason("current_density", "unknown", text)
    return judge_density(density, greatest)


def _discards(read: ReadBrush) -> list[FitReport]:
    if read.new_length is None:
        return []
    return [
        FitReport(
            topic="discard_length",
            text="the sources disagree; unless you state another, the stricter one is judged against: it is "
            "of starters, whose springs press less and whose leads run out of slack as brushes shorten",
            figures=figures_answer([figure_mm("discard_length", one.nm)]),
            source=one.source,
        )
        for one in discard_lengths(read.new_length)
    ]


def _pressures(read: ReadBrush) -> list[FitReport]:
    """Tell the specific pressure beside published ones, which are for other machines."""
    thickness, width = read.seat.holder_thickness, read.seat.holder_width
    if read.spring_newtons is None or thickness is None or width is None:
        return []
    own = pressure_kpa(read.spring_newtons, thickness.middle_nm, width.middle_nm)
    return [
        FitReport(
            topic="pressure",
            text="force over the section of the brush box (IEC TR 61015); the published range is of other "
            "machines, for comparison: starters press harder",
            figures=figures_answer(
                (
                    Figure("pressure_kpa", own),
                    Figure("published_least_kpa", least),
                    Figure("published_most_kpa", most),
                )
            ),
            source=name,
        )
        for name, least, most in PRESSURES_KPA
    ]


def _densities(read: ReadBrush, density: float | None) -> list[FitReport]:
    if density is None or read.greatest_density is not None:
        return []
    return [
        FitReport(
            topic="current_density",
            text=NO_DENSITY_LIMIT,
            figures=figures_answer([Figure("current_density_amperes_per_square_centimetre", density)]),
            source="arithmetic: current over half the brushes, thickness and width",
        )
    ]


ROUTES = (check_brush,)
