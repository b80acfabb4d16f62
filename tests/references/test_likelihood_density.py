"""The log density of a length reading against mpmath's 50-digit quadrature and SciPy's distributions.

Sources: mpmath (Gauss-Legendre quadrature and erfc at 50 digits) over the definition, the convolution of
a uniform, an exponential and a normal variable; SciPy's `stats.exponnorm` and `stats.norm`.
"""

import itertools

import mpmath
import numpy as np
import pytest
from scipy import stats

from api.matching.likelihoods.density import NARROW, SMALL_RATE, log_density

U_NM = 23_300.0
LOWER_NM = 12_500_000
TOLERANCE = 1e-9


def by_quadrature(value, lower, upper, uncertainty, wear_scale, sense):
    """Return log of the mean, over the tolerance interval, of the density of wear and noise."""
    with mpmath.workdps(50):
        x, low, high, u, w = (
            mpmath.mpf(float(one)) for one in (value, lower, upper, uncertainty, wear_scale)
        )
        if sense == "shrinks":
            x, low, high = -x, -high, -low

        def noisy(t):
            if sense == "none":
                return mpmath.npdf(t, 0, u)
            grown = mpmath.exp(u**2 / (2 * w**2) - t / w)
            return grown * mpmath.erfc((u / w - t / u) / mpmath.sqrt(2)) / (2 * w)

        if low == high:
            return mpmath.log(noisy(x - low))
        # One panel for each u; scaled, because mpmath stops at an absolute error of 50 digits.
        panels = int(mpmath.ceil((high - low) / u))
        ends = [x - high + (high - low) * step / panels for step in range(panels + 1)]
        greatest = max(noisy(end) for end in ends)
        mean = mpmath.quad(lambda t: noisy(t) / greatest, ends, method="gauss-legendre") / (high - low)
        return mpmath.log(mean) + mpmath.log(greatest)


WIDTHS = (0.0, 0.03, NARROW * 0.999, NARROW * 1.1, 0.8, 3.0)
"""Widths of the tolerance interval in standard uncertainties, on both sides of the change of form."""

RATES = (1e-6, SMALL_RATE * 0.99, SMALL_RATE * 1.01, 0.02, 0.29, 1.0, 5.0, 1e4)
"""u/w from wear ten thousand times smaller than the uncertainty to a million times greater."""

PLACES = (-40.0, -9.0, -1.0, -0.05, 0.0, 0.7, 4.0, 8.4, 40.0)
"""Distances below the lower or above the upper limit in standard uncertainties."""


@pytest.mark.parametrize("sense", ["grows", "shrinks"])
@pytest.mark.parametrize("rate", RATES)
def test_worn_density_is_within_1e_9_of_50_digit_quadrature_out_to_40_standard_deviations(rate, sense):
    for width, place in itertools.product(WIDTHS, PLACES):
        upper = LOWER_NM + width * U_NM
        value = (LOWER_NM if place < 0 else upper) + place * U_NM
        ours = float(log_density(value, LOWER_NM, upper, U_NM, U_NM / rate, sense))
        theirs = by_quadrature(value, LOWER_NM, upper, U_NM, U_NM / rate, sense)
        assert abs(ours - theirs) < TOLERANCE, (width, place)


def test_unworn_density_is_within_1e_9_of_50_digit_quadrature_out_to_40_standard_deviations():
    for width, place in itertools.product(WIDTHS, PLACES):
        upper = LOWER_NM + width * U_NM
        value = (LOWER_NM if place < 0 else upper) + place * U_NM
        theirs = by_quadrature(value, LOWER_NM, upper, U_NM, 1, "none")
        assert abs(float(log_density(value, LOWER_NM, upper, U_NM)) - theirs) < TOLERANCE, (width, place)


@pytest.mark.parametrize("place_mm", [4.0, 12.0, 12.49, 12.509, 12.53, 12.6, 12.9, 14.0])
@pytest.mark.parametrize(("lower", "upper"), [(12_500_000, 12_518_000), (12_500_000, 12_700_000)])
def test_density_over_the_plausible_range_of_a_bush_bore(place_mm, lower, upper):
    value = place_mm * 1e6
    theirs = by_quadrature(value, lower, upper, U_NM, 80_000, "grows")
    assert abs(float(log_density(value, lower, upper, U_NM, 80_000, "grows")) - theirs) < TOLERANCE


@pytest.mark.parametrize("rate", [0.02, 0.3, 1.0, 4.0])
def test_density_of_an_exact_size_is_scipy_exponentially_modified_normal(rate):
    places = np.linspace(-30.0, 30.0, 241)
    ours = log_density(LOWER_NM + places * U_NM, LOWER_NM, LOWER_NM, U_NM, U_NM / rate, "grows")
    theirs = stats.exponnorm.logpdf(places, 1.0 / rate) - np.log(U_NM)
    np.testing.assert_allclose(ours, theirs, rtol=0, atol=TOLERANCE)
    shrunk = log_density(LOWER_NM - places * U_NM, LOWER_NM, LOWER_NM, U_NM, U_NM / rate, "shrinks")
    np.testing.assert_allclose(shrunk, theirs, rtol=0, atol=TOLERANCE)


def test_density_without_wear_is_a_difference_of_scipy_normals():
    upper = LOWER_NM + 40_000
    values = np.linspace(LOWER_NM - 5 * U_NM, upper + 5 * U_NM, 101)
    ours = np.exp(log_density(values, LOWER_NM, upper, U_NM))
    low, high = (values - upper) / U_NM, (values - LOWER_NM) / U_NM
    mirrored = low > 0  # the same difference, taken where it keeps its digits
    theirs = np.where(
        mirrored, stats.norm.sf(low) - stats.norm.sf(high), stats.norm.cdf(high) - stats.norm.cdf(low)
    )
    np.testing.assert_allclose(ours, theirs / 40_000, rtol=1e-9)
    exact = log_density(values, LOWER_NM, LOWER_NM, U_NM)
    np.testing.assert_allclose(exact, stats.norm.logpdf(values, LOWER_NM, U_NM), rtol=0, atol=TOLERANCE)


@pytest.mark.parametrize("sense", ["grows", "shrinks", "none"])
def test_density_adds_to_one(sense):
    values = np.linspace(LOWER_NM - 3e6, LOWER_NM + 3e6, 400_001)
    density = np.exp(log_density(values, LOWER_NM, LOWER_NM + 18_000, U_NM, 80_000, sense))
    assert np.trapezoid(density, values) == pytest.approx(1.0, abs=1e-9)


def test_density_stays_finite_however_far_the_reading_lies():
    far = np.array([1.0, 1e3, 1e6, 1e8, 2e8])
    for sense, rate in itertools.product(["grows", "shrinks", "none"], [1e-4, 0.3, 1e5]):
        for value in (LOWER_NM + far, LOWER_NM - far):
            assert np.isfinite(
                log_density(value, LOWER_NM, LOWER_NM + 18_000, 100.0, 100.0 / rate, sense)
            ).all()
