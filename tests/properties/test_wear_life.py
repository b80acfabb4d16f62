"""Properties of expected failures that hold for every life, age, horizon and rate."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from api.wear_life.renewal import AgedLife, NewLife, UnknownAge, discounted_renewals
from api.wear_life.weibull import WeibullLife

shapes = st.floats(0.5, 10.0)
shares = st.floats(0.0, 2.0)
horizons = st.lists(st.floats(0.001, 30.0), min_size=2, max_size=12)
rates = st.floats(0.0, 2.0)
firsts = st.one_of(st.just(NewLife()), shares.map(AgedLife), st.just(UnknownAge()))

few = settings(max_examples=40, deadline=None)
ROUNDING = 1e-9


@few
@given(shapes, firsts, horizons, rates)
def test_failures_grow_with_the_horizon_and_shrink_with_the_rate(shape, first, times, rate) -> None:
    life, rising = WeibullLife(shape, 1.0), np.sort(times)
    worth = discounted_renewals(life, first, rising, rate)
    number = discounted_renewals(life, first, rising, 0.0)
    assert (np.diff(worth) >= -ROUNDING * worth[1:]).all()
    assert (worth <= number * (1.0 + ROUNDING)).all()
    assert (worth >= number * np.exp(-rate * rising) * (1.0 - ROUNDING)).all()


@few
@given(shapes, horizons, rates)
def test_an_age_of_nothing_is_new(shape, times, rate) -> None:
    life = WeibullLife(shape, 1.0)
    new = discounted_renewals(life, NewLife(), times, rate)
    assert discounted_renewals(life, AgedLife(0.0), times, rate) == pytest.approx(new, rel=1e-12)
    # The chance of a first failure moves by shape x age / time to first order, or by age^shape below 1.
    assert discounted_renewals(life, AgedLife(1e-30), times, rate) == pytest.approx(new, rel=1e-8)


@few
@given(shapes, firsts, horizons, rates, st.floats(1e-6, 1e6))
def test_the_time_unit_does_not_matter(shape, first, times, rate, unit) -> None:
    plain = discounted_renewals(WeibullLife(shape, 1.0), first, times, rate)
    stretched = AgedLife(first.age * unit) if isinstance(first, AgedLife) else first
    other = discounted_renewals(WeibullLife(shape, unit), stretched, np.array(times) * unit, rate / unit)
    assert other == pytest.approx(plain, rel=1e-9)


@few
@given(shapes, horizons, rates)
def test_an_unknown_age_is_even_failure(shape, times, rate) -> None:
    life = WeibullLife(shape, 1.0)
    if rate == 0.0:
        expected = np.array(times) / life.mean
    else:
        expected = -np.expm1(-rate * np.array(times)) / (rate * life.mean)
    assert discounted_renewals(life, UnknownAge(), times, rate) == pytest.approx(expected, rel=1e-12)


@settings(max_examples=8, deadline=None)
@given(shapes, st.floats(0.05, 4.0), st.floats(0.0, 1.0))
def test_the_stationary_age_is_the_mixture_of_all_ages(shape, horizon, rate) -> None:
    # The density of the stationary age is the survival over the mean; mixed over it, aged lives fail evenly.
    life = WeibullLife(shape, 1.0)
    edges = float(life.quantile(1.0 - 1e-15)) * np.concatenate(
        [[0.0], np.geomspace(1e-5, 0.2, 9), np.linspace(0.3, 1.0, 8)]
    )
    nodes, weights = np.polynomial.legendre.leggauss(5)
    ages = (edges[:-1, None] + np.diff(edges)[:, None] * 0.5 * (1.0 + nodes)).ravel()
    shares = (np.diff(edges)[:, None] * 0.5 * weights).ravel() * life.survival(ages) / life.mean
    each = [discounted_renewals(life, AgedLife(age), [horizon], rate)[0] for age in ages]
    even = discounted_renewals(life, UnknownAge(), [horizon], rate)[0]
    assert float(shares @ np.array(each)) == pytest.approx(even, rel=1e-4)


@few
@given(st.floats(1.0, 10.0), shares, shares, horizons)
def test_with_wear_an_older_piece_fails_sooner(shape, one, other, times) -> None:
    life = WeibullLife(shape, 1.0)
    younger = discounted_renewals(life, AgedLife(min(one, other)), times, 0.0)
    older = discounted_renewals(life, AgedLife(max(one, other)), times, 0.0)
    assert (older >= younger * (1.0 - ROUNDING)).all()
