"""What holds of contacts and brushes whatever their dimensions."""

import math

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from api.fit.brushes.brush import judge_holder
from api.fit.brushes.brush_length import NAVY_SHARE, discard_lengths, strictest
from api.fit.contacts.conductors import adiabatic_rise_kelvin, resistance_ohms
from api.fit.contacts.contact_pair import covered_square_mm, judge_heights, judge_span
from api.fit.contacts.stud_fit import Stud, judge_stud
from api.fit.contacts.threads import THREADS, Thread, UnknownThread, crest_limits_nm, read_thread
from api.fit.judging.features import Feature
from api.fit.judging.reasons import GRADE_ORDER

FEW = settings(max_examples=60, deadline=None)
MM = 1_000_000


@st.composite
def features(draw: st.DrawFn, least: int = MM, most: int = 60 * MM) -> Feature:
    lower = draw(st.integers(least, most))
    return Feature(lower, lower + draw(st.integers(0, MM)), draw(st.just(0.0) | st.floats(1, 50_000)))


def wider(feature: Feature, by_nm: int) -> Feature:
    return attrs.evolve(feature, lower_nm=feature.lower_nm - by_nm, upper_nm=feature.upper_nm + by_nm)


@FEW
@given(hole=features(4 * MM, 16 * MM), thread=st.sampled_from(THREADS), by=st.integers(0, MM))
def test_knowing_less_never_turns_a_verdict_round(hole: Feature, thread: Thread, by: int) -> None:
    stud = Stud(thread=thread)
    sharp, blunt = judge_stud(stud, hole), judge_stud(stud, wider(hole, by))
    assert blunt.verdict in {sharp.verdict, "unknown"}


@FEW
@given(holder=features(), brush=features(), by=st.integers(0, 200_000))
def test_a_brush_known_less_well_never_turns_its_verdict_round(
    holder: Feature, brush: Feature, by: int
) -> None:
    sharp = judge_holder("thickness", holder, brush)
    blunt = judge_holder("thickness", holder, wider(brush, by))
    assert blunt.verdict in {sharp.verdict, "unknown"}


@FEW
@given(one=features(), other=features(), over=features(MM // 5, 5 * MM))
def test_heights_are_judged_the_same_from_either_side(one: Feature, other: Feature, over: Feature) -> None:
    there, back = judge_heights(one, other, over), judge_heights(other, one, over)
    assert there.verdict == back.verdict


@FEW
@given(one=features(), other=features(), over=features(MM // 5, 5 * MM), more=st.integers(0, 5 * MM))
def test_more_over_travel_never_makes_heights_worse(
    one: Feature, other: Feature, over: Feature, more: int
) -> None:
    longer = judge_heights(one, other, over.shifted(more)).verdict
    assert GRADE_ORDER.index(longer) <= GRADE_ORDER.index(judge_heights(one, other, over).verdict)


@FEW
@given(disc=features(10 * MM, 60 * MM), edge=features(MM, 30 * MM), more=st.integers(0, 5 * MM))
def test_a_larger_disc_never_reaches_less(disc: Feature, edge: Feature, more: int) -> None:
    larger = judge_span(disc.shifted(more), edge).verdict
    assert GRADE_ORDER.index(larger) <= GRADE_ORDER.index(judge_span(disc, edge).verdict)


@FEW
@given(
    radius=st.floats(5, 30),
    edge=st.floats(0.1, 0.99),
    width=st.floats(0.5, 50),
)
def test_the_covered_face_is_the_integral_of_the_disc_beyond_the_edge(
    radius: float, edge: float, width: float
) -> None:
    inner = edge * radius
    reach = min(width / 2, math.sqrt(radius**2 - inner**2))
    steps = 4_000
    middles = ((place + 0.5) * reach / steps for place in range(steps))
    area = 2 * sum(math.sqrt(radius**2 - y * y) - inner for y in middles) * reach / steps
    assert covered_square_mm(radius * 1e6, inner * 1e6, width * 1e6) == pytest.approx(area, rel=1e-4)


@FEW
@given(
    current=st.floats(1, 500),
    area=st.floats(5, 100),
    seconds=st.floats(0.1, 20),
    start=st.floats(-40, 120),
)
def test_the_rise_is_what_small_steps_add_up_to(
    current: float, area: float, seconds: float, start: float
) -> None:
    # Explicit steps of the same energy balance, each with the resistance of its own temperature.
    steps, celsius = 2_000, start
    for _ in range(steps):
        ohms = resistance_ohms(1_000, area, celsius)
        heat_capacity = 8_890 * 385 * area * 1e-6
        celsius += ohms * current**2 * seconds / steps / heat_capacity
    rise = adiabatic_rise_kelvin(current, area, seconds, start)
    assert celsius - start == pytest.approx(rise, rel=0.02)


@FEW
@given(new=features(5 * MM, 40 * MM))
def test_a_discard_length_lies_below_the_new_length_and_is_the_stricter_one(new: Feature) -> None:
    limit = strictest(discard_lengths(new))
    assert NAVY_SHARE * new.middle_nm <= limit.nm + 1 < new.middle_nm


@FEW
@given(text=st.text(max_size=30))
def test_any_text_is_a_thread_or_a_refusal(text: str) -> None:
    try:
        thread = read_thread(text)
    except UnknownThread as refused:
        assert refused.expected
    else:
        lower, upper = crest_limits_nm(thread)
        assert thread.pitch_diameter_nm < lower < upper < thread.major_nm
