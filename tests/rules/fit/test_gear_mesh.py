"""A pinion in its ring gear: distances, backlash, interference, undercut, and what is refused."""

import math

import attrs
import pytest

from api.fit.gears.gear_mesh import (
    CentreDistanceBelowContact,
    TeethCannotMesh,
    mesh_gears,
    required_shift_sum,
)
from api.fit.gears.involute import Gear, inverse_involute

TWENTY = math.radians(20)
PINION = Gear(teeth=9, module_mm=2.54, pressure_angle=TWENTY, profile_shift=0.5, addendum=10 / 12)
RING = Gear(teeth=130, module_mm=2.54, pressure_angle=TWENTY, addendum=10 / 12)
TIGHT = 177.7680070


def test_without_a_centre_distance_there_is_no_backlash() -> None:
    found = mesh_gears(PINION, RING)
    assert (
        found.centre_distance_mm == found.zero_backlash_centre_distance_mm == pytest.approx(TIGHT, abs=1e-6)
    )
    assert found.circumferential_backlash_mm == 0
    assert found.required_shift_sum == pytest.approx(found.shift_sum)


def test_a_contact_ratio_below_1_is_reported() -> None:
    assert mesh_gears(PINION, RING, TIGHT + 1).contact_ratio < 0.8


def test_gears_far_apart_are_out_of_mesh() -> None:
    assert mesh_gears(PINION, RING, TIGHT + 10).contact_ratio < 0


def test_backlash_is_what_the_working_pitch_leaves_beside_two_teeth() -> None:
    """Tooth thicknesses on the working pitch circles and the backlash make up one working pitch."""
    found = mesh_gears(PINION, RING, TIGHT + 0.6)
    teeth = sum(
        gear.thickness_at_mm(checks.working_pitch_diameter_mm)
        for gear, checks in ((PINION, found.pinion), (RING, found.ring))
    )
    pitch = math.pi * found.pinion.working_pitch_diameter_mm / PINION.teeth
    assert found.circumferential_backlash_mm == pytest.approx(pitch - teeth, abs=1e-9)


def test_jammed_teeth_are_refused_with_the_figures() -> None:
    with pytest.raises(CentreDistanceBelowContact) as refused:
        mesh_gears(PINION, RING, TIGHT - 0.5)
    error = refused.value
    assert error.zero_backlash_centre_distance_mm == pytest.approx(TIGHT, abs=1e-6)
    assert error.required_shift_sum is not None and error.required_shift_sum < error.shift_sum == 0.5
    assert "177.768 mm" in error.explain()
    assert "177.268 mm" in error.explain()
    assert error.as_fault("centre_distance").path == ("centre_distance",)


def test_overlapping_base_circles_are_refused() -> None:
    with pytest.raises(CentreDistanceBelowContact) as refused:
        mesh_gears(PINION, RING, 100)
    assert refused.value.required_shift_sum is None
    assert "base circles" in refused.value.explain()
    assert required_shift_sum(PINION, RING, 100) is None


def test_a_distance_rounded_to_a_micrometre_is_not_jammed() -> None:
    found = mesh_gears(PINION, RING, math.floor(TIGHT * 1000) / 1000)
    assert found.circumferential_backlash_mm == 0
    assert found.centre_distance_mm == pytest.approx(TIGHT, abs=1e-6)


def test_teeth_too_thin_to_meet_are_refused() -> None:
    thin = attrs.evolve(RING, teeth=10, profile_shift=-1.0)
    with pytest.raises(TeethCannotMesh) as refused:
        mesh_gears(attrs.evolve(PINION, profile_shift=-1.0), thin)
    assert refused.value.shift_sum == -2.0 < refused.value.least_shift_sum
    assert "too thin" in refused.value.explain()
    assert refused.value.as_fault("pinion").code == "teeth_too_thin"


@pytest.mark.parametrize("distance", [TIGHT + 0.1, TIGHT + 1.2, TIGHT + 4])
def test_the_required_shift_sum_leaves_no_backlash(distance: float) -> None:
    needed = required_shift_sum(PINION, RING, distance)
    assert needed is not None
    shifted = mesh_gears(PINION, attrs.evolve(RING, profile_shift=needed - 0.5), distance)
    assert shifted.zero_backlash_centre_distance_mm == pytest.approx(distance, abs=1e-8)
    assert shifted.circumferential_backlash_mm == pytest.approx(0, abs=1e-8)


def test_a_pinion_of_few_teeth_is_undercut_without_shift() -> None:
    plain = attrs.evolve(PINION, profile_shift=0.0)
    assert mesh_gears(plain, RING).pinion.undercut
    assert not mesh_gears(PINION, RING).pinion.undercut
    assert not mesh_gears(plain, RING).ring.undercut


def test_a_ring_with_long_tips_reaches_below_the_pinion_s_base_circle() -> None:
    # 12 teeth without shift are undercut by 24 full-depth teeth: the classic interference of handbooks.
    pinion, ring = (Gear(teeth=teeth, module_mm=3, pressure_angle=TWENTY) for teeth in (12, 24))
    found = mesh_gears(pinion, ring)
    assert found.ring.tip_reach_mm > 0
    assert found.ring.interferes
    assert not found.pinion.interferes
    assert found.usable_contact_ratio < found.contact_ratio


def test_a_tip_that_touches_the_fillet_interferes_before_the_base_circle() -> None:
    ring = attrs.evolve(RING, stated_tip_mm=RING.tip_diameter_mm + 0.6)
    found = mesh_gears(attrs.evolve(PINION, profile_shift=0.55), ring)
    assert found.ring.tip_reach_mm == 0
    assert found.ring.flank_shortfall_mm > 0
    assert found.ring.interferes


def test_tips_longer_than_the_roots_are_deep_strike() -> None:
    ring = attrs.evolve(RING, stated_tip_mm=RING.tip_diameter_mm + 3)
    found = mesh_gears(PINION, ring)
    assert found.ring.tip_clearance_mm < 0
    assert found.ring.interferes
    assert mesh_gears(PINION, RING).ring.tip_clearance_mm > 0


def test_a_stated_tip_is_not_shortened() -> None:
    stated = mesh_gears(attrs.evolve(PINION, stated_tip_mm=29.6), RING)
    assert stated.pinion.shortened_tip_mm == stated.pinion.tip_diameter_mm == 29.6
    assert stated.ring.shortened_tip_mm < stated.ring.tip_diameter_mm


def test_a_tooth_comes_to_a_point_where_its_flanks_meet() -> None:
    pointed = PINION.pointed_diameter_mm()
    assert pointed > PINION.tip_diameter_mm
    assert PINION.thickness_at_mm(pointed) == pytest.approx(0, abs=1e-9)
    assert PINION.thickness_at_mm(PINION.pitch_diameter_mm) == pytest.approx(PINION.thickness_mm)


def test_nothing_is_said_of_a_flank_below_the_base_circle() -> None:
    with pytest.raises(ValueError, match="below the base circle"):
        PINION.thickness_at_mm(PINION.base_diameter_mm - 0.01)


def test_the_involute_has_no_inverse_below_zero() -> None:
    assert inverse_involute(0) == 0
    with pytest.raises(ValueError, match="no angle"):
        inverse_involute(-1e-9)
