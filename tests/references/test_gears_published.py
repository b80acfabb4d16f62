"""Gear geometry against published values: handbooks, open reference packages, SAE J543 at second hand."""

import math

import pytest

from api.fit.gears.gear_mesh import Mesh, mesh_gears
from api.fit.gears.involute import MM_PER_INCH, Gear, inverse_involute, involute, least_teeth, module_of_pitch

TWENTY = math.radians(20)
STUB_10_12 = 10 / 12


def handbook_pair() -> Mesh:
    """Return the profile-shifted pair of gear handbooks: m 3, 20 degrees, z 12/24, x 0.6/0.36."""
    return mesh_gears(
        Gear(teeth=12, module_mm=3, pressure_angle=TWENTY, profile_shift=0.6),
        Gear(teeth=24, module_mm=3, pressure_angle=TWENTY, profile_shift=0.36),
    )


# Profile-shifted pair as a public profile-shift table of a gear software maker (bolsover) prints it;
# centre distance and both contact ratios also by py_gearworks 0.0.24.
@pytest.mark.parametrize(
    ("figure", "published", "within"),
    [
        (lambda pair: pair.zero_backlash_centre_distance_mm, 56.49987, 5e-6),
        (lambda pair: involute(pair.zero_backlash_angle), 0.034316, 1e-6),
        (lambda pair: math.degrees(pair.zero_backlash_angle), 26.0886, 5e-5),
        (
            lambda pair: (pair.zero_backlash_centre_distance_mm - pair.standard_centre_distance_mm) / 3,
            0.83333,
            5e-5,
        ),
        (lambda pair: pair.pinion.base_diameter_mm, 33.8289, 5e-5),
        (lambda pair: pair.ring.base_diameter_mm, 67.6579, 5e-5),
        (lambda pair: pair.pinion.working_pitch_diameter_mm, 37.667, 5e-4),
        (lambda pair: pair.ring.working_pitch_diameter_mm, 75.333, 5e-4),
        (lambda pair: pair.pinion.shortened_tip_mm, 44.840, 5e-4),
        (lambda pair: pair.ring.shortened_tip_mm, 79.400, 5e-4),
        (lambda pair: pair.pinion.root_diameter_mm, 32.100, 1e-9),
        (lambda pair: pair.ring.root_diameter_mm, 66.660, 1e-9),
        (lambda pair: (pair.pinion.shortened_tip_mm - pair.pinion.root_diameter_mm) / 2, 6.370, 5e-4),
        (lambda pair: pair.contact_ratio_shortened, 1.202, 5e-4),
        (lambda pair: pair.contact_ratio, 1.347797, 2e-6),
    ],
)
def test_the_profile_shifted_pair_of_the_handbooks(figure, published, within) -> None:
    assert figure(handbook_pair()) == pytest.approx(published, abs=within)


# By the textbook formula; the first also by py_gearworks 0.0.24 (1.63519).
@pytest.mark.parametrize(
    ("module", "teeth", "distance", "ratio"), [(2, (20, 40), 60, 1.63519), (3, (12, 24), 54, 1.5111)]
)
def test_standard_pairs(module, teeth, distance, ratio) -> None:
    pinion, ring = (Gear(teeth=count, module_mm=module, pressure_angle=TWENTY) for count in teeth)
    found = mesh_gears(pinion, ring)
    assert found.zero_backlash_centre_distance_mm == pytest.approx(distance, abs=1e-9)
    assert found.contact_ratio == pytest.approx(ratio, abs=5e-5)
    assert found.contact_ratio_shortened == pytest.approx(found.contact_ratio, abs=1e-12)


# The involute function as gear handbooks tabulate it (recomputed from tan a - a).
@pytest.mark.parametrize(
    ("degrees", "tabulated"),
    [(14.5, 0.0055448), (17.5, 0.0098662), (20, 0.0149044), (22.5, 0.0215145), (25, 0.0299753)],
)
def test_the_involute_function_and_its_inverse(degrees, tabulated) -> None:
    assert involute(math.radians(degrees)) == pytest.approx(tabulated, abs=5e-8)
    assert math.degrees(inverse_involute(tabulated)) == pytest.approx(degrees, abs=1e-4)


# Undercut limit 2 h / sin(a)^2 of gear handbooks.
@pytest.mark.parametrize(
    ("degrees", "addendum", "limit", "within"),
    [(14.5, 1, 31.90, 5e-3), (20, 1, 17.097, 5e-4), (25, 1, 11.20, 5e-3), (20, 0.8, 13.68, 5e-3)],
)
def test_undercut_limits(degrees, addendum, limit, within) -> None:
    angle = math.radians(degrees)
    assert least_teeth(angle, addendum) == pytest.approx(limit, abs=within)
    below, above = (
        Gear(teeth=count, module_mm=2, pressure_angle=angle, addendum=addendum)
        for count in (math.floor(limit), math.ceil(limit))
    )
    assert below.least_shift() > 0 > above.least_shift()


# Module 2, 20 teeth over 3: a public worked example, with its contact diameter and base pitch. The others
# by W = m cos a (pi (k - 0.5) + z inv a) + 2 x m sin a.
@pytest.mark.parametrize(
    ("module", "teeth", "over", "shift", "span", "within"),
    [
        (2, 20, 3, 0, 15.32088, 5e-6),
        (3, 24, 3, 0, 23.1494, 5e-5),
        (1, 9, 2, 0, 4.55425, 5e-6),
        (2.54, 9, 2, 0, 11.5678, 5e-5),
        (2.54, 9, 2, 0.5, 12.4365, 5e-5),
    ],
)
def test_base_tangents(module, teeth, over, shift, span, within) -> None:
    gear = Gear(teeth=teeth, module_mm=module, pressure_angle=TWENTY, profile_shift=shift)
    assert gear.base_tangent_mm(over) == pytest.approx(span, abs=within)
    assert gear.base_tangent_mm(over + 1) - span == pytest.approx(gear.base_pitch_mm, abs=within)


def test_the_worked_base_tangent_touches_where_it_is_printed_to() -> None:
    gear = Gear(teeth=20, module_mm=2, pressure_angle=TWENTY)
    assert gear.span_touches_mm(3) == pytest.approx(40.59, abs=0.005)
    assert gear.base_pitch_mm == pytest.approx(5.904, abs=0.0005)


def test_chordal_thickness_of_elements_of_metric_gear_technology_table_10_1() -> None:
    gear = Gear(teeth=12, module_mm=10, pressure_angle=TWENTY, profile_shift=0.3)
    assert (gear.tip_diameter_mm - gear.pitch_diameter_mm) / 2 == pytest.approx(13.000, abs=1e-9)
    assert gear.thickness_mm == pytest.approx(17.8918, abs=5e-5)
    half = math.degrees(gear.thickness_mm / gear.pitch_diameter_mm)
    assert half == pytest.approx(8.54270, abs=5e-6)
    assert gear.chordal_thickness_mm() == pytest.approx(17.8256, abs=5e-5)
    assert gear.chordal_height_mm() == pytest.approx(13.6657, abs=5e-5)


def test_the_tooth_of_a_module_3_rack() -> None:
    # Elements of Metric Gear Technology: half the pitch, 4.7124 mm.
    gear = Gear(teeth=30, module_mm=3, pressure_angle=TWENTY)
    assert gear.thickness_mm == pytest.approx(4.7124, abs=5e-5)


# m = 25.4 / DP exactly; base pitch pi m cos 20.
@pytest.mark.parametrize(
    ("pitch", "module", "base_pitch"),
    [
        (6, 4.23333, 12.49736),
        (8, 3.175, 9.37302),
        (10, 2.54, 7.49841),
        (12, 2.11667, None),
        (16, 1.5875, None),
    ],
)
def test_diametral_pitch_and_module(pitch, module, base_pitch) -> None:
    assert module_of_pitch(pitch) == pytest.approx(module, abs=5e-6)
    if base_pitch is not None:
        gear = Gear(teeth=9, module_mm=module_of_pitch(pitch), pressure_angle=TWENTY)
        assert gear.base_pitch_mm == pytest.approx(base_pitch, abs=5e-6)


def test_circular_pitch_of_10_dp() -> None:
    assert math.pi * module_of_pitch(10) == pytest.approx(7.97965, abs=5e-6)


# SAE J543 NOV95, its table as a public summary prints it: N2 teeth on the blank of N1 = N2 + 1 teeth, P1/P2
# stub teeth. The 6/8 row prints 2.240 in where its own formula N1/P1 + 2/P2 gives 2.250: only its pitch
# diameter is checked.
@pytest.mark.parametrize(
    ("first", "second", "teeth", "outside_inches", "pitch_inches", "outside_mm", "pitch_mm"),
    [
        (10, 12, 9, 1.167, 0.900, 29.633, 22.860),
        (8, 10, 10, 1.575, 1.250, 40.005, 31.750),
        (6, 8, 11, None, 1.833, 57.150, 46.567),
    ],
)
def test_starter_pinions_of_sae_j543(
    first, second, teeth, outside_inches, pitch_inches, outside_mm, pitch_mm
) -> None:
    gear = Gear(
        teeth=teeth,
        module_mm=module_of_pitch(first),
        pressure_angle=TWENTY,
        profile_shift=0.5,
        addendum=first / second,
    )
    assert gear.pitch_diameter_mm == pytest.approx(pitch_mm, abs=5e-4)
    assert gear.pitch_diameter_mm / MM_PER_INCH == pytest.approx(pitch_inches, abs=5e-4)
    # By the table's own formula:
    assert gear.tip_diameter_mm == pytest.approx(outside_mm, abs=5e-4)
    if outside_inches is not None:
        assert gear.tip_diameter_mm / MM_PER_INCH == pytest.approx(outside_inches, abs=5e-4)


def cranking_pair(centre_distance_mm: float | None = None) -> Mesh:
    """Return the mesh of a 9-tooth 10/12 pinion (x 0.5) with a plain ring of 130 teeth."""
    return mesh_gears(
        Gear(teeth=9, module_mm=2.54, pressure_angle=TWENTY, profile_shift=0.5, addendum=STUB_10_12),
        Gear(teeth=130, module_mm=2.54, pressure_angle=TWENTY, addendum=STUB_10_12),
        centre_distance_mm,
    )


# By the textbook formulas. The blank rule C = (N_ring + N_blank) / (2 P1) of SAE J543 (public summary) gives
# 7.000 in = 177.800 mm, a little more than the exact distance without backlash.
@pytest.mark.parametrize(
    ("distance", "ratio"), [(None, 1.158), (177.800, 1.147), (177.800 + 0.030 * MM_PER_INCH, 0.868)]
)
def test_contact_ratio_of_a_cranking_mesh(distance, ratio) -> None:
    found = cranking_pair(distance)
    assert found.zero_backlash_centre_distance_mm == pytest.approx(177.768, abs=5e-4)
    assert found.contact_ratio == pytest.approx(ratio, abs=6e-4)


# SAE J543 (public summary): 0.020 to 0.040 in beyond the blank rule gives 0.015 to 0.030 in of backlash;
# 2 dC tan 20 gives 0.0146, 0.0218, 0.0291 in. That line is the tangent at the standard distance of the two
# blanks: exact backlash grows by up to 3 % more over 0.040 in, as the working angle grows with the distance.
@pytest.mark.parametrize(("spread", "backlash"), [(0.020, 0.0146), (0.030, 0.0218), (0.040, 0.0291)])
def test_backlash_at_the_spread_of_cranking_meshes(spread, backlash) -> None:
    blanks = [Gear(teeth=teeth, module_mm=2.54, pressure_angle=TWENTY) for teeth in (10, 130)]
    found = mesh_gears(*blanks, 177.8 + spread * MM_PER_INCH)
    inches = found.circumferential_backlash_mm / MM_PER_INCH
    assert backlash < inches < 1.03 * backlash
    assert 0.0145 < inches < 0.0305


def test_backlash_leaves_the_zero_backlash_distance_along_twice_the_tangent() -> None:
    # dj/da = 2 tan aw, from j = 2 a (inv a' - inv aw).
    tight = cranking_pair()
    found = cranking_pair(tight.zero_backlash_centre_distance_mm + 0.01)
    slope = found.circumferential_backlash_mm / 0.01
    assert slope == pytest.approx(2 * math.tan(tight.working_pressure_angle), rel=1e-3)
    assert found.normal_backlash_mm == pytest.approx(
        found.circumferential_backlash_mm * math.cos(found.working_pressure_angle)
    )
