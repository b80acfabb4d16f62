"""Does a bush fit: does it hold in its seat, does the shaft turn in it, is it as long as the seat? Pure.

Figures at assembly and at the coldest and hottest temperature, each as an interval (limits, and twice the
uncertainty of readings) and as a chance. What is not known of materials and housing is taken as anything
usual, and the answer has to be the same for all of it. The verdict rests on chances over the whole range
of temperatures: `SURE` both to hold and to run. A fit whose limits never overlap has chance 1, so the
classic rule of limits is contained in it; but limits that overlap in a corner which hardly ever occurs are
not refused, as ISO 2795's own classes would be beside a hot aluminium housing.
"""

from collections.abc import Sequence
from typing import Final

import attrs

from api.fit.bushings.bushing_pieces import (
    REFERENCE_CELSIUS,
    Bush,
    BushSeat,
    Journal,
    Make,
    Moment,
    Pieces,
    Temperatures,
    possible_makes,
)
from api.fit.bushings.bushing_press import (
    PRESSED_SAFELY,
    PressingIn,
    judge_hold,
    pressing_in,
    shown_mm,
    span_text,
)
from api.fit.bushings.bushing_running import Rework, Verdict, judge_running
from api.fit.bushings.bushing_states import (
    BushingState,
    Running,
    Span,
    chance_of_interference,
    interference_span,
)
from api.fit.bushings.close_in import close_in_of
from api.fit.judging.differences import difference
from api.fit.judging.gaps import exact_span
from api.fit.judging.reasons import Figure, Grade, Reason, grade_of, limiting_reason

SHORTEST_SHARE: Final = 0.8
"""Least share of its seat's depth that a bush should fill (our judgement)."""

YEAR_ROUND: Final = Temperatures()


@attrs.frozen(kw_only=True)
class BushingFit:
    """Whether a bush fits: the verdict, what decides it, and every figure.

    `states` are at assembly, cold and hot; `pressing` is None where diameters are missing; `makes` are
    the materials that were weighed.
    """

    verdict: Grade
    limiting: Reason
    reasons: tuple[Reason, ...]
    states: tuple[BushingState, ...]
    pressing: PressingIn | None
    rework: Rework | None
    makes: tuple[Make, ...]


def judge_bushing(
    bush: Bush, seat: BushSeat, shaft: Journal, temperatures: Temperatures = YEAR_ROUND
) -> BushingFit:
    """Return whether a bush fits its seat and its shaft; what is not known is None.

    Material codes have to be known ones (KeyError). What the figures rest on stands in the reasons, one
    for each of `outside_diameter`, `bore` and `length`.
    """
    makes = possible_makes(bush, seat, shaft)
    ways = _ways(bush, seat, shaft, makes, temperatures)
    states = tuple(_state(bush, seat, makes, ways, at) for at in temperatures.moments())
    running = _judge_bore(bush, seat, shaft, ways, states)
    tight = _tight(bush, seat, makes, states[0].celsius)
    reasons = (judge_hold(bush, seat, states, tight), running.reason, judge_length(bush, seat))
    verdict = grade_of(reasons)
    interference = states[0].interference_nm
    return BushingFit(
        verdict=verdict,
        limiting=limiting_reason(reasons) or reasons[0],
        reasons=reasons,
        states=states,
        pressing=None if interference is None else pressing_in(bush, seat, makes, interference),
        rework=running.rework,
        makes=makes,
    )


def bush_fits(bush: Bush, seat: BushSeat, shaft: Journal, temperatures: Temperatures = YEAR_ROUND) -> bool:
    """Return whether the verdict of `judge_bushing` is `fits`; the quickest checks come first."""
    if judge_length(bush, seat).verdict != "fits":
        return False
    makes = possible_makes(bush, seat, shaft)
    states = tuple(_state(bush, seat, makes, (), at) for at in temperatures.moments())
    if judge_hold(bush, seat, states, _tight(bush, seat, makes, states[0].celsius)).verdict != "fits":
        return False
    ways = _ways(bush, seat, shaft, makes, temperatures)
    states = tuple(_state(bush, seat, makes, ways, at) for at in temperatures.moments())
    return _judge_bore(bush, seat, shaft, ways, states).reason.verdict == "fits"


def judge_length(bush: Bush, seat: BushSeat) -> Reason:
    """Return what the length without the flange says beside the depth of the seat."""
    if bush.length is None or seat.depth is None:
        missing = "length of the bush" if bush.length is None else "depth of the seat"
        return Reason("length", "unknown", f"the {missing} is not known")
    flange = bush.flange_thickness.bounds_nm() if bush.flange_thickness is not None else (0, 0)
    least, most = bush.length.bounds_nm()
    shortest, longest = least - flange[1], most - flange[0]
    depth = seat.depth.bounds_nm()
    told = f"{exact_span((shortest, longest))} in a seat {exact_span(depth)} deep"
    figures = (
        Figure("shortest_mm", shown_mm(shortest)),
        Figure("longest_mm", shown_mm(longest)),
        Figure("least_depth_mm", shown_mm(depth[0])),
        Figure("greatest_depth_mm", shown_mm(depth[1])),
    )
    verdict: Grade = "fits"
    if seat.form == "blind" and shortest > depth[1]:
        verdict, told = "does_not_fit", f"{told}: it stands out of a blind seat"
    elif longest > (depth[0] if seat.form == "blind" else depth[1]):
        verdict, told = "unknown", f"{told}: it may stand out"
    elif shortest < SHORTEST_SHARE * depth[0]:
        verdict, told = "unknown", f"{told}: it fills less than four fifths"
    return Reason("length", verdict, told, figures=figures)


def _tight(bush: Bush, seat: BushSeat, makes: tuple[Make, ...], celsius: float) -> Span | None:
    """Return how probably the interference is more than is pressed in without harm, None if not known."""
    if bush.outside_diameter is None or seat.bore is None:
        return None
    limit = PRESSED_SAFELY.at(bush.outside_diameter.middle_nm)
    return chance_of_interference(bush.outside_diameter, seat.bore, makes, celsius, limit)


def _ways(
    bush: Bush, seat: BushSeat, shaft: Journal, makes: Sequence[Make], temperatures: Temperatures
) -> tuple[Running, ...]:
    """Return every way in which the shaft may run in the bush; none where a diameter is missing."""
    pieces = Pieces.known(bush, seat, shaft)
    if pieces is None:
        return ()
    # A bore read in its seat was read at reference temperature: from there on it moves elastically.
    pressed = REFERENCE_CELSIUS if bush.bore_state == "installed" else temperatures.assembly
    return tuple(Running(pieces, make, close_in_of(pieces, bush.bore_state, make), pressed) for make in makes)


def _state(
    bush: Bush,
    seat: BushSeat,
    makes: tuple[Make, ...],
    ways: Sequence[Running],
    at: tuple[Moment, float],
) -> BushingState:
    moment, celsius = at
    interference = holds = None
    if bush.outside_diameter is not None and seat.bore is not None:
        interference = interference_span(bush.outside_diameter, seat.bore, makes, celsius)
        holds = chance_of_interference(bush.outside_diameter, seat.bore, makes, celsius)
    return BushingState(
        moment=moment,
        celsius=celsius,
        interference_nm=interference,
        holds=holds,
        close_in_nm=Span.around(way.close_in_span(celsius) for way in ways) if ways else None,
        clearance_nm=Span.around(way.clearance_span(celsius) for way in ways) if ways else None,
        runs=Span.around(way.chance_above(0.0, celsius) for way in ways) if ways else None,
    )


def _judge_bore(
    bush: Bush, seat: BushSeat, shaft: Journal, ways: Sequence[Running], states: Sequence[BushingState]
) -> Verdict:
    if ways:
        return judge_running(ways[0].pieces, ways, states, free=bush.bore_state == "free")
    if bush.bore is None or shaft.diameter is None:
        missing = "bore of the bush" if bush.bore is None else "diameter of the shaft"
        return Verdict(reason=Reason("bore", "unknown", f"the {missing} is not known"))
    if bush.outside_diameter is not None and bush.bore.middle_nm >= bush.outside_diameter.middle_nm:
        return Verdict(reason=Reason("bore", "does_not_fit", "the bush would have no wall"))
    free = difference(bush.bore, shaft.diameter)
    told = f"clearance on the shaft {span_text(Span(free.least_nm, free.most_nm))}"
    why = "how far the bore closes in" if bush.bore_state == "free" else "how temperature moves the bore"
    figures = (
        Figure("least_free_clearance_mm", shown_mm(free.least_nm)),
        Figure("greatest_free_clearance_mm", shown_mm(free.most_nm)),
    )
    text = f"{told} as stated; without outside diameter and housing bore {why} is not known"
    return Verdict(reason=Reason("bore", "unknown", text, figures=figures))
