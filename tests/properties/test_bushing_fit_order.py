"""What must hold for any bush: order, scale, and chances that agree with limits."""

import math

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from api.fit.bushings.bushing import judge_bushing
from api.fit.bushings.bushing_pieces import Bush, BushSeat, Journal, Temperatures
from api.fit.bushings.materials import MATERIALS
from api.fit.bushings.press_fit import Ring, close_in_share, press
from api.fit.judging.differences import difference
from api.fit.judging.features import Feature

UM = 1_000
MM = 1_000_000
few = settings(max_examples=40, deadline=None)

codes = st.sampled_from(sorted(MATERIALS))
bores = st.integers(5 * MM, 30 * MM)
walls = st.integers(1 * MM, 4 * MM)
micrometres = st.integers(-60, 120)
features = st.builds(
    lambda lower, width, u: Feature(lower, lower + width, float(u)),
    st.integers(-(10**6), 10**6),
    st.integers(0, 10**6),
    st.integers(0, 10**6),
)


def pieces(bore: int, wall: int, over_um: int, material: str, housing: str) -> tuple[Bush, BushSeat, Journal]:
    outside = bore + 2 * wall
    bush = Bush(
        outside_diameter=Feature(outside + over_um * UM, outside + (over_um + 11) * UM),
        bore=Feature(bore, bore + 15 * UM),
        length=Feature.exact(12 * MM),
        material=material,
    )
    seat = BushSeat(bore=Feature(outside, outside + 18 * UM), depth=Feature.exact(12 * MM), material=housing)
    return bush, seat, Journal(diameter=Feature(bore - 40 * UM, bore - 20 * UM))


@few
@given(bores, walls, micrometres, st.integers(1, 50), codes, codes)
def test_more_interference_never_closes_in_less(
    bore: int, wall: int, over: int, more: int, material: str, housing: str
) -> None:
    near = judge_bushing(*pieces(bore, wall, over, material, housing))
    far = judge_bushing(*pieces(bore, wall, over + more, material, housing))
    here, there = near.states[0], far.states[0]
    assert here.close_in_nm and there.close_in_nm and here.runs and there.runs and here.holds and there.holds
    # Shares change a little with the wall, by less than its own growth.
    assert there.close_in_nm.most >= here.close_in_nm.most - 1
    assert there.holds.least >= here.holds.least - 1e-12
    assert there.runs.least <= here.runs.least + 1e-6


@few
@given(bores, walls, micrometres, st.integers(1, 100))
def test_bronze_in_colder_aluminium_sits_tighter(bore: int, wall: int, over: int, colder: int) -> None:
    bush, seat, shaft = pieces(bore, wall, over, "sintered_bronze", "aluminium")
    warm = judge_bushing(bush, seat, shaft, Temperatures(cold=-30))
    cold = judge_bushing(bush, seat, shaft, Temperatures(cold=-30 - colder))
    here, there = warm.states[1], cold.states[1]
    assert here.interference_nm and there.interference_nm and here.holds and there.holds
    assert there.interference_nm.least > here.interference_nm.least
    assert there.holds.least >= here.holds.least - 1e-12
    assert here.runs and there.runs
    assert there.runs.least <= here.runs.least + 1e-6


@few
@given(bores, walls, micrometres, codes, codes)
def test_chances_agree_with_limits(bore: int, wall: int, over: int, material: str, housing: str) -> None:
    fit = judge_bushing(*pieces(bore, wall, over, material, housing))
    for state in fit.states:
        assert state.interference_nm and state.holds and state.clearance_nm and state.runs
        for span, chance in ((state.interference_nm, state.holds), (state.clearance_nm, state.runs)):
            assert 0 <= chance.least <= chance.most <= 1
            if span.least > 1:
                assert chance.least == pytest.approx(1)
            if span.most < -1:
                assert chance.most == pytest.approx(0, abs=1e-12)


@few
@given(bores, walls, micrometres, codes, codes)
def test_what_is_known_less_well_is_never_surer(
    bore: int, wall: int, over: int, material: str, housing: str
) -> None:
    bush, seat, shaft = pieces(bore, wall, over, material, housing)
    stated = judge_bushing(
        bush, attrs.evolve(seat, outside_diameter=Feature.exact(2 * bore + 4 * wall)), shaft
    )
    open_ = judge_bushing(bush, attrs.evolve(seat, material=None), shaft)
    if open_.verdict == "fits" and housing in ("aluminium", "cast_iron", "steel"):
        assert stated.verdict == "fits"


@few
@given(
    st.floats(0.3, 0.95),
    st.floats(1.05, 10),
    st.floats(10, 300),
    st.floats(10, 300),
    st.floats(0.0, 0.45),
    st.floats(1.5, 20),
)
def test_pressing_scales_with_length_and_stiffness(
    inner: float, outer: float, bush_gpa: float, housing_gpa: float, nu: float, scale: float
) -> None:
    """Twice the size with twice the interference: the same stress; twice the stiffness: twice the stress."""
    bush, housing = Ring(inner, 1, bush_gpa, nu), Ring(1, outer, housing_gpa, nu)
    grown = Ring(inner * scale, scale, bush_gpa, nu), Ring(scale, outer * scale, housing_gpa, nu)
    stiff = Ring(inner, 1, bush_gpa * scale, nu), Ring(1, outer, housing_gpa * scale, nu)
    found = press(1e-3, bush, housing)
    assert press(1e-3 * scale, *grown).pressure_mpa == pytest.approx(found.pressure_mpa, rel=1e-9)
    assert press(1e-3, *stiff).pressure_mpa == pytest.approx(found.pressure_mpa * scale, rel=1e-9)
    assert close_in_share(*stiff) == pytest.approx(close_in_share(bush, housing), rel=1e-9)
    assert close_in_share(bush, housing) < close_in_share(bush, Ring(1, math.inf, housing_gpa, nu))
    assert close_in_share(bush, housing) < close_in_share(bush, None)
    assert press(-1.0, bush, housing).bore_closes_nm == 0


@few
@given(features, features, st.integers(-(10**6), 10**6))
def test_a_difference_and_its_opposite_add_up(a: Feature, b: Feature, x: int) -> None:
    found, opposite = difference(a, b), difference(b, a)
    total = found.chance_above(x) + opposite.chance_above(-x)
    if found.is_exact:
        assert total <= 1
    else:
        assert total == pytest.approx(1, abs=1e-9)
    assert found.chance_above(x) >= found.chance_above(x + 100) - 1e-12
