"""The grid method against closed forms and a reference package, and the service against the same values."""

import numpy as np
import pytest
from published_renewals import RELIFE, RELIFE_TIMES
from renewals_on_a_grid import discounted_failures, extrapolated, lasts_until

from api.wear_life.renewal import AgedLife, NewLife, discounted_renewals
from api.wear_life.weibull import WeibullLife


# Closed form of gamma lives (shape 2, rate 1): M(t) = t / 2 - (1 - exp(-2 t)) / 4.
def test_gamma_lives_follow_their_closed_form() -> None:
    def failed(times):
        return 1 - np.exp(-times) * (1 + times)

    times, number = extrapolated(failed, failed, 5.0)
    assert number == pytest.approx(times / 2 + np.expm1(-2 * times) / 4, abs=2e-9)
    printed = [0.091970, 0.283834, 0.754579, 2.250011]
    assert number[[90, 180, 360, 900]] == pytest.approx(printed, abs=6e-7)


# The package relife 3.0.0, to a millionth.
@pytest.mark.parametrize("shape", RELIFE)
def test_a_reference_package_agrees(shape: float) -> None:
    found = discounted_renewals(WeibullLife(shape, 1.0), NewLife(), RELIFE_TIMES, 0.0)
    assert found == pytest.approx(RELIFE[shape], abs=1.0e-6)
    if shape > 1:
        new = lasts_until(shape, 1.0)
        at, number = extrapolated(new, new, 2.0)
        assert np.interp(RELIFE_TIMES, at, number) == pytest.approx(RELIFE[shape], abs=1.0e-6)


@pytest.mark.parametrize("shape", [1.2, 2.4, 5.0])
@pytest.mark.parametrize("age", [0.0, 0.3, 1.1])
def test_the_grid_and_the_service_agree(shape: float, age: float) -> None:
    times = [0.7, 1.9, 4.0]
    found = discounted_renewals(WeibullLife(shape, 1.0), AgedLife(age), times, 0.05)
    assert found == pytest.approx(discounted_failures(shape, 1.0, age, 0.05, 4.0)(times), rel=1e-5)
