"""The difference of two lengths: plain cases, and quadrature by mpmath and scipy as the outside check."""

import math

import mpmath
import numpy as np
import pytest
from scipy.integrate import dblquad, quad
from scipy.special import ndtr
from scipy.stats import norm

from api.fit.judging.differences import Difference, difference
from api.fit.judging.features import Feature


def by_quadrature(a: Feature, b: Feature, x: float) -> float:
    """P(a - b > x) by integrating the normal tail over both rectangles with mpmath."""
    u = mpmath.hypot(a.u_nm, b.u_nm)
    width_a, width_b = a.upper_nm - a.lower_nm, b.upper_nm - b.lower_nm

    def tail(p: float, q: float) -> mpmath.mpf:
        z = (a.lower_nm + p * width_a - b.lower_nm - q * width_b - x) / u
        return mpmath.ncdf(z)

    pieces = [0, 0.25, 0.5, 0.75, 1]
    return float(mpmath.quad(lambda p: mpmath.quad(lambda q: tail(p, q), pieces), pieces))


def test_chance_is_that_of_mpmath() -> None:
    a, b = Feature(16_000, 16_018, 3.0), Feature(15_990, 16_001, 4.0)
    assert difference(a, b).chance_above(0.0) == pytest.approx(by_quadrature(a, b, 0.0), abs=1e-9)


@pytest.mark.parametrize(
    ("a", "b", "x"),
    [
        (Feature(16_000, 16_018, 3.0), Feature(15_990, 16_001, 4.0), 25.0),
        (Feature(0, 40, 5.0), Feature(0, 1, 1.0), 30.0),
        (Feature(0, 10, 200.0), Feature(0, 3, 10.0), -100.0),
        (Feature(0, 21, 5.0), Feature(0, 19, 1.0), 2.0),
    ],
)
def test_chance_is_that_of_quadrature(a: Feature, b: Feature, x: float) -> None:
    """Widths above, below and about the uncertainty, by scipy's double integral."""
    u = math.hypot(a.u_nm, b.u_nm)
    width_a, width_b = a.upper_nm - a.lower_nm, b.upper_nm - b.lower_nm

    def tail(q: float, p: float) -> float:
        return float(ndtr((a.lower_nm + p * width_a - b.lower_nm - q * width_b - x) / u))

    chance = dblquad(tail, 0, 1, 0, 1, epsabs=1e-11)[0]
    assert difference(a, b).chance_above(x) == pytest.approx(chance, abs=1e-9)


def test_one_width_with_uncertainty_is_that_of_scipy() -> None:
    a, b = Feature(100, 160, 7.0), Feature.read(90, 2.0)
    u = math.hypot(7.0, 2.0)
    by_scipy = quad(lambda t: norm.sf((20.0 - (t - 90)) / u) / 60, 100, 160, epsabs=1e-13)[0]
    assert difference(a, b).chance_above(20.0) == pytest.approx(1 - (1 - by_scipy), abs=1e-12)


def test_two_rectangles_of_one_width_make_a_triangle() -> None:
    """By hand: the sum of two equal rectangles is triangular; a quarter of the way in is 1/32 of it."""
    found = difference(Feature(0, 40), Feature(0, 40))
    assert found.chance_above(0) == pytest.approx(0.5)
    assert found.chance_above(30) == pytest.approx(1 / 32)
    assert found.chance_above(-40) == 1
    assert found.chance_above(40) == 0


def test_one_rectangle_is_a_straight_line() -> None:
    assert difference(Feature(0, 40), Feature.exact(10)).chance_above(20) == pytest.approx(0.25)


def test_exact_lengths_are_a_step() -> None:
    found = difference(Feature.exact(12), Feature.exact(10))
    assert found.is_exact
    assert (found.chance_above(1.9), found.chance_above(2), found.chance_above(2.1)) == (1, 0, 0)


def test_readings_alone_are_normal() -> None:
    """Two deviations: the normal table's 0.97725."""
    found = difference(Feature.read(100, 3.0), Feature.read(90, 4.0))
    assert found.chance_above(0) == pytest.approx(norm.cdf(2.0), abs=1e-12)


def test_limits_are_widened_by_two_uncertainties_of_each() -> None:
    found = difference(Feature(100, 110, 3.0), Feature(90, 95, 4.0))
    assert (found.least_nm, found.most_nm) == (100 - 6 - 95 - 8, 110 + 6 - 90 + 8)


def test_tiny_widths_do_not_lose_digits() -> None:
    """A width of one in a million deviations changes nothing that can be told."""
    plain = difference(Feature.read(0, 1e6), Feature.read(0, 0.0)).chance_above(-5e5)
    wide = difference(Feature(0, 1, 1e6), Feature(0, 1, 0.0)).chance_above(-5e5)
    assert wide == pytest.approx(plain, abs=1e-12)


def test_chances_fall_from_one_to_nothing() -> None:
    found = difference(Feature(0, 18_000, 2_000.0), Feature(-34_000, -23_000, 100.0))
    chances = found.chances_above(np.linspace(-20_000, 90_000, 400))
    assert chances[0] == pytest.approx(1)
    assert chances[-1] == pytest.approx(0)
    assert np.all(np.diff(chances) <= 1e-14)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("u", [0.0, 5e-324, 1e-300, 1e-160, 1e-3, 20.0, 1e9])
@pytest.mark.parametrize("widths", [(0, 0), (1, 0), (1, 1), (18_000, 11_000), (1e10, 1)])
def test_lengths_far_apart_are_certain_to_differ(u: float, widths: tuple[float, float]) -> None:
    """By hand: ten metres apart, where widths and uncertainty are much less. No figure overflows."""
    apart = 1e12 * max(u, 1.0)
    for side, chance in ((apart, 1.0), (-apart, 0.0)):
        found = Difference(side, *widths, u, 0, 0)
        assert found.chance_above(0.0) == pytest.approx(chance, abs=1e-12)


def test_narrow_limits_far_apart_lose_no_digits() -> None:
    """16 mm less 12 mm, each a nanometre wide: sure to be more than 3.999 mm, and by half than 4.000 000."""
    a, b = Feature(16_000_000, 16_000_001), Feature(12_000_000, 12_000_001)
    chances = difference(a, b).chances_above(np.array([0.0, 3_999_000.0, 4_000_000.0, 4_000_001.0]))
    assert chances == pytest.approx([1.0, 1.0, 0.5, 0.0], abs=1e-12)
