"""How instruments, texts and repeats make up a standard uncertainty."""

import math
from fractions import Fraction
from pathlib import Path

import pytest

from api.measurement.instrument_data import read_instruments
from api.measurement.lengths import parse_length
from api.measurement.uncertainty import (
    counted_resolution_nm,
    explained_spread_nm,
    instrument_part_nm,
    mean_nm,
    repeats_disagree,
    scatter_part_nm,
    spread_of_stated_nm,
    standard_uncertainty_nm,
)

INSTRUMENTS = read_instruments(
    (Path(__file__).parents[3] / "seed_catalog" / "instruments.toml").read_text(encoding="utf-8")
)
CALIPER = INSTRUMENTS["digital_caliper"]


def test_one_reading_combines_permissible_error_and_resolution() -> None:
    expected = math.sqrt(20_000**2 / 3 + 10_000**2 / 12)
    assert instrument_part_nm(CALIPER, "outside", 12_000_000) == pytest.approx(expected, rel=1e-12)


def test_repeats_add_their_scatter_and_do_not_average_the_instrument_down() -> None:
    values_nm = [12_600_000, 12_620_000, 12_640_000]
    shared = instrument_part_nm(CALIPER, "inside", 12_620_000)
    scatter = 20_000 / math.sqrt(3)  # s = 0.02 mm by hand, n = 3
    assert scatter_part_nm(values_nm) == pytest.approx(scatter, rel=1e-12)
    assert standard_uncertainty_nm(CALIPER, "inside", values_nm) == pytest.approx(
        math.hypot(shared, scatter), rel=1e-12
    )
    assert standard_uncertainty_nm(CALIPER, "inside", [12_620_000] * 20) == pytest.approx(shared, rel=1e-12)


def test_the_mean_is_rounded_half_to_even() -> None:
    assert [mean_nm([1, 2]), mean_nm([2, 3]), mean_nm([1, 1, 2])] == [2, 2, 1]


def test_the_scatter_part_shrinks_with_the_root_of_the_number_of_repeats() -> None:
    few = scatter_part_nm([0, 1_000] * 8)
    many = scatter_part_nm([0, 1_000] * 800)
    assert few / many == pytest.approx(10, rel=0.04)  # s itself changes by sqrt(15/16 * 1600/1599)


def test_a_fraction_sets_the_resolution_only_where_no_instrument_is_named() -> None:
    fraction = [parse_length("31/64 in")]
    assert counted_resolution_nm(CALIPER, True, fraction) == 10_000
    assert counted_resolution_nm(CALIPER, False, fraction) == 396_875


def test_the_coarsest_fraction_counts_and_never_less_than_the_instrument() -> None:
    assert counted_resolution_nm(
        CALIPER, False, [parse_length("31/64 in"), parse_length("15/32 in")]
    ) == Fraction(793_750)
    assert counted_resolution_nm(CALIPER, False, [parse_length("4970/10000 in")]) == 10_000
    assert counted_resolution_nm(CALIPER, False, [parse_length("12 mm")]) == 10_000


def test_repeats_that_the_instrument_explains_do_not_disagree() -> None:
    explained = explained_spread_nm(CALIPER, "inside", 12_620_000)
    assert explained == 90_000  # twice 0.04 mm and one step of 0.01 mm
    assert not repeats_disagree([12_600_000, 12_690_000], explained)
    assert repeats_disagree([12_600_000, 12_690_001], explained)
    assert not repeats_disagree([12_600_000], 0)


def test_a_coarser_step_explains_a_wider_spread() -> None:
    assert explained_spread_nm(CALIPER, "inside", 12_620_000, Fraction(396_875)) == 476_875


def test_a_stated_uncertainty_explains_the_width_of_its_rectangle() -> None:
    assert spread_of_stated_nm(10_000 / math.sqrt(3)) == pytest.approx(20_000, rel=1e-12)


def test_a_fraction_in_lowest_terms_is_read_to_a_32nd_at_worst():
    """Common practice, no source: bench rules in inches are divided into 32nds or finer."""
    assert counted_resolution_nm(CALIPER, False, [parse_length("1/2 in")]) == 793_750
    assert counted_resolution_nm(CALIPER, False, [parse_length("31/64 in")]) == 396_875
