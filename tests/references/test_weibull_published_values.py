"""Weibull lives against published values and a reference library."""

import numpy as np
import pytest
from scipy.special import gamma
from scipy.stats import weibull_min

from api.wear_life.weibull import WeibullLife


# A spreadsheet vendor's function reference for the Weibull distribution, and SciPy 1.17.1.
def test_a_vendors_worked_example() -> None:
    life = WeibullLife(0.5, 2.0)
    assert life.failed(1.5) == pytest.approx(0.579379973945885, rel=1e-14)
    assert life.density(1.5) == pytest.approx(0.121422542634445, rel=1e-14)


# NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.6.2: shape 1.5, scale 5000, at 1000 hours; it prints
# .000123 and .08556; the further digits are SciPy 1.17.1.
def test_the_handbooks_worked_example() -> None:
    life = WeibullLife(1.5, 5000.0)
    assert life.density(1000.0) == pytest.approx(0.0001226851, abs=6e-11)
    assert life.failed(1000.0) == pytest.approx(0.08555936, abs=6e-9)
    assert life.mean == pytest.approx(4513.726, abs=6e-4)


# Shape 2.5, scale 1000: SciPy 1.17.1 and the package reliability 0.9.0.
def test_the_figures_of_a_reliability_package() -> None:
    life = WeibullLife(2.5, 1000.0)
    assert life.survival(500.0) == pytest.approx(0.8379669, rel=1e-7)
    assert life.mean == pytest.approx(887.26382, rel=1e-8)
    assert life.quantile([0.5, 0.1, 0.05]) == pytest.approx([863.6349, 406.5099, 304.80651], rel=1e-7)
    assert life.mean * life.squared_variation**0.5 == pytest.approx(379.667, abs=6e-4)
    assert life.residual_mean(500.0) == pytest.approx(490.79256, rel=1e-8)


# Formula, reckoned with SciPy 1.17.1: R(1500)/R(1000) and the mean residual life at 1000.
def test_what_an_aged_piece_has_left() -> None:
    life = WeibullLife(2.5, 2000.0)
    assert life.conditional_survival(1000.0, 500.0) == pytest.approx(0.73318106, rel=1e-8)
    assert life.residual_mean(1000.0) == pytest.approx(981.58511, rel=1e-8)


# Values of the gamma function at 1 + 1/shape, as tabulated in handbooks and by SciPy 1.17.1.
MEANS = {
    0.5: 2.0,
    1.0: 1.0,
    1.5: 0.9027452930,
    2.0: 0.8862269255,
    2.5: 0.8872638175,
    3.0: 0.8929795116,
    3.5: 0.8997471765,
}


@pytest.mark.parametrize(("shape", "mean"), MEANS.items())
def test_means_of_unit_scale(shape: float, mean: float) -> None:
    assert WeibullLife(shape, 1.0).mean == pytest.approx(mean, rel=1e-9)


SHAPES = (0.5, 0.8, 1.0, 1.3, 2.0, 3.7, 6.0, 10.0)


# The reference library scipy.stats.weibull_min.
@pytest.mark.parametrize("shape", SHAPES)
def test_the_distribution_is_that_of_the_reference_library(shape: float) -> None:
    life, other = WeibullLife(shape, 300.0), weibull_min(shape, scale=300.0)
    times = 300.0 * np.array([1e-3, 0.03, 0.2, 0.7, 1.0, 1.2, 1.5])
    chances = np.array([1e-9, 0.01, 0.3, 0.5, 0.9, 0.9999])
    assert life.survival(times) == pytest.approx(other.sf(times), rel=1e-12)
    assert life.failed(times) == pytest.approx(other.cdf(times), rel=1e-12)
    assert life.density(times) == pytest.approx(other.pdf(times), rel=1e-12)
    assert life.hazard(times) == pytest.approx(other.pdf(times) / other.sf(times), rel=1e-11)
    assert life.quantile(chances) == pytest.approx(other.ppf(chances), rel=1e-12)
    assert life.squared_variation == pytest.approx(other.var() / other.mean() ** 2, rel=1e-9)
    for age in (1e-9, 20.0, 300.0, 400.0):
        later = other.sf(age + times) / other.sf(age)
        assert life.conditional_survival(age, times) == pytest.approx(later, rel=1e-9, abs=1e-300)


# Closed form by the incomplete gamma function, at ages where the survival is still a normal double.
@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("growth", [0.3, 0.999, 1.001, 5.0, 40.0])
def test_the_mean_residual_life_is_the_integral_of_the_survival(shape: float, growth: float) -> None:
    life = WeibullLife(shape, 1.0)
    age = growth ** (1.0 / shape)
    edges = np.append(0.0, float(life.time_of_growth(age, 45.0)) * np.geomspace(1e-6, 1.0, 200))
    nodes, weights = np.polynomial.legendre.leggauss(12)
    times = edges[:-1, None] + np.diff(edges)[:, None] * 0.5 * (1.0 + nodes)
    survived = np.exp(growth - (age + times) ** shape)
    integral = np.sum(np.diff(edges)[:, None] * 0.5 * weights * survived)
    assert life.residual_mean(age) == pytest.approx(integral, rel=1e-10)
    assert life.residual_mean(0.0) == pytest.approx(gamma(1.0 + 1.0 / shape), rel=1e-13)
