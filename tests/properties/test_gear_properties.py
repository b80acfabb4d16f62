"""Properties of involute gears, of their meshes, and of pinion identity, that hold for any of them."""

import math

import attrs
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from api.fit.gears.gear_mesh import mesh_gears, required_shift_sum
from api.fit.gears.involute import Gear, inverse_involute, involute, module_of_pitch
from api.fit.gears.pinion_identity import identify_pinion
from api.fit.gears.pinion_likelihood import PinionReadings
from api.fit.judging.features import Feature

angles = st.floats(14.5, 25).map(math.radians)
pinions = st.builds(
    Gear,
    teeth=st.integers(8, 14),
    module_mm=st.floats(1.5, 5),
    pressure_angle=angles,
    profile_shift=st.floats(0, 0.6),
    addendum=st.floats(0.75, 1.0),
)


@given(st.floats(1e-3, 1.5))
def test_the_involute_and_its_inverse_undo_each_other(angle: float) -> None:
    assert inverse_involute(involute(angle)) == pytest.approx(angle, rel=1e-7)


@given(pinions, st.integers(1, 4))
def test_spans_differ_by_the_base_pitch_whatever_the_shift(gear: Gear, over: int) -> None:
    apart = gear.base_tangent_mm(over + 1) - gear.base_tangent_mm(over)
    assert apart == pytest.approx(gear.base_pitch_mm, rel=1e-12)


@given(pinions)
def test_a_span_is_base_pitches_and_one_thickness_on_the_base_circle(gear: Gear) -> None:
    on_base = gear.thickness_at_mm(gear.base_diameter_mm)
    assert gear.base_tangent_mm(3) == pytest.approx(2 * gear.base_pitch_mm + on_base, rel=1e-9)


@given(pinions, st.integers(90, 180), st.floats(-0.3, 0.5), st.floats(0, 2))
def test_distance_and_shift_sum_give_each_other_back(
    pinion: Gear, teeth: int, shift: float, spread: float
) -> None:
    ring = attrs.evolve(pinion, teeth=teeth, profile_shift=shift)
    tight = mesh_gears(pinion, ring)
    assert required_shift_sum(pinion, ring, tight.zero_backlash_centre_distance_mm) == pytest.approx(
        tight.shift_sum, abs=1e-6
    )
    wide = mesh_gears(pinion, ring, tight.zero_backlash_centre_distance_mm + spread)
    assert wide.contact_ratio <= tight.contact_ratio + 1e-9
    assert wide.circumferential_backlash_mm >= tight.circumferential_backlash_mm == 0
    assert wide.required_shift_sum >= tight.shift_sum - 1e-6
    assert wide.contact_ratio_shortened <= wide.contact_ratio + 1e-9
    assert wide.usable_contact_ratio <= wide.contact_ratio + 1e-9


@given(pinions, st.integers(90, 180))
def test_which_gear_is_named_first_makes_no_difference_to_the_mesh(pinion: Gear, teeth: int) -> None:
    ring = attrs.evolve(pinion, teeth=teeth, profile_shift=0.0)
    one, other = mesh_gears(pinion, ring), mesh_gears(ring, pinion)
    assert one.contact_ratio == pytest.approx(other.contact_ratio)
    assert one.pinion == other.ring


@settings(max_examples=25)
@given(
    st.integers(9, 13),
    st.sampled_from([(6, 8), (8, 10), (10, 12), (12, 14)]),
    st.floats(0, 0.2),
    st.floats(-1, 1),
    st.floats(-1, 1),
)
def test_readings_of_a_stub_pinion_find_it(
    teeth: int, stub: tuple[int, int], wear: float, off_2: float, off_3: float
) -> None:
    """Flank wear and errors of up to one standard uncertainty of a span do not hide the pitch."""
    gear = Gear(
        teeth=teeth,
        module_mm=module_of_pitch(stub[0]),
        pressure_angle=math.radians(20),
        profile_shift=0.5,
        addendum=stub[0] / stub[1],
    )
    assume(gear.span_touches_mm(3) < gear.tip_diameter_mm)
    told = PinionReadings(
        teeth=teeth,
        tip=Feature.read(round(gear.tip_diameter_mm * 1e6), 12_000),
        spans={
            over: Feature.read(round((gear.base_tangent_mm(over) - wear + 0.01 * off) * 1e6), 10_000)
            for over, off in ((2, off_2), (3, off_3))
        },
        tip_read="true_diameter",
    )
    found = identify_pinion(told)
    assert found[0].name == f"{stub[0]} DP at 20 degrees"
    assert sum(one.weight for one in found) == pytest.approx(1)
    assert found[0].shift_range[0] <= 0.5
