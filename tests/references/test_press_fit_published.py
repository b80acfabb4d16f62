"""Pressing and expansion against published figures; the source stands beside each."""

import math

import isofits
import pressfit
import pytest

from api.fit.bushings.close_in import PINNED_LEAST, PINNED_MOST
from api.fit.bushings.housing_strength import pressure_borne_mpa
from api.fit.bushings.materials import MATERIALS, porous_modulus_gpa
from api.fit.bushings.press_fit import Ring, close_in_share, press, press_in_force_newton

MM = 1_000_000


class TestPublicCalculator:
    """A public worked calculator result; its inputs were inferred by inverting it.

    Solid shaft 50 mm, hub 80 mm outside, 50 mm long, interference 0.04 mm, 200 GPa, friction 0.12.
    """

    shaft = Ring(0, 50 * MM, 200, 0.3)
    hub = Ring(50 * MM, 80 * MM, 200, 0.3)

    def test_pressure_and_hoop_stress_of_the_hub(self) -> None:
        found = press(0.04 * MM, self.shaft, self.hub)
        assert found.pressure_mpa == pytest.approx(48.75, abs=5e-4)
        assert found.housing_hoop_mpa == pytest.approx(111.3, abs=0.06)
        assert found.bush_hoop_mpa == pytest.approx(-48.75, abs=5e-4)

    def test_force_and_torque(self) -> None:
        found = press(0.04 * MM, self.shaft, self.hub)
        force = press_in_force_newton(0.12, found.pressure_mpa, 50 * MM, 50 * MM)
        assert force == pytest.approx(45_950, abs=5)
        assert force == pytest.approx(45_946, abs=0.5)
        assert force * 0.025 == pytest.approx(1149, abs=0.5)

    def test_textbook_form_of_the_pressure(self) -> None:
        """Where both are of one material: p = E delta (D2 - d2) / (2 d D2), machine-design textbooks."""
        expected = 200_000 * 0.04 * (80**2 - 50**2) / (2 * 50 * 80**2)
        assert press(0.04 * MM, self.shaft, self.hub).pressure_mpa == pytest.approx(expected, rel=1e-12)


def test_bush_in_aluminium_closes_in_by_46_percent() -> None:
    """Lamé's formulas, worked separately: 12 x 16 mm, 0.034 mm, 100 GPa, 0.34, in 70 GPa, 0.33, 24 mm."""
    bush, housing = Ring(12 * MM, 16 * MM, 100, 0.34), Ring(16 * MM, 24 * MM, 70, 0.33)
    found = press(0.034 * MM, bush, housing)
    assert found.pressure_mpa == pytest.approx(28.65, abs=5e-3)
    assert found.bore_closes_nm / 1_000 == pytest.approx(15.7, abs=0.05)
    assert close_in_share(bush, housing) == pytest.approx(0.46, abs=5e-3)


@pytest.mark.parametrize(("bore", "outside", "share"), [(12, 16, 1.061), (10, 14, 1.063), (8, 12, 1.062)])
def test_rigid_housing_is_the_limit(bore: int, outside: int, share: float) -> None:
    """2 d D / (D2 + d2 - nu (D2 - d2)) with nu 0.34: the thick-wall cylinder under outside pressure."""
    bush = Ring(bore * MM, outside * MM, 100, 0.34)
    assert close_in_share(bush, None) == pytest.approx(share, abs=5e-4)
    stiff = Ring(outside * MM, math.inf, 1e12, 0.3)
    assert close_in_share(bush, stiff) == pytest.approx(share, abs=5e-4)
    assert press(10_000, bush, None).housing_hoop_mpa is None


def test_unbounded_housing_is_the_limit_of_a_thick_one() -> None:
    bush = Ring(12 * MM, 16 * MM, 100, 0.34)
    thick, unbounded = Ring(16 * MM, 16e6 * MM, 70, 0.33), Ring(16 * MM, math.inf, 70, 0.33)
    assert press(1e4, bush, thick).pressure_mpa == pytest.approx(press(1e4, bush, unbounded).pressure_mpa)
    assert press(1e4, bush, thick).housing_hoop_mpa == pytest.approx(
        press(1e4, bush, unbounded).housing_hoop_mpa, rel=1e-9
    )


def test_lame_equations_hold_at_every_surface() -> None:
    """The fields sigma = A -+ B / r2 from the boundary pressures alone, apart from the formulas used."""
    bush, housing = Ring(12 * MM, 16 * MM, 100, 0.34), Ring(16 * MM, 24 * MM, 70, 0.33)
    found = press(0.034 * MM, bush, housing)
    p = found.pressure_mpa
    a, b, c = 6.0, 8.0, 12.0
    steady = -p * b * b / (b * b - a * a)
    bore_radius_change = a / 100_000 * (2 * steady)  # hoop alone acts at the free bore
    assert -2 * bore_radius_change * MM == pytest.approx(found.bore_closes_nm, rel=1e-12)
    at_outside = b / 100_000 * (steady * (1 + a * a / (b * b)) + 0.34 * p)
    inside = p * b * b / (c * c - b * b)
    at_housing = b / 70_000 * (inside * (1 + c * c / (b * b)) + 0.33 * p)
    assert 2 * (at_housing - at_outside) == pytest.approx(0.034, rel=1e-12)


class TestIso2795Practice:
    """ISO 2795, clause 5.2 as its public previews quote it; limits by the packages isofits and pressfit."""

    def test_ten_by_sixteen_implies_25_to_47_percent(self) -> None:
        """G7 with r6, F7 with s7, in H7, H7 after fitting: by hand 5/19.5 and 13/28."""
        r6_upper, r6_lower = isofits.isotol("shaft", 16.0, "r6", "both")
        h7_upper, _ = isofits.isotol("hole", 16.0, "H7", "both")
        _, g7_lower = isofits.isotol("hole", 10.0, "G7", "both")
        _, f7_lower = isofits.isotol("hole", 10.0, "F7", "both")
        s7_lower = pressfit.shaft_deviation(16, "s", 7)
        s7_upper = s7_lower + pressfit.it_value(16, 7)
        light = g7_lower / ((r6_upper + r6_lower - h7_upper) / 2)
        heavy = f7_lower / ((s7_upper + s7_lower - h7_upper) / 2)
        assert (light, heavy) == (pytest.approx(0.256, abs=1e-3), pytest.approx(0.464, abs=1e-3))

    @pytest.mark.parametrize(
        ("bore", "outside"),
        [(4, 8), (6, 10), (8, 12), (12, 15), (12, 18), (16, 20), (20, 24), (25, 30), (30, 38), (40, 50)],
    )
    def test_shares_that_are_reckoned_with_span_every_size(self, bore: int, outside: int) -> None:
        r6_upper, r6_lower = isofits.isotol("shaft", float(outside), "r6", "both")
        h7_upper, _ = isofits.isotol("hole", float(outside), "H7", "both")
        _, g7_lower = isofits.isotol("hole", float(bore), "G7", "both")
        _, f7_lower = isofits.isotol("hole", float(bore), "F7", "both")
        s7_lower = pressfit.shaft_deviation(outside, "s", 7)
        s7_upper = s7_lower + pressfit.it_value(outside, 7)
        light = g7_lower / ((r6_upper + r6_lower - h7_upper) / 2)
        heavy = f7_lower / ((s7_upper + s7_lower - h7_upper) / 2)
        assert PINNED_LEAST - 0.005 <= light <= 0.31
        assert 0.43 <= heavy <= PINNED_MOST + 0.005


class TestExpansion:
    """Growth by temperature: handbook coefficients, 80 K, worked separately."""

    def test_bronze_and_steel_of_12_mm(self) -> None:
        bronze = MATERIALS["phosphor_bronze"].expansion_per_kelvin
        assert 12 * bronze * 80 == pytest.approx(0.01709, abs=5e-6)
        assert 12 * (bronze - 12e-6) * 80 == pytest.approx(0.00557, abs=5e-6)

    def test_seat_of_16_mm_in_aluminium_loses_7_micrometres(self) -> None:
        bronze = MATERIALS["phosphor_bronze"].expansion_per_kelvin
        assert 16 * (23.1e-6 - bronze) * 80 == pytest.approx(0.00678, abs=5e-6)

    @pytest.mark.parametrize(
        ("code", "ppm"),
        [
            ("phosphor_bronze", 17.8),  # C51000: copper association's data on a FreeCAD card
            ("tin_bronze", 18.0),  # C93200: Callister, table B.6
            ("steel", 11.5),  # JCGM 100:2008, H.1
            ("cast_iron", 11.2),  # ductile iron: Callister
            ("wrought_aluminium", 23.6),  # alloy 6061: Callister
            ("aluminium", 21.5),  # alloy 356.0: Callister
        ],
    )
    def test_coefficients_are_the_published_ones(self, code: str, ppm: float) -> None:
        assert MATERIALS[code].expansion_ppm.value == ppm


def test_porous_bronze_is_a_third_as_stiff_as_solid() -> None:
    """McAdam's power law of 1951 (from memory): 0.727 ** 3.4 = 0.339."""
    assert porous_modulus_gpa(105, 6.4, 8.8) == pytest.approx(105 * 0.339, abs=0.1)
    assert MATERIALS["sintered_bronze"].modulus_gpa.value < MATERIALS["tin_bronze"].modulus_gpa.value / 2


# Callister, appendix B, table B.4: 356.0 as cast yields at 124 MPa, 6061-T6 at 276; grey iron G1800 breaks at
# 124. Read as an excerpt of the appendix; the steel (1020 hot rolled, 210) from memory.
@pytest.mark.parametrize(
    ("code", "mpa"), [("aluminium", 124), ("wrought_aluminium", 276), ("cast_iron", 124), ("steel", 210)]
)
def test_strengths_of_housings_are_the_published_ones(code: str, mpa: float) -> None:
    strength = MATERIALS[code].strength_mpa
    assert strength is not None and strength.value == mpa


class TestRingsThatGiveWay:
    """Textbook limits of a thick-walled tube, from its equations apart from the formulas used."""

    def test_ductile_ring_is_plastic_throughout(self) -> None:
        """Equilibrium d(sr)/dr = (st - sr) / r with st - sr = yield (Tresca) everywhere, summed."""
        inner, outer, steps = 8.0, 12.0, 200_000
        width = (outer - inner) / steps
        pressure = sum(124 / (inner + (step + 0.5) * width) * width for step in range(steps))
        assert pressure_borne_mpa(MATERIALS["aluminium"], inner, outer) == pytest.approx(pressure, rel=1e-9)

    def test_brittle_ring_has_its_tensile_strength_at_the_bore(self) -> None:
        bears = pressure_borne_mpa(MATERIALS["cast_iron"], 16, 20)
        assert bears is not None
        assert bears * (20**2 + 16**2) / (20**2 - 16**2) == pytest.approx(124)

    def test_unbounded_ring_of_iron_bears_its_strength(self) -> None:
        assert pressure_borne_mpa(MATERIALS["cast_iron"], 16, math.inf) == 124
