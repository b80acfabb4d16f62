"""The probabilities of sizes, groups, parts and of a part that the catalogue does not hold."""

import attrs
import numpy as np
import pytest
from bush_kind import BUSHING, counted, read, seen, size, table
from scipy import stats

from api.errors import InvalidInput
from api.matching.likelihoods.posterior import count_candidates, group_probabilities
from tests.whole_tables import group_sizes, weigh_sizes


def weigh(sizes, *readings):
    return weigh_sizes(BUSHING, sizes, readings)


def test_without_readings_the_prior_is_left():
    sizes = table(size("A", bore=12.5, listings=0), size("B", bore=13.0, listings=2))
    prior = weigh(sizes)
    assert prior.size_probability == pytest.approx([0.95 / 4, 0.95 * 3 / 4])
    assert prior.unlisted_probability == pytest.approx(0.05)
    assert prior.contradictions == ()


def test_two_exact_sizes_and_unlisted_by_bayes_rule_with_scipy_densities():
    sizes = table(
        size("A", bore=(12_500_000, 12_500_000), holes=1), size("B", bore=(12_600_000, 12_600_000), holes=1)
    )
    posterior = weigh(sizes, read("bore", 12.63), counted(1))
    shape = 80_000 / 23_300

    def bore(at):
        return 0.98 * stats.exponnorm.pdf(12_630_000 - at, shape, scale=23_300) + 0.02 / 36_000_000

    one_hole = 0.96 / (0.96 + 2 * 0.02 + 7 * 0.001)
    weights = np.array([0.475 * bore(12.5e6) * one_hole, 0.475 * bore(12.6e6) * one_hole, 0.05 / 36e6 / 10])
    expected = weights / weights.sum()
    assert posterior.size_probability == pytest.approx(expected[:2], rel=1e-9)
    assert posterior.unlisted_probability == pytest.approx(expected[2], rel=1e-9)


def test_a_size_that_does_not_record_a_dimension_neither_wins_nor_loses_against_unlisted():
    sizes = table(size("A", length=12.0))
    before, after = weigh(sizes), weigh(sizes, read("bore", 12.6))
    assert after.size_probability == pytest.approx(before.size_probability)


def test_an_empty_catalogue_holds_nothing():
    posterior = weigh(table(), read("bore", 12.5))
    assert posterior.unlisted_probability == 1.0
    assert posterior.size_probability.tolist() == []
    assert posterior.contradictions == ()


def test_readings_of_no_size_make_unlisted_likely():
    sizes = table(
        size("A", bore=12.5, length=12.0, flange=18.0), size("B", bore=14.0, length=16.0, flange=20.0)
    )
    posterior = weigh(sizes, read("bore", 30.0), read("length", 44.0), read("flange_diameter", 51.0))
    assert posterior.unlisted_probability > 0.99


def test_the_probability_of_a_group_is_that_of_its_sizes():
    sizes = table(size("A", bore=12.5), size("B", bore=12.51), size("C", bore=14.0))
    posterior = weigh(sizes, read("bore", 12.6))
    groups = group_sizes(BUSHING, sizes)
    assert groups.ids == ("A", "C")
    of_group = group_probabilities(posterior, groups)
    assert of_group[0] == pytest.approx(posterior.size_probability[:2].sum())
    assert of_group.sum() + posterior.unlisted_probability == pytest.approx(1.0)


def test_enough_candidates_are_listed_but_not_fewer_than_20_nor_more_than_200():
    assert count_candidates([0.9, 0.05], 0.05) == 2
    assert count_candidates([0.9] + [0.001] * 60, 0.04) == 20
    assert count_candidates([0.01] * 100, 0.0) == 90
    assert count_candidates([0.01] * 50, 0.5) == 40
    assert count_candidates([0.001] * 1000, 0.0) == 200
    assert count_candidates([], 1.0) == 0


def test_a_limit_is_kept():
    assert count_candidates([0.01] * 100, 0.0, limit=5) == 5
    assert count_candidates([0.5, 0.4], 0.1, limit=5) == 2


def test_all_refused_readings_are_named_at_once():
    with pytest.raises(InvalidInput) as refused:
        weigh(table(size("A", bore=12.5)), read("bore", 900.0), seen("spiral"))
    assert [fault.path for fault in refused.value.faults] == [("bore",), ("oil_supply",)]


def test_of_one_reading_alone_that_fits_no_size_the_reason_is_told():
    sizes = table(size("A", bore=12.5), size("B", bore=14.0))
    (found,) = weigh(sizes, read("bore", 30.0)).contradictions
    assert (found.dimension, found.reason) == ("bore", "no_size_explains_it")
    assert found.slip_probability == pytest.approx(1.0)


def test_the_one_wrong_reading_of_four_is_named_alone():
    sizes = table(
        size("A", bore=12.5, length=12.0, flange=18.0, holes=2),
        size("B", bore=16.0, length=20.0, flange=25.0, holes=2),
    )
    readings = (read("bore", 12.55), read("length", 11.95), read("flange_diameter", 25.01), counted(2))
    (found,) = weigh(sizes, *readings).contradictions
    assert (found.dimension, found.reason) == ("flange_diameter", "disagrees_with_other_readings")
    assert found.slip_probability > 0.9


def test_two_readings_that_exclude_each_other_are_both_named():
    kind = attrs.evolve(BUSHING, unlisted_prior=1e-6)
    sizes = table(size("A", bore=12.5, flange=18.0), size("B", bore=16.0, flange=25.0))
    readings = (read("bore", 12.509, worn=False), read("flange_diameter", 25.009))
    found = weigh_sizes(kind, sizes, readings).contradictions
    assert [one.dimension for one in found] == ["bore", "flange_diameter"]


def test_a_choice_and_a_count_that_are_not_the_sizes_are_named():
    sizes = table(size("A", bore=12.5, length=12.0, holes=2, oil="hole"))
    good = (read("bore", 12.51), read("length", 11.99))
    assert [one.dimension for one in weigh(sizes, *good, seen("groove")).contradictions] == ["oil_supply"]
    assert [one.dimension for one in weigh(sizes, *good, counted(4)).contradictions] == ["holes"]
    assert weigh(sizes, *good, seen("hole"), counted(2)).contradictions == ()


def test_repeats_that_disagree_are_named_first():
    sizes = table(size("A", bore=12.5, length=12.0))
    found = weigh(sizes, read("bore", 30.0), counted(2), counted(3)).contradictions
    assert [(one.dimension, one.reason) for one in found] == [
        ("holes", "repeats_disagree"),
        ("bore", "no_size_explains_it"),
    ]
    assert found[0].slip_probability is None
