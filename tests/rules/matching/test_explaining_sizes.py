"""What is told of a reading beside a size: gap, wear, verdict, and what limits the match."""

import math

import attrs
import pytest
from bush_kind import BORE, BUSHING, LENGTH, NO_FLANGE, counted, read, seen, size, table

from api.matching.likelihoods.explanation import explain_sizes, judge_gap
from api.matching.model import DimensionModel, KindModel
from api.matching.readings import AbsentReading, LengthReading
from tests.size_rows import SizeRow, build_size_table
from tests.whole_tables import weigh_sizes

U = 23_300.0


def explain(row, *readings):
    sizes = table(row)
    return explain_sizes(BUSHING, sizes, weigh_sizes(BUSHING, sizes, readings), [0])[0]


def test_a_worn_bore_beside_its_size():
    """Worked: 12.62 mm by digital caliper (u = 0.0233 mm) beside 12.500..12.518 mm lies 4.4 u above."""
    (told,) = explain(size("A", bore=12.5), read("bore", 12.62)).dimensions
    assert (told.lower_nm, told.upper_nm) == (12_500_000, 12_518_000)
    assert told.read_nm == told.compared_nm == 12_620_000
    assert told.gap_nm == told.implied_wear_nm == 102_000
    assert round(told.standardised_gap, 1) == 4.4
    assert told.verdict == "worn"


def test_inside_the_interval_there_is_no_gap():
    (told,) = explain(size("A", bore=12.5), read("bore", 12.509)).dimensions
    assert (told.gap_nm, told.implied_wear_nm, told.standardised_gap, told.verdict) == (0, 0, 0, "agrees")


def test_a_gap_against_the_wear_is_signed_and_implies_none():
    (told,) = explain(size("A", bore=12.5), read("bore", 12.40)).dimensions
    assert told.gap_nm == -100_000
    assert told.implied_wear_nm == 0
    assert told.verdict == "contradicts"


@pytest.mark.parametrize(
    ("dimension", "gap", "worn", "verdict"),
    [
        (BORE, 2 * U, True, "agrees"),
        (BORE, -2 * U, True, "agrees"),
        (BORE, 2.01 * U, True, "worn"),
        (BORE, 2.01 * U, False, "contradicts"),
        (BORE, -2.01 * U, True, "contradicts"),
        (BORE, 2 * U + 320_000, True, "worn"),
        (BORE, 2 * U + 320_001, True, "too_worn"),
        (LENGTH, -2.01 * U, True, "worn"),
        (LENGTH, 2.01 * U, True, "contradicts"),
        (LENGTH, -2 * U - 600_001, True, "too_worn"),
        (attrs.evolve(BORE, agrees_within=5.0), 4 * U, False, "agrees"),
        (attrs.evolve(BORE, worn_within=1.0), 2 * U + 80_001, True, "too_worn"),
    ],
)
def test_verdicts_follow_the_published_thresholds(dimension, gap, worn, verdict):
    assert judge_gap(dimension, gap, U, worn) == verdict


def test_counts_and_choices_agree_or_contradict():
    row = size("A", holes=2, oil="hole")
    holes, oil = explain(row, counted(2), seen("groove")).dimensions
    assert (holes.verdict, holes.read_value, holes.recorded_value) == ("agrees", 2, 2)
    assert (oil.verdict, oil.read_value, oil.recorded_value) == ("contradicts", "groove", "hole")


def test_what_is_not_recorded_is_said_to_be_so_and_limits_nothing():
    told = explain(size("A"), read("bore", 12.6), counted(2))
    assert [one.verdict for one in told.dimensions] == ["not_recorded", "not_recorded"]
    assert told.dimensions[1].recorded_value is None
    assert told.limiting_dimension is None


def test_what_does_not_apply_contradicts_and_limits():
    row = size("A", bore=12.5, flange=NO_FLANGE, holes=NO_FLANGE)
    told = explain(row, read("bore", 12.55), read("flange_diameter", 20.0))
    assert told.dimensions[1].verdict == "contradicts"
    assert told.dimensions[1].lower_nm is None
    assert told.limiting_dimension == "flange_diameter"
    assert explain(row, read("bore", 12.55), counted(2)).limiting_dimension == "holes"


def test_an_absent_feature_agrees_with_a_size_without_it_only():
    absent = AbsentReading(dimension="flange_diameter")
    assert explain(size("A", flange=NO_FLANGE), absent).dimensions[0].verdict == "agrees"
    assert explain(size("A", flange=20.0), absent).dimensions[0].verdict == "contradicts"
    assert explain(size("A"), absent).dimensions[0].verdict == "not_recorded"
    told = explain(size("A", bore=12.5, flange=20.0), read("bore", 12.51), absent)
    assert told.limiting_dimension == "flange_diameter"


def test_no_readings_no_explanation():
    told = explain(size("A", bore=12.5))
    assert told.dimensions == ()
    assert told.limiting_dimension is None


@pytest.mark.parametrize(
    ("readings", "limiting"),
    [
        ((read("bore", 12.52), read("length", 11.0)), "length"),
        ((read("bore", 12.9), read("length", 12.0)), "bore"),
        ((read("bore", 12.52), read("length", 12.01), counted(5)), "holes"),
        ((read("bore", 12.4), read("length", 12.01), seen("none")), "bore"),
        ((read("bore", 12.509, worn=False), read("length", 12.1, worn=False)), "length"),
    ],
)
def test_the_reading_furthest_below_the_likeliest_possible_one_limits(readings, limiting):
    row = size("A", bore=12.5, length=12.0, holes=2, oil="hole")
    assert explain(row, *readings).limiting_dimension == limiting


def test_several_sizes_are_explained_as_each_alone():
    sizes = table(size("A", bore=12.5, length=12), size("B", bore=12.6), size("C", flange=NO_FLANGE))
    readings = (read("bore", 12.62), read("length", 11.9), read("flange_diameter", 20.0))
    posterior = weigh_sizes(BUSHING, sizes, readings)
    together = explain_sizes(BUSHING, sizes, posterior, [2, 0, 1])
    assert together == tuple(explain_sizes(BUSHING, sizes, posterior, [row])[0] for row in (2, 0, 1))
    assert explain_sizes(BUSHING, sizes, posterior, []) == ()


TEETH = DimensionModel(code="teeth", measure="count", how="count", span_lower=6, span_upper=20)
TIPS = attrs.evolve(LENGTH, code="tip_diameter", two_point_over="teeth")
CLUTCH = KindModel(kind="drive_clutch", dimensions=(TEETH, TIPS))


def test_odd_teeth_are_compared_in_the_scale_of_the_tip_diameter():
    sizes = build_size_table(
        CLUTCH,
        [
            SizeRow(code="A", values={"teeth": 9, "tip_diameter": (30_000_000, 30_018_000)}),
            SizeRow(code="B", values={"tip_diameter": (30_000_000, 30_018_000)}),
        ],
    )
    across = 30_000_000 * math.cos(math.radians(10)) - 100_000
    reading = LengthReading(dimension="tip_diameter", value_nm=across, uncertainty_nm=10_000)
    odd, unknown = explain_sizes(CLUTCH, sizes, weigh_sizes(CLUTCH, sizes, [reading]), [0, 1])
    (told,) = odd.dimensions
    assert told.read_nm == across
    assert told.compared_nm == pytest.approx(30_000_000 - 100_000 / math.cos(math.radians(10)))
    assert told.standardised_gap == pytest.approx(-10.0)  # gap and uncertainty carry the same cosine
    assert told.verdict == "worn"
    assert unknown.dimensions[0].verdict == "not_recorded"
