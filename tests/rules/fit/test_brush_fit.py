"""A brush in a starter: holder, length, spring, current, count, grade, lead; worked by hand."""

from pathlib import Path

import attrs
import pytest

from api.fit.brushes.brush import GRADE_VOLTAGES, Brush, BrushSeat, judge_brush, judge_holder, judge_voltage
from api.fit.brushes.brush_clearances import NominalSize, brush_nominals, holder_nominal, published_clearance
from api.fit.brushes.brush_length import discard_lengths, judge_length, strictest
from api.fit.brushes.brush_load import current_density, judge_density, judge_spring, pressure_kpa
from api.fit.judging.features import Feature
from api.fit.judging.reasons import Reason, grade_of

MM = 1_000_000
INCH = 25_400_000


def mm(lower: float, upper: float | None = None, u: float = 0.0) -> Feature:
    return Feature(round(lower * MM), round((lower if upper is None else upper) * MM), u * MM)


def inch(lower: float, upper: float) -> Feature:
    return Feature(round(lower * INCH), round(upper * INCH))


def figure(reason: Reason, name: str) -> float:
    return next(one.value for one in reason.figures if one.name == name)


BRUSH = Brush(
    thickness=mm(7.89, 7.97),
    width=mm(15.87, 15.96),
    lead_length=mm(43, 47),
    count=4,
    rated_voltage=12,
    grade="copper_rich_12v",
    terminal="eyelet",
    lead_exit="top",
    bevel="none",
)
SEAT = BrushSeat(
    holder_thickness=mm(8.025, 8.083), holder_width=mm(16.032, 16.102), count=4, rated_voltage=12
)


def test_a_brush_of_the_published_tolerances_fits_its_holder() -> None:
    reasons = judge_brush(BRUSH, SEAT)
    assert [reason.dimension for reason in reasons] == ["thickness", "width", "brush_count", "rated_voltage"]
    assert grade_of(reasons) == "fits"
    assert figure(reasons[0], "least_clearance_mm") == pytest.approx(0.055)
    assert figure(reasons[0], "most_clearance_mm") == pytest.approx(0.193)
    assert figure(reasons[0], "chance_within_published") == pytest.approx(1)


@pytest.mark.parametrize(
    ("brush", "verdict"),
    [
        (mm(8.1), "does_not_fit"),
        (mm(8.0), "unknown"),
        (mm(7.98), "unknown"),
        (mm(8.03), "does_not_fit"),
        (mm(7.97), "fits"),
        (mm(7.89), "fits"),
        (mm(7.88), "unknown"),
        (mm(7.4), "unknown"),
        (mm(7.3), "does_not_fit"),
    ],
)
def test_clearance_counts_against_its_least_and_its_greatest(brush: Feature, verdict: str) -> None:
    # Holder 8.025 to 8.083 mm, published 0.055 to 0.193 mm. 8.00 mm leaves 0.025 to 0.083: it may be tight;
    # 8.03 mm leaves 0.053 at most: it is tight.
    assert judge_holder("thickness", SEAT.holder_thickness, brush).verdict == verdict


def test_a_brush_surely_tighter_than_published_sticks() -> None:
    reason = judge_holder("thickness", mm(8.03), mm(8.0))
    assert (reason.verdict, figure(reason, "least_clearance_mm")) == ("does_not_fit", pytest.approx(0.03))
    assert "sticks" in reason.text


def test_a_reading_says_how_likely_the_clearance_is_within() -> None:
    # Clearance 0.193 +/- u: as likely inside as outside, the least one far away.
    reason = judge_holder("thickness", mm(8.083), mm(7.89, u=0.005))
    assert reason.verdict == "unknown"
    assert figure(reason, "chance_within_published") == pytest.approx(0.5, abs=1e-6)


def test_exact_lengths_have_no_chance() -> None:
    reason = judge_holder("thickness", mm(8.05), mm(7.93))
    assert "chance_within_published" not in {one.name for one in reason.figures}


def test_a_holder_outside_the_table_is_unknown_and_a_brush_too_thick_is_refused() -> None:
    assert judge_holder("width", mm(90.06), mm(89.9)).verdict == "unknown"
    assert judge_holder("width", mm(90.06), mm(90.1)).verdict == "does_not_fit"
    assert judge_holder("width", None, mm(8)).verdict == "unknown"


def test_inch_brushes_and_holders_follow_the_inch_rows() -> None:
    reason = judge_holder("thickness", inch(0.3135, 0.3158), inch(0.3082, 0.3113))
    assert reason.verdict == "fits"
    assert figure(reason, "published_least_clearance_mm") == pytest.approx(0.0022 * 25.4)


def test_an_inch_brush_in_a_metric_holder_is_pointed_out() -> None:
    mixed = judge_holder("thickness", mm(8.025, 8.083), inch(0.3082, 0.3113))
    assert "inch brush in a metric holder" in mixed.text
    assert mixed.verdict == "unknown"
    assert "inch brush" not in judge_holder("thickness", mm(8.025, 8.083), mm(7.89, 7.97)).text


def test_nominal_sizes_are_found_from_dimensions() -> None:
    assert holder_nominal(mm(8.025, 8.083)) == NominalSize(8 * MM, "mm")
    assert holder_nominal(inch(0.3135, 0.3158)) == NominalSize(5 * INCH // 16, "in")
    assert holder_nominal(mm(7.3)) is None
    assert NominalSize(5 * INCH // 16, "in").text == "5/16 in"
    assert brush_nominals(mm(6.21)) == (NominalSize(6_300_000, "mm"),)
    assert brush_nominals(mm(7.3)) == ()


def test_between_two_rows_both_count() -> None:
    # 6 mm: between 4 to 5 (0.050 / 0.178) and 6.3 to 10 (0.055 / 0.193).
    row = published_clearance(6 * MM)
    assert row is not None
    assert (row.least_nm, row.most_nm) == (50_000, 193_000)
    # 3/4 in: past the inch table (0.0028 in), before 20 mm (0.254 mm).
    row = published_clearance(3 * INCH // 4, "in")
    assert row is not None
    assert (row.least_nm, row.most_nm) == (71_120, 254_000)
    assert published_clearance(MM) is None
    assert published_clearance(81 * MM) is None


@pytest.mark.parametrize(
    ("rated", "grade", "starter", "verdict"),
    [
        (12, None, 12, "fits"),
        (12, "copper_rich_12v", 12, "fits"),
        (None, "copper_lean_24v", 24, "fits"),
        (24, None, 12, "does_not_fit"),
        (12, "copper_lean_24v", 12, "does_not_fit"),
        (None, "copper_rich_12v", 24, "does_not_fit"),
        (12, None, None, "unknown"),
        (None, None, 12, "unknown"),
        (None, "of no known voltage", 12, "unknown"),
    ],
)
def test_grades_of_12_and_24_volts_never_stand_in(
    rated: int | None, grade: str | None, starter: int | None, verdict: str
) -> None:
    assert judge_voltage(rated, grade, starter).verdict == verdict


@pytest.mark.parametrize(
    ("seat", "brush", "dimension", "verdict"),
    [
        ({"lead_reach": mm(39, 41)}, {}, "lead_length", "fits"),
        ({"lead_reach": mm(44)}, {}, "lead_length", "unknown"),
        ({"lead_reach": mm(48)}, {}, "lead_length", "does_not_fit"),
        ({"lead_reach": mm(48)}, {"lead_length": None}, "lead_length", "unknown"),
        ({"terminal": "eyelet"}, {}, "terminal", "fits"),
        ({"terminal": "fork"}, {}, "terminal", "does_not_fit"),
        ({"terminal": "bare"}, {}, "terminal", "fits_with_rework"),
        ({"terminal": "bare"}, {"terminal": None}, "terminal", "unknown"),
        ({"lead_exit": "side"}, {}, "lead_exit", "does_not_fit"),
        ({"bevel": "none"}, {}, "bevel", "fits"),
        ({"grade": "copper_rich_12v"}, {}, "grade", "fits"),
        ({"grade": "copper_medium_12v"}, {}, "grade", "unknown"),
        ({"grade": "copper_lean_24v"}, {}, "grade", "does_not_fit"),
        ({"grade": "copper_rich_12v"}, {"grade": None}, "grade", "unknown"),
        ({"count": 6}, {}, "brush_count", "does_not_fit"),
        ({"count": None}, {}, "brush_count", "unknown"),
    ],
)
def test_each_choice_counts_where_the_starter_states_it(
    seat: dict[str, object], brush: dict[str, object], dimension: str, verdict: str
) -> None:
    reasons = judge_brush(attrs.evolve(BRUSH, **brush), attrs.evolve(SEAT, **seat))
    assert next(reason.verdict for reason in reasons if reason.dimension == dimension) == verdict


def test_rework_of_a_terminal_names_the_operation() -> None:
    reasons = judge_brush(BRUSH, attrs.evolve(SEAT, terminal="bare"))
    assert grade_of(reasons) == "fits_with_rework"
    assert "weld or braze" in reasons[-1].text


def test_grades_of_the_rules_are_those_of_the_kind(seed_folder: Path) -> None:
    text = (seed_folder / "kinds" / "brush_set.toml").read_text("utf-8")
    assert all(f'"{grade}"' in text for grade in GRADE_VOLTAGES)


def test_sources_of_the_discard_length_disagree_and_the_stricter_counts() -> None:
    lengths = discard_lengths(mm(15.3))
    assert [one.nm for one in lengths] == [6_120_000, 10_000_000]
    assert strictest(lengths).nm == 10_000_000
    # Of another length the service data are scaled: 16 mm x 11.5 / 17 = 10.824 mm.
    assert strictest(discard_lengths(mm(16))).nm == 10_823_529


@pytest.mark.parametrize(
    ("length", "verdict"),
    [(mm(12), "fits"), (mm(10.0, u=0.02), "unknown"), (mm(9.9), "does_not_fit")],
)
def test_a_worn_brush_is_judged_by_its_length(length: Feature, verdict: str) -> None:
    reason = judge_length(length, mm(15, 15.5))
    assert reason.verdict == verdict
    assert "NAVEDTRA" in reason.text


def test_what_is_left_is_told_as_a_share() -> None:
    # New 15.25, now 12, discarded at 10 mm: 2 of 5.25 mm.
    assert figure(judge_length(mm(12), mm(15, 15.5)), "share_of_wear_left") == pytest.approx(2 / 5.25)
    stated = judge_length(mm(12), None, 11 * MM)
    assert figure(stated, "least_length_left_mm") == pytest.approx(1)
    assert "Another source" not in stated.text


def test_without_a_length_or_a_limit_it_is_unknown() -> None:
    assert judge_length(None, mm(15)).verdict == "unknown"
    assert judge_length(mm(12)).verdict == "unknown"


def test_a_spring_is_judged_by_stated_limits_first() -> None:
    assert judge_spring(20, None, None).verdict == "fits"
    assert judge_spring(15, None, None).verdict == "unknown"
    assert judge_spring(15, None, None, least_newtons=12).verdict == "fits"
    assert judge_spring(11, None, None, least_newtons=12).verdict == "does_not_fit"
    assert judge_spring(30, None, None, most_newtons=25).verdict == "does_not_fit"
    assert judge_spring(20, None, None, least_newtons=18, most_newtons=24).verdict == "fits"


def test_pressure_is_force_over_the_section_of_the_brush_box() -> None:
    # 20 N over 8 x 16 mm = 0.15625 N/mm2 = 156.25 kPa.
    assert pressure_kpa(20, 8 * MM, 16 * MM) == pytest.approx(156.25)
    assert figure(judge_spring(20, mm(8), mm(16)), "pressure_kpa") == pytest.approx(156.25)


def test_current_density_counts_half_the_brushes() -> None:
    # 300 A through two brushes of 0.8 x 1.6 cm: 150 / 1.28 = 117.19 A/cm2.
    density = current_density(300, 4, 8 * MM, 16 * MM)
    assert density == pytest.approx(117.1875)
    assert judge_density(density, 120).verdict == "fits"
    assert judge_density(density, 100).verdict == "does_not_fit"
