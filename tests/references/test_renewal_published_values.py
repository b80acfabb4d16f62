"""Expected failures until a horizon against closed forms, published tables and an independent method."""

import numpy as np
import pytest
from published_renewals import TIJMS, TIJMS_LATER
from renewals_by_transform import renewals_by_transform

from api.wear_life.first_failure import first_failures
from api.wear_life.renewal import AgedLife, NewLife, UnknownAge, discounted_renewals
from api.wear_life.weibull import WeibullLife

SHAPES = (0.5, 0.7, 0.97, 1.04, 1.5, 2.9, 4.0, 6.3, 10.0)


# Closed form: the exponential life has no age, M(t) = t / scale, discounted (1 - exp(-r t)) / (r scale).
@pytest.mark.parametrize("age", [0.0, 0.4, 7.0, 1000.0])
def test_the_exponential_life_fails_evenly(age: float) -> None:
    life, horizons = WeibullLife(1.0, 5.0), np.array([0.005, 0.3, 2.0, 10.0, 37.0, 150.0, 1000.0])
    assert discounted_renewals(life, AgedLife(age), horizons, 0.0) == pytest.approx(horizons / 5.0, rel=1e-11)
    worth = -np.expm1(-0.05 * horizons) / (0.05 * 5.0)
    assert discounted_renewals(life, AgedLife(age), horizons, 0.05) == pytest.approx(worth, rel=1e-11)
    # Exponential with rate 0.2, discounted at 0.05 over 10, unit cost: lambda (1 - exp(-r H)) / r.
    assert discounted_renewals(life, AgedLife(age), [10.0], 0.05)[0] == pytest.approx(1.57387736, abs=5e-9)


def test_a_textbooks_table() -> None:
    # Tijms, A First Course in Stochastic Models, table 8.1.1; at 0.8 what an independent solver finds.
    life = WeibullLife(2.101349, 1.129063)
    assert life.mean == pytest.approx(1.0, abs=1e-6)
    assert life.squared_variation == pytest.approx(0.25, abs=1e-6)
    for table, half in ((TIJMS, 5.1e-5), (TIJMS_LATER, 5.1e-4), ({0.8: 0.414049}, 5.1e-7)):
        found = discounted_renewals(life, NewLife(), list(table), 0.0)
        assert found == pytest.approx(list(table.values()), abs=half)


# Shape 2, scale 1: two independent sources agree, a Riemann-Stieltjes solver and the package relife 3.0.0.
def test_the_renewal_function_of_shape_two() -> None:
    found = discounted_renewals(WeibullLife(2.0, 1.0), NewLife(), [0.5, 1.0, 1.5, 2.0], 0.0)
    assert found == pytest.approx([0.230794, 0.753691, 1.329490, 1.894039], abs=6e-7)


# E[exp(-0.05 T)] by formula, reckoned with SciPy 1.17.1; over all time the failures are worth L / (1 - L).
@pytest.mark.parametrize(
    ("shape", "scale", "discount"), [(1.0, 5.0, 0.8), (2.0, 5.0, 0.80653182), (2.5, 8.0, 0.70922243)]
)
def test_all_failures_for_ever_are_a_geometric_series(shape: float, scale: float, discount: float) -> None:
    worth = discounted_renewals(WeibullLife(shape, scale), NewLife(), [1e6], 0.05)[0]
    assert worth / (1.0 + worth) == pytest.approx(discount, abs=6e-9)


# The first failure inside 10, discounted at 0.05, by formula, reckoned with SciPy 1.17.1.
@pytest.mark.parametrize(("shape", "worth"), [(2.0, 0.79602010), (1.0, 0.73433200)])
def test_the_first_failure_within_a_horizon(shape: float, worth: float) -> None:
    times, chances = first_failures(WeibullLife(shape, 1.0), 0.0, np.array([2.0]))
    assert np.sum(chances * np.exp(-0.25 * times)) == pytest.approx(worth, abs=6e-9)


# Closed form: with a stationary age failures come at the rate 1 / mean.
@pytest.mark.parametrize("shape", SHAPES)
def test_the_stationary_age_fails_evenly(shape: float) -> None:
    life, horizons = WeibullLife(shape, 3.0), np.array([0.01, 1.0, 4.0, 300.0])
    found = discounted_renewals(life, UnknownAge(), horizons, 0.0)
    assert found == pytest.approx(horizons / life.mean, rel=1e-13)
    for horizon in (0.3, 1.4):
        expected = renewals_by_transform(shape, None, horizon, 0.02)
        found = discounted_renewals(life, UnknownAge(), [horizon * 3.0], 0.02 / 3.0)
        assert found[0] == pytest.approx(expected, rel=1e-8)


# Asymptotes of renewal theory (Tijms, chapters 2 and 8): t / mean + (squared variation - 1) / 2.
@pytest.mark.parametrize("shape", SHAPES)
def test_far_out_it_follows_its_asymptote(shape: float) -> None:
    life = WeibullLife(shape, 1.0)
    horizons = life.mean * np.array([110.0, 200.0, 900.0, 1e5])
    found = discounted_renewals(life, NewLife(), horizons, 0.0)
    left = found - horizons / life.mean - 0.5 * (life.squared_variation - 1.0)
    assert np.abs(left[2:]).max() < 1e-8 * 900.0
    if shape > 0.7:  # below, the tail of the life is still felt at 200 means
        assert np.abs(left).max() < 1e-8 * 110.0


# The independent method of renewals_by_transform; it is itself good to some 1e-9.
@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("rate", [0.0, 0.5])
def test_an_independent_method_agrees_from_a_thousandth_of_a_mean_on(shape: float, rate: float) -> None:
    life = WeibullLife(shape, 1.0)
    horizons = life.mean * np.array([0.001, 0.05, 0.4, 0.95, 1.3, 4.7])
    for age in (0.0, 0.01, 0.5, 1.1):
        found = discounted_renewals(life, AgedLife(age), horizons, rate)
        expected = [renewals_by_transform(shape, age, horizon, rate) for horizon in horizons]
        assert found == pytest.approx(expected, rel=1e-8)
        alone = [discounted_renewals(life, AgedLife(age), [horizon], rate)[0] for horizon in horizons]
        assert alone == pytest.approx(expected, rel=1e-8)  # one or two at a time are reckoned without a table


@pytest.mark.parametrize("shape", [0.8, 1.1, 1.9, 3.2, 4.3])
def test_an_independent_method_agrees_on_both_sides_of_the_settling_time(shape: float) -> None:
    life = WeibullLife(shape, 1.0)
    horizons = life.mean * np.array([23.7, 26.0])
    for age, rate in ((0.0, 0.0), (0.7, 0.04)):
        found = discounted_renewals(life, AgedLife(age), horizons, rate)
        expected = [renewals_by_transform(shape, age, horizon, rate) for horizon in horizons]
        assert found == pytest.approx(expected, rel=1e-8)


# An old piece fails at once: what follows is a new life, whose value the independent method gives.
@pytest.mark.parametrize("shape", [4.0, 7.0, 10.0])
@pytest.mark.parametrize("age", [30.0, 1e6])
def test_a_piece_far_past_its_life_fails_at_once(shape: float, age: float) -> None:
    found = discounted_renewals(WeibullLife(shape, 1.0), AgedLife(age), [1.1, 2.2], 0.0)
    left = WeibullLife(shape, 1.0).residual_mean(age)
    expected = [1.0 + renewals_by_transform(shape, 0.0, horizon - left, 0.0) for horizon in (1.1, 2.2)]
    assert found == pytest.approx(expected, rel=1e-8)
