"""Expected failures until a horizon: bounds, order, extremes, and how the work grows."""

import math

import numpy as np
import pytest

from api.wear_life.first_failure import first_failures
from api.wear_life.refusals import AgeRefused, HorizonRefused
from api.wear_life.renewal import AgedLife, NewLife, UnknownAge, discounted_renewals
from api.wear_life.renewal_panels import solve_new_renewals
from api.wear_life.weibull import WeibullLife

LIFE = WeibullLife(2.0, 100.0)
FIRSTS = (NewLife(), AgedLife(60.0), UnknownAge())


@pytest.mark.parametrize("horizon", [-1.0, math.nan, math.inf])
@pytest.mark.parametrize("first", FIRSTS)
def test_a_horizon_that_is_no_time_is_refused(first: object, horizon: float) -> None:
    with pytest.raises(HorizonRefused) as caught:
        discounted_renewals(LIFE, first, [12.0, horizon], 0.0)
    assert caught.value.code == "horizon_out_of_range"


@pytest.mark.parametrize("rate", [-0.01, math.nan, math.inf])
def test_a_rate_that_is_none_is_refused(rate: float) -> None:
    with pytest.raises(HorizonRefused) as caught:
        discounted_renewals(LIFE, NewLife(), [12.0], rate)
    assert caught.value.code == "rate_out_of_range"


def test_an_age_below_zero_is_refused_when_it_is_stated() -> None:
    with pytest.raises(AgeRefused):
        AgedLife(-1.0)


@pytest.mark.parametrize("first", FIRSTS)
@pytest.mark.parametrize("rate", [0.0, 0.01])
def test_horizons_may_come_in_any_number_order_and_shape(first: object, rate: float) -> None:
    horizons = np.array([[240.0, 0.0, 1.0], [900.0, 36.0, 36.0]])
    together = discounted_renewals(LIFE, first, horizons, rate)
    assert together.shape == (2, 3)
    alone = [discounted_renewals(LIFE, first, [one], rate)[0] for one in horizons.ravel()]
    assert together.ravel() == pytest.approx(alone, rel=1e-10)
    assert together[0, 1] == 0.0
    assert discounted_renewals(LIFE, first, [], rate).shape == (0,)
    assert discounted_renewals(LIFE, first, [0.0, 0.0], rate).tolist() == [0.0, 0.0]


@pytest.mark.parametrize("shape", [0.5, 1.0, 2.0, 10.0])
def test_minute_horizons_hold_one_failure_at_most(shape: float) -> None:
    life = WeibullLife(shape, 100.0)
    for horizon in (1e-9, 1e-25):
        x = (horizon / 100.0) ** shape
        found = discounted_renewals(life, NewLife(), [horizon], 0.01)[0]
        assert found == pytest.approx(x, rel=1e-4)


@pytest.mark.parametrize("shape", [0.5, 1.0, 1.7, 10.0])
@pytest.mark.parametrize("first", [NewLife(), AgedLife(3.0), AgedLife(1e30), UnknownAge()])
@pytest.mark.parametrize("rate", [0.0, 1e-12, 1e3])
def test_extreme_figures_give_finite_answers(shape: float, first: object, rate: float) -> None:
    for scale in (1e-9, 1.0, 1e9):
        found = discounted_renewals(WeibullLife(shape, scale), first, [1e-6, 1.0, 1e6], rate)
        assert np.isfinite(found).all() and (found >= 0.0).all()
        assert (np.diff(found) >= -1e-9 * found[1:]).all()


@pytest.mark.parametrize("shape", [0.5, 1.0, 1.3, 3.0, 10.0])
def test_the_least_rate_is_no_different_from_none(shape: float) -> None:
    life, horizons = WeibullLife(shape, 100.0), np.array([0.5, 30.0, 90.0, 400.0, 20_000.0])
    for first in (NewLife(), AgedLife(50.0)):
        plain = discounted_renewals(life, first, horizons, 0.0)
        for rate in (1e-16, 5e-324):
            assert discounted_renewals(life, first, horizons, rate) == pytest.approx(plain, rel=1e-10)


@pytest.mark.parametrize("shape", [0.5, 1.0, 1.9, 4.0, 10.0])
def test_a_high_rate_leaves_the_first_failures_alone(shape: float) -> None:
    # At 40 per scale later failures are worth next to nothing beside the first, or are its powers.
    found = discounted_renewals(WeibullLife(shape, 1.0), NewLife(), [50.0], 40.0)[0]
    times, chances = first_failures(WeibullLife(shape, 1.0), 0.0, np.array([1.5]))
    first = float(np.sum(chances * np.exp(-40.0 * times)))
    assert found == pytest.approx(first / (1.0 - first), rel=1e-8)


def test_the_work_stops_growing_where_the_failures_have_settled() -> None:
    unit = WeibullLife(3.0, 1.0)
    assert len(solve_new_renewals(unit, 0.3).values) == 0
    sizes = [len(solve_new_renewals(unit, until).values) for until in (2.0, 4.0, 8.0)]
    assert sizes[0] < sizes[1] < sizes[2] < 12
    horizons = np.array([1e4, 1e12])
    found = discounted_renewals(unit, NewLife(), horizons, 0.0)
    assert found == pytest.approx(horizons / unit.mean, rel=1e-4)
