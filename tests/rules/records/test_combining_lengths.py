"""Readings of one length of several specimens: floor of the instrument, spread, consistency, limits."""

import math

import pytest

from api.records.combine_lengths import (
    SpecimenReading,
    agreeing_majority,
    combine_lengths,
    usual_deviation_nm,
)

CALIPER_NM, STEP_NM = 23_274.0, 10_000.0
"""A bore by digital caliper: 0.04 mm and a step of 0.01 mm, as rectangles in quadrature."""


def read(
    specimen: str, *values_nm: int, tool: str = "digital_caliper", u: float = CALIPER_NM
) -> SpecimenReading:
    return SpecimenReading(specimen, values_nm, tool, u, STEP_NM)


def test_a_single_reading_is_known_as_well_as_its_instrument_and_the_usual_spread_allow() -> None:
    found = combine_lengths([read("a", 12_520_000)], usual_nm=7_000.0)
    assert (found.mean_nm, found.between_nm, found.specimens) == (12_520_000, None, 1)
    assert (found.birge_ratio, found.chance, found.is_consistent) == (None, None, True)
    own = STEP_NM / math.sqrt(12)
    assert found.uncertainty_nm == pytest.approx(math.hypot(CALIPER_NM, 7_000.0, own))
    assert found.limits_nm == (12_520_000, 12_520_000)


def test_repeats_do_not_average_the_instrument_down() -> None:
    many = combine_lengths([read("a", *[12_520_000] * 20)], usual_nm=0.0)
    assert many.uncertainty_nm > CALIPER_NM


def test_a_hundred_specimens_by_one_caliper_are_known_no_better_than_the_caliper() -> None:
    found = combine_lengths([read(str(k), 12_520_000) for k in range(100)], usual_nm=5_000.0)
    assert CALIPER_NM < found.uncertainty_nm < 1.01 * CALIPER_NM


def test_two_instruments_know_it_better_than_either() -> None:
    """Their errors owe nothing to each other: half and half, the root of two better."""
    alone = combine_lengths([read("a", 12_520_000)], usual_nm=0.0)
    both = combine_lengths([read("a", 12_520_000), read("a", 12_520_000, tool="bore_gauge")], usual_nm=0.0)
    assert both.uncertainty_nm == pytest.approx(alone.uncertainty_nm / math.sqrt(2))


def test_the_better_of_two_readings_with_one_instrument_sets_the_floor() -> None:
    found = combine_lengths(
        [read("a", 12_520_000, u=20_000.0), read("b", 12_520_000, u=5_000.0)], usual_nm=0.0
    )
    assert 5_000.0 < found.uncertainty_nm < 20_000.0


def test_a_coarse_rule_hardly_moves_what_a_micrometer_says() -> None:
    fine = read("a", 16_030_000, tool="outside_micrometer", u=3_700.0)
    coarse = SpecimenReading("b", (16_500_000,), "steel_rule", 320_000.0, 500_000.0)
    found = combine_lengths([fine, coarse], usual_nm=5_000.0)
    assert found.is_consistent
    assert abs(found.mean_nm - 16_030_000) < 1_000


def test_the_spread_between_specimens_becomes_the_tolerance() -> None:
    readings = [read(str(k), 12_500_000 + 20_000 * k) for k in range(5)]
    found = combine_lengths(readings, usual_nm=40_000.0)
    assert found.is_consistent
    variance = 20_000**2 * 2.5 - STEP_NM**2 / 12  # of 0..4 with n - 1, less the step's own
    assert found.between_nm == pytest.approx(math.sqrt(variance), rel=1e-9)
    half = math.sqrt(3 * variance)
    assert found.limits_nm is not None
    assert found.limits_nm == pytest.approx((12_540_000 - half, 12_540_000 + half), abs=500)
    assert all(end % 1000 == 0 for end in found.limits_nm)


def test_limits_are_no_wider_than_is_usual_while_specimens_are_consistent() -> None:
    """Two specimens 0.07 mm apart may differ so by chance where 0.1 mm is usual."""
    found = combine_lengths([read("a", 11_965_000), read("b", 12_035_000)], usual_deviation_nm(100_000))
    assert found.is_consistent
    assert found.between_nm is not None
    assert found.between_nm > found.usual_nm
    assert found.limits_nm == (11_950_000, 12_050_000)


def test_a_specimen_that_does_not_belong_is_named_and_no_limits_are_given() -> None:
    readings = [read(name, nm) for name, nm in (("a", 12_510_000), ("b", 12_520_000), ("c", 12_515_000))]
    odd = read("wrong drawer", 12_700_000)
    found = combine_lengths([*readings, odd], usual_nm=usual_deviation_nm(18_000))
    assert not found.is_consistent
    assert found.limits_nm is None
    assert [one.specimen for one in found.deviations if one.is_far] == ["wrong drawer"]
    assert combine_lengths(readings, usual_nm=usual_deviation_nm(18_000)).is_consistent


def test_what_is_usual_of_the_length_decides_what_is_consistent() -> None:
    pair = [read("a", 11_925_000), read("b", 12_075_000)]
    assert combine_lengths(pair, usual_nm=usual_deviation_nm(220_000)).is_consistent
    assert not combine_lengths(pair, usual_nm=usual_deviation_nm(20_000)).is_consistent


def test_different_instruments_may_differ_by_their_own_errors() -> None:
    """0.04 mm apart: too far for one caliper on two bores alike, not for a caliper and a bore gauge."""
    one_tool = [read("a", 12_500_000), read("b", 12_540_000)]
    two_tools = [read("a", 12_500_000), read("b", 12_540_000, tool="bore_gauge", u=11_900.0)]
    assert not combine_lengths(one_tool, usual_nm=5_000.0).is_consistent
    assert combine_lengths(two_tools, usual_nm=5_000.0).is_consistent


def test_readings_of_one_specimen_that_contradict_each_other_are_inconsistent() -> None:
    readings = [read("a", 12_500_000), read("a", 12_900_000), read("b", 12_510_000)]
    found = combine_lengths(readings, usual_nm=30_000.0)
    assert not found.is_consistent
    assert found.between_nm is not None
    assert math.isfinite(found.between_nm)
    alone = combine_lengths(readings[:2], usual_nm=30_000.0)
    assert (alone.between_nm, alone.specimens, alone.readings) == (None, 1, 2)
    assert not alone.is_consistent


def test_scatter_is_pooled_over_the_specimens_of_one_instrument() -> None:
    """Two repeats alone would say 0 by chance; the others tell how far they scatter."""
    lucky = read("a", 12_520_000, 12_520_000)
    wild = read("b", 12_480_000, 12_560_000)
    found = combine_lengths([lucky, wild], usual_nm=0.0)
    pooled = (40_000**2 + 40_000**2) / 2 / 2
    assert found.uncertainty_nm == pytest.approx(math.sqrt(pooled / 2 + CALIPER_NM**2))


def test_a_stated_uncertainty_stands_for_the_instruments_own() -> None:
    stated = SpecimenReading("a", (12_520_000,), "digital_caliper", 8_000.0, 0.0)
    found = combine_lengths([stated], usual_nm=0.0)
    assert found.uncertainty_nm == pytest.approx(8_000.0 * math.hypot(1.0, 0.1))


def test_the_largest_agreeing_set_leaves_out_the_farthest_and_is_a_majority() -> None:
    usual = usual_deviation_nm(18_000)
    good = [read(name, nm) for name, nm in (("a", 12_510_000), ("b", 12_520_000), ("c", 12_515_000))]
    odd = [read("wrong drawer", 12_700_000), read("another", 13_100_000)]
    assert agreeing_majority([*odd, *good], usual) == combine_lengths(good, usual)
    assert agreeing_majority([*odd, *good[:2]], usual) is None  # two of four are no majority
    assert agreeing_majority(good, usual) == combine_lengths(good, usual)
    assert agreeing_majority(good[:1], usual) is None
