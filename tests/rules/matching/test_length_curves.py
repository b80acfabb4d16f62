"""Tabulated densities, against the density itself (which tests/references holds against mpmath and SciPy)."""

import numpy as np
import pytest

from api.matching.advice import length_curves
from api.matching.advice.length_curves import MOST_KEPT, REACH, find_curves
from api.matching.likelihoods.density import log_density


@pytest.mark.parametrize("decay", [0.0, 0.3, 5.0, 160.0])
@pytest.mark.parametrize("width", [0.0, 0.05, 1.5, 40.0, 336.0])
def test_between_its_places_a_curve_is_the_density_to_one_and_a_half_percent(width, decay):
    curves = find_curves([(2.0, 3.0), (width, decay)])
    distance = np.arange(-REACH, curves.reach[1], 0.05)
    got = np.interp(curves.start[1] + distance, curves.places, curves.log_density)
    wear = (decay, "grows") if decay else ()
    expected = log_density(distance, 0.0, width, 1.0, *wear)
    likely = expected > expected.max() - 9.0
    assert got[likely] == pytest.approx(expected[likely], abs=0.015)


def test_curves_are_followed_until_next_to_nothing_is_left():
    """Beyond 5 standard deviations lie 6e-7 (normal distribution), beyond 10 means of wear exp(-10)."""
    curves = find_curves([(3.0, 20.0)])
    distance = np.linspace(-REACH, curves.reach[0], 20_001)
    density = np.exp(np.interp(curves.start[0] + distance, curves.places, curves.log_density))
    assert np.trapezoid(density, distance) == pytest.approx(1.0, abs=0.005)


def test_no_more_curves_are_kept_than_said():
    for start in range(0, 3 * MOST_KEPT, MOST_KEPT // 2 + 1):
        many = [(one / 7.0, 0.0) for one in range(start, start + MOST_KEPT // 2)]
        assert len(find_curves(many).reach) == len(many)
        assert len(length_curves._kept) <= MOST_KEPT
