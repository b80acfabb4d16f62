"""Whether a bush holds, runs and is long enough; which rework is named, and what stays unknown."""

import math

import numpy as np
import pytest
from bushes import MM, UM, bush, classed, journal, judge, mm, seat, text_of, verdict_of

from api.fit.bushings.bushing import judge_length
from api.fit.bushings.bushing_input import find_bushing_faults, material_fault
from api.fit.bushings.bushing_pieces import Bush, BushSeat, Journal, Temperatures, possible_makes
from api.fit.bushings.bushing_running import loosest_clearance_nm
from api.fit.bushings.housing_strength import strain_of_housing
from api.fit.bushings.materials import MATERIALS, bush_materials
from api.fit.judging.features import Feature
from api.fit.judging.reasons import grade_of


@pytest.mark.parametrize(("outside", "bore"), [("r6", "G7"), ("s7", "F7"), ("r6", "F7")])
@pytest.mark.parametrize("shaft", ["e7", "f7"])
@pytest.mark.parametrize("housing", ["aluminium", "cast_iron", "steel", None])
@pytest.mark.parametrize("size", [(8, 11), (10, 16), (12, 16), (16, 20), (20, 24)])
def test_what_iso_2795_recommends_fits(
    outside: str, bore: str, shaft: str, housing: str | None, size: tuple[int, int]
) -> None:
    """ISO 2795, clause 5.2 (public previews): outside r6 to s7 in H7, bore F7 to G7; shafts e7, f7."""
    inner, outer = size
    piece = bush(outside_diameter=classed(outer, outside, "shaft"), bore=classed(inner, bore, "hole"))
    place = seat(bore=classed(outer, "H7", "hole"), material=housing, outside_diameter=None)
    fit = judge(piece, place, journal(inner, shaft))
    assert fit.verdict == "fits", [reason.text for reason in fit.reasons]
    assert fit.rework is None


def test_solid_bush_of_iso_4379_fits() -> None:
    """ISO 4379 (from memory): outside s6 in H7, bore E6 becomes about H8, shaft e7."""
    piece = bush(
        outside_diameter=classed(16, "s6", "shaft"),
        bore=mm(12.032, 12.043),  # 12 mm E6
        material="tin_bronze",
        construction="solid",
    )
    for housing in ("aluminium", "cast_iron", "steel"):
        fit = judge(piece, seat(material=housing, outside_diameter=None), journal(12, "e7"))
        assert fit.verdict == "fits", [reason.text for reason in fit.reasons]


def test_figures_at_reference_are_those_by_hand() -> None:
    """16 r6 in H7: 23..34 less 0..18 = 5..34 um; 12 G7 over f7: 6..24 and 16..34 leave 22..58 um."""
    state = judge().states[0]
    assert state.interference_nm is not None and state.clearance_nm is not None
    assert (state.interference_nm.least, state.interference_nm.most) == (5 * UM, 34 * UM)
    assert state.clearance_nm.least == pytest.approx((22 - 0.58 * 34) * UM)
    assert state.clearance_nm.most == pytest.approx((58 - 0.24 * 5) * UM)
    assert state.close_in_nm is not None and state.close_in_nm.most == pytest.approx(0.58 * 34 * UM)


def test_solid_bush_closes_in_as_elasticity_says() -> None:
    """Lamé: 46 % for 12 x 16 mm of 100 GPa in an aluminium ring of 24 mm; here 72 GPa, so a little more."""
    piece = bush(material="tin_bronze", construction="solid", outside_diameter=mm(16.034), bore=mm(12.05))
    state = judge(piece, seat(bore=mm(16.0)), Journal(diameter=mm(11.98))).states[0]
    assert state.close_in_nm is not None
    assert state.close_in_nm.least == pytest.approx(15.9 * UM, abs=0.3 * UM)
    assert state.clearance_nm is not None
    assert state.clearance_nm.least == pytest.approx(70 * UM - state.close_in_nm.most)


def test_chance_to_run_is_that_of_drawn_bushes() -> None:
    """A million drawn bushes, seats and shafts; numpy's generator is the outside check."""
    piece = bush(
        outside_diameter=mm(16.02, 16.05, 2.0),
        bore=mm(12.0, 12.02, 3.0),
        material="tin_bronze",
        construction="solid",
    )
    shaft = Journal(diameter=mm(11.98, 12.0))
    fit = judge(piece, shaft=shaft)
    state = fit.states[0]
    assert state.close_in_nm is not None and state.runs is not None and fit.pressing is not None
    share = fit.pressing.elastic_share.most
    draw = np.random.default_rng(5)
    count = 1_000_000
    outside = draw.uniform(16_020, 16_050, count) + draw.normal(0, 2, count)
    housing = draw.uniform(16_000, 16_018, count)
    bore = draw.uniform(12_000, 12_020, count) + draw.normal(0, 3, count)
    drawn = bore - share * np.maximum(outside - housing, 0) - draw.uniform(11_980, 12_000, count)
    expected = float(np.mean(drawn > 0))
    assert state.runs.least == pytest.approx(expected, abs=4 * math.sqrt(0.25 / count))
    assert 0.2 < expected < 0.99


def test_loose_bush_does_not_fit_and_says_why() -> None:
    fit = judge(bush(outside_diameter=mm(15.95, 15.98)))
    assert fit.verdict == "does_not_fit"
    assert fit.limiting.dimension == "outside_diameter"
    assert "turn in its seat" in fit.limiting.text
    assert {figure.name for figure in fit.limiting.figures} >= {"least_interference_mm", "chance_holds"}


def test_bush_that_is_tight_cold_and_loose_hot_does_not_fit() -> None:
    """By hand: 16 x (21.5 - 12) x 100 = 15 um lost by porous iron in aluminium at 120 degrees."""
    piece = bush(outside_diameter=mm(16.022, 16.024), material="sintered_iron", bore=mm(12.03))
    place = seat(bore=mm(16.012, 16.014))
    fit = judge(piece, place)
    hot = fit.states[2]
    assert hot.interference_nm is not None
    assert hot.interference_nm.most == pytest.approx((12 - 15.2) * UM, abs=0.1 * UM)
    assert verdict_of(fit, "outside_diameter") == "does_not_fit"
    assert "at 120 °C" in text_of(fit, "outside_diameter")
    assert judge(piece, seat(bore=mm(16.012, 16.014), material="steel")).states[2].holds is not None
    assert verdict_of(judge(piece, seat(bore=mm(16.012), material="steel")), "outside_diameter") == "fits"


def test_hold_that_is_not_sure_is_unknown() -> None:
    fit = judge(bush(outside_diameter=mm(16.0, 16.02)))
    assert verdict_of(fit, "outside_diameter") == "unknown"
    assert "may not hold" in text_of(fit, "outside_diameter")


@pytest.mark.parametrize(("outside", "verdict"), [(16.15, "does_not_fit"), (16.1, "unknown")])
def test_too_tight_is_refused_or_doubted(outside: float, verdict: str) -> None:
    assert verdict_of(judge(bush(outside_diameter=mm(outside))), "outside_diameter") == verdict


class TestSizing:
    def test_porous_bush_is_burnished_and_never_reamed(self) -> None:
        fit = judge(bush(bore=mm(11.99, 12.0)))
        assert fit.verdict == "fits_with_rework"
        assert fit.rework is not None
        assert fit.rework.operation == "burnish"
        assert "never ream" in fit.rework.words

    @pytest.mark.parametrize(("material", "construction"), [("tin_bronze", "solid"), (None, "wrapped")])
    def test_solid_and_wrapped_ones_are_reamed(self, material: str | None, construction: str) -> None:
        fit = judge(bush(bore=mm(11.985, 11.995), material=material, construction=construction))
        assert verdict_of(fit, "bore") == "fits_with_rework"
        assert fit.rework is not None and fit.rework.operation == "ream"

    def test_bore_after_sizing_leaves_the_practised_clearance(self) -> None:
        """12 f7: 11.984 at most; 0.0015 x 11.984 = 18 um; cold takes a few; H7 is 18 um wide."""
        rework = judge(bush(bore=mm(11.99, 12.0))).rework
        assert rework is not None
        assert 11.984 * MM + 18 * UM <= rework.bore_lower_nm <= 11.984 * MM + 28 * UM
        assert rework.bore_upper_nm - rework.bore_lower_nm == 18 * UM

    def test_sized_bush_fits(self) -> None:
        """What the rework asks for is then found to fit, with the bore read in its seat."""
        rework = judge(bush(bore=mm(11.99, 12.0))).rework
        assert rework is not None
        sized = bush(bore=Feature(rework.bore_lower_nm, rework.bore_upper_nm), bore_state="installed")
        assert judge(sized).verdict == "fits"

    def test_too_much_to_size_does_not_fit(self) -> None:
        fit = judge(bush(bore=mm(11.7)))
        assert verdict_of(fit, "bore") == "does_not_fit"
        assert fit.rework is None
        thin = bush(bore=mm(15.6, 15.62), construction="solid", material="tin_bronze")
        assert judge(thin, shaft=Journal(diameter=mm(15.7))).rework is None

    def test_tight_by_chance_and_beyond_sizing_is_unknown(self) -> None:
        fit = judge(bush(bore=mm(11.88, 12.03)))
        assert verdict_of(fit, "bore") == "unknown"

    def test_construction_that_is_open_leaves_the_operation_open(self) -> None:
        fit = judge(bush(bore=mm(11.985, 11.995), material=None, construction=None))
        assert fit.rework is None
        assert verdict_of(fit, "bore") in ("unknown", "does_not_fit")


class TestInstalledBore:
    def test_is_not_closed_in_again(self) -> None:
        state = judge(bush(bore=mm(12.01), bore_state="installed")).states[0]
        assert state.close_in_nm is not None and state.clearance_nm is not None
        assert (state.close_in_nm.least, state.close_in_nm.most) == (0, 0)
        assert state.clearance_nm.least == 26 * UM

    def test_moves_with_temperature_all_the_same(self) -> None:
        """In aluminium it closes when cold: the interference grows by 16 x (21.5 - 18) x 50 = 2.8 um."""
        fit = judge(bush(bore=mm(12.01), bore_state="installed"))
        cold = fit.states[1]
        assert cold.close_in_nm is not None and fit.pressing is not None
        assert cold.close_in_nm.most == pytest.approx(fit.pressing.elastic_share.most * 2.8 * UM, rel=0.02)

    def test_is_unknown_without_its_seat(self) -> None:
        fit = judge(bush(bore=mm(12.01), bore_state="installed"), seat(bore=None))
        assert verdict_of(fit, "bore") == "unknown"
        assert "temperature" in text_of(fit, "bore")
        assert fit.pressing is None


class TestLooseness:
    def test_limit_is_h9_over_e7(self) -> None:
        """12 mm: H9 +43, e7 -32 - 18 = -50 (ISO 286): 93 um."""
        assert loosest_clearance_nm(12 * MM) == 93 * UM
        assert loosest_clearance_nm(81 * MM) is None

    def test_worn_shaft_is_doubted_then_refused(self) -> None:
        assert verdict_of(judge(shaft=Journal(diameter=mm(11.85))), "bore") == "unknown"
        assert verdict_of(judge(shaft=Journal(diameter=mm(11.6))), "bore") == "does_not_fit"

    def test_beyond_the_tables_nothing_is_extrapolated(self) -> None:
        piece = bush(outside_diameter=mm(100.06), bore=mm(90.1))
        fit = judge(piece, seat(bore=mm(100.0), outside_diameter=mm(130)), Journal(diameter=mm(90)))
        assert verdict_of(fit, "bore") == "unknown"


@pytest.mark.parametrize(
    ("piece", "place", "shaft", "dimension"),
    [
        (bush(outside_diameter=None), seat(), journal(), "outside_diameter"),
        (bush(), seat(bore=None), journal(), "outside_diameter"),
        (bush(bore=None), seat(), journal(), "bore"),
        (bush(), seat(), Journal(), "bore"),
        (bush(length=None), seat(), journal(), "length"),
        (bush(), seat(depth=None), journal(), "length"),
    ],
)
def test_missing_dimension_is_unknown_never_a_pass(
    piece: Bush, place: BushSeat, shaft: Journal, dimension: str
) -> None:
    fit = judge(piece, place, shaft)
    assert fit.verdict == "unknown"
    assert verdict_of(fit, dimension) == "unknown"
    assert fit.verdict == grade_of(fit.reasons)


def test_nothing_known_at_all_is_unknown() -> None:
    fit = judge(Bush(), BushSeat(), Journal())
    assert fit.verdict == "unknown"
    assert all(state.runs is None and state.holds is None for state in fit.states)


def test_bush_without_wall_does_not_fit() -> None:
    fit = judge(bush(bore=mm(16.1)))
    assert verdict_of(fit, "bore") == "does_not_fit"
    assert fit.pressing is None


def test_unstated_materials_are_weighed_all_together() -> None:
    assert bush_materials("porous") == ("sintered_bronze", "sintered_iron")
    makes = possible_makes(Bush(construction="porous"), BushSeat(), Journal())
    assert len(makes) == 2 * 3
    alike = judge(bush(), seat(material=None))
    assert alike.verdict == "fits"
    mixed = judge(bush(material=None), seat(material=None))
    assert mixed.states[2].holds is not None
    assert mixed.states[2].holds.least < mixed.states[2].holds.most
    assert verdict_of(mixed, "outside_diameter") == "unknown"


@pytest.mark.parametrize(
    ("length", "form", "verdict"),
    [
        (mm(12.0), "through", "fits"),
        (mm(12.3), "through", "fits"),
        (mm(12.3), "blind", "unknown"),
        (mm(12.5), "through", "unknown"),
        (mm(12.5), "blind", "does_not_fit"),
        (mm(9.0), "through", "unknown"),
    ],
)
def test_length_beside_the_seat(length: Feature, form: str, verdict: str) -> None:
    assert judge_length(bush(length=length), seat(form=form)).verdict == verdict


def test_flange_stays_outside_the_seat() -> None:
    piece = bush(length=mm(14.0), flange_thickness=mm(2.0))
    assert judge_length(piece, seat()).verdict == "fits"


def test_force_is_that_of_friction_over_the_surface() -> None:
    """Friction 0.05 to 0.10 x p x pi x 16 x 12 mm, by hand from the pressures told."""
    told = judge().pressing
    assert told is not None and told.force_newton is not None
    assert told.force_newton.most == pytest.approx(
        0.10 * told.pressure_mpa.most * math.pi * 16 * 12, rel=2e-3
    )
    assert told.force_newton.least == pytest.approx(
        0.05 * told.pressure_mpa.least * math.pi * 16 * 12, rel=2e-3
    )
    unmeasured = judge(bush(length=None), seat(depth=None)).pressing
    assert unmeasured is not None and unmeasured.force_newton is None


class TestImpossibleInput:
    def codes(self, piece: Bush, place: BushSeat, shaft: Journal, at: Temperatures) -> set[str]:
        return {fault.code for fault in find_bushing_faults(piece, place, shaft, at)}

    def test_everything_sound_has_no_fault(self) -> None:
        piece = bush(flange_diameter=mm(20), flange_thickness=mm(2))
        assert self.codes(piece, seat(), journal(), Temperatures()) == set()

    def test_all_faults_are_named_at_once(self) -> None:
        piece = bush(
            outside_diameter=mm(17),
            bore=mm(17.2),
            flange_diameter=mm(15),
            flange_thickness=mm(13),
            construction="solid",
        )
        at = Temperatures(assembly=20, cold=700, hot=-300)
        found = self.codes(piece, seat(outside_diameter=mm(15)), Journal(diameter=mm(19)), at)
        assert found == {
            "no_wall",
            "no_press",
            "no_flange",
            "no_body",
            "other_construction",
            "no_ring",
            "no_journal",
            "melts",
            "below_absolute_zero",
            "order",
        }

    def test_figures_stand_in_the_fault(self) -> None:
        (fault,) = find_bushing_faults(
            bush(outside_diameter=mm(17)), seat(bore=mm(16)), journal(), Temperatures()
        )
        assert fault.path == ("bush", "outside_diameter")
        assert "0.410 mm" in fault.expected and "1.000 mm more" in fault.expected

    def test_unknown_material_names_the_nearest(self) -> None:
        fault = material_fault("aluminum", "housing", "material")
        assert (fault.code, fault.nearest) == ("unknown_material", "aluminium")
        assert material_fault("xyzzyq", "bush", "material").nearest is None


def test_every_figure_of_a_material_has_its_source_and_is_plausible() -> None:
    for material in MATERIALS.values():
        assert all(
            sourced.source for sourced in (material.modulus_gpa, material.poisson, material.expansion_ppm)
        )
        assert 20 < material.modulus_gpa.value < 220
        assert 0.2 < material.poisson.value < 0.36
        assert 10 < material.expansion_ppm.value < 25
        assert material.friction_least.value < material.friction_most.value


class TestHousingStrength:
    """An iron housing that may crack is doubted, and says so; metal that yields is told."""

    solid = bush(
        material="phosphor_bronze", construction="solid", outside_diameter=mm(16.046), bore=mm(12.06)
    )
    shaft = Journal(diameter=mm(11.98))

    def test_thin_iron_may_crack(self) -> None:
        """Lamé by hand below: hoop tension is pressure x (D2 + d2) / (D2 - d2), 124 MPa of G1800 iron."""
        fit = judge(
            self.solid, seat(material="cast_iron", bore=mm(16.0), outside_diameter=mm(20)), self.shaft
        )
        assert verdict_of(fit, "outside_diameter") == "unknown"
        assert "may crack" in text_of(fit, "outside_diameter")
        assert "G1800" in text_of(fit, "outside_diameter")

    def test_thicker_aluminium_yields_at_its_bore_and_bears_it(self) -> None:
        place = seat(bore=mm(16.0), outside_diameter=mm(24))
        fit = judge(self.solid, place, self.shaft)
        strain = strain_of_housing(self.solid, place, fit.states)
        assert fit.pressing is not None and strain is not None
        at_bore = fit.pressing.housing_hoop_mpa.most + fit.pressing.pressure_mpa.most
        assert at_bore > strain.strength_mpa.value  # by Tresca's rule it yields there
        assert strain.greatest_mpa < strain.bears_mpa
        assert verdict_of(fit, "outside_diameter") == "fits"

    def test_a_thin_steel_sleeve_yields_through_and_holds(self) -> None:
        """Thin walls are usually pressed into the plastic (notes of tribology-abc.com's calculator)."""
        place = seat(material="steel", bore=mm(16.0), outside_diameter=mm(20))
        fit = judge(self.solid, place, self.shaft)
        strain = strain_of_housing(self.solid, place, fit.states)
        assert strain is not None and strain.greatest_mpa > strain.bears_mpa and strain.chance == 1
        assert verdict_of(fit, "outside_diameter") == "fits"

    @pytest.mark.parametrize("missing", ["material", "outside_diameter"])
    def test_what_is_not_stated_of_the_housing_leaves_it_open(self, missing: str) -> None:
        place = seat(bore=mm(16.0), **{missing: None})
        assert strain_of_housing(self.solid, place, judge(self.solid, place, self.shaft).states) is None

    def test_a_wrapped_bush_is_no_closed_ring(self) -> None:
        piece = bush(material="bronze_on_steel", construction="wrapped", outside_diameter=mm(16.046))
        place = seat(material="cast_iron", bore=mm(16.0), outside_diameter=mm(20))
        assert strain_of_housing(piece, place, judge(piece, place).states) is None
