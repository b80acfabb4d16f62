"""The laws of the first failure and the variance of costs, against closed forms and SciPy's laws."""

import math

import mpmath
import numpy as np
import pytest
from scipy import integrate, stats

from api.comparison.histories.cost_variance import variance_of_costs
from api.comparison.histories.remaining_life import RemainingLife
from api.comparison.histories.sampled_costs import sample_costs
from api.comparison.months.failure_process import FailureProcess
from api.wear_life.renewal import AgedLife, FirstLife, NewLife, UnknownAge
from api.wear_life.weibull import WeibullLife

COUNT = 20_000


def process(shape: float, scale: float, first: FirstLife, **figures: float) -> FailureProcess:
    return FailureProcess(
        name="brush_set", life=WeibullLife(shape, scale), first=first, **({"cost": 100.0} | figures)
    )


@pytest.mark.parametrize("shape", [0.5, 1.0, 2.5, 10.0])
def test_drawn_first_lives_follow_their_laws(shape: float) -> None:
    # SciPy's Weibull law: new S(t); aged S(a + t)/S(a); unknown age: the integral of S over the mean
    # (SciPy's quadrature at 40 points). Kolmogorov-Smirnov at 20,000 draws.
    law = stats.weibull_min(shape, scale=50.0)
    generator = np.random.default_rng(5)

    def drawn(first: FirstLife) -> np.ndarray:
        laid = RemainingLife(WeibullLife(shape, 50.0), first)
        return laid.times_at(laid.draw(generator, COUNT))

    assert stats.kstest(drawn(NewLife()), law.cdf).pvalue > 1e-3
    aged = stats.kstest(drawn(AgedLife(45.0)), lambda t: 1 - law.sf(45.0 + t) / law.sf(45.0))
    assert aged.pvalue > 1e-3
    unknown = np.sort(drawn(UnknownAge()))
    for rank in range(250, COUNT, 500):
        chance = integrate.quad(law.sf, 0, unknown[rank])[0] / law.mean()
        assert abs(chance - (rank + 0.5) / COUNT) < 2.2 / math.sqrt(COUNT)  # exceeded by 1 in 8,000


@pytest.mark.parametrize("first", [NewLife(), AgedLife(20.0), AgedLife(200.0), UnknownAge()])
def test_draws_times_and_chances_belong_together(first: FirstLife) -> None:
    law = RemainingLife(WeibullLife(2.5, 50.0), first)
    times = np.array([0.01, 1.0, 7.0, 20.0])
    assert law.times_at(law.draws_at(times)) == pytest.approx(times, rel=1e-9)
    assert law.times_of_shares(law.chances_within(times)) == pytest.approx(times, rel=1e-6)


@pytest.mark.parametrize("age_in_scales", [1e-60, 1e-9, 0.3, 1.0, 40.0, 1e9])
@pytest.mark.parametrize("shape", [0.5, 10.0])
def test_no_age_is_too_small_or_too_great(age_in_scales: float, shape: float) -> None:
    # mpmath at 1,000 digits; past a cumulative hazard of 1e100 ages are not told apart.
    # At shape 10 and an age of 40 scales the survival is e^-1e16: 0 in doubles.
    law = RemainingLife(WeibullLife(shape, 50.0), AgedLife(50.0 * age_in_scales))
    draws = np.array([1e-6, 0.7, 12.0])
    with mpmath.workdps(1000):
        age = mpmath.mpf(50.0 * age_in_scales) / 50
        exact = [float(50 * ((age**shape + mpmath.mpf(e)) ** (1 / mpmath.mpf(shape)) - age)) for e in draws]
    assert law.times_at(draws) == pytest.approx(exact, rel=1e-9, abs=1e-250)
    month = np.array([1.0])
    with mpmath.workdps(1000):
        passed = (age + mpmath.mpf(1) / 50) ** shape - age**shape
    if passed < 1e250:
        assert law.draws_at(month)[0] == pytest.approx(float(passed), rel=1e-9)
    else:  # whatever is drawn, it has failed
        assert law.draws_at(month)[0] > 1e250


@pytest.mark.parametrize("first", [NewLife(), AgedLife(20.0), UnknownAge()])
@pytest.mark.parametrize("rate", [0.0, 0.004, 0.05])
def test_exponential_lives_have_the_variance_of_a_discounted_poisson_process(
    first: FirstLife, rate: float
) -> None:
    # Campbell's theorem: k c^2 times the integral of e^(-2 r t), the covered cost before 20 months.
    def integral(since: float, until: float) -> float:
        return (
            (math.exp(-2 * rate * since) - math.exp(-2 * rate * until)) / (2 * rate)
            if rate
            else until - since
        )

    plain = process(1.0, 30.0, first)
    assert variance_of_costs(plain, 60, rate) == pytest.approx(1e4 / 30 * integral(0, 60), rel=0.01)
    covered = process(1.0, 30.0, first, covered_cost=40.0, covered_until=20.0)
    expected = (40**2 * integral(0, 20) + 1e4 * integral(20, 60)) / 30
    assert variance_of_costs(covered, 60, rate) == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize(("shape", "scale"), [(3.0, 5_000.0), (10.0, 600.0), (10.0, 3_000.0), (0.5, 1e9)])
def test_one_rare_failure_has_the_variance_of_the_binomial_law(shape: float, scale: float) -> None:
    chance = -math.expm1(-((60 / scale) ** shape))
    found = variance_of_costs(process(shape, scale, NewLife()), 60, 0.0)
    assert found == pytest.approx(1e4 * chance * (1 - chance), rel=1e-3)


def test_a_sure_failure_and_a_rare_one_after_it_vary_as_the_rare_one() -> None:
    # Worn out: it fails at once, and the new piece within 12 months with chance (12/60)^10 = 1e-7.
    chance = -math.expm1(-((12 / 60) ** 10))
    found = variance_of_costs(process(10.0, 60.0, AgedLife(3_000.0)), 12, 0.0)
    assert found == pytest.approx(1e4 * chance, rel=0.05)


@pytest.mark.parametrize(
    ("shape", "scale", "first", "covered_until"),
    [(0.6, 40.0, UnknownAge(), 0.0), (2.5, 30.0, AgedLife(25.0), 24.0), (8.0, 50.0, NewLife(), 80.0)],
)
def test_the_variance_of_many_histories_agrees(
    shape: float, scale: float, first: FirstLife, covered_until: float
) -> None:
    failing = process(shape, scale, first, covered_cost=30.0, covered_until=covered_until)
    sample = sample_costs(failing, 60, 0.01, 200_000, np.random.default_rng(8))
    assert variance_of_costs(failing, 60, 0.01) == pytest.approx(sample.costs.var(), rel=0.03)
