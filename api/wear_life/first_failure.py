"""Integrals over the time of the first failure, at nodes that suit its density.

Time is in units of the scale throughout this module. The density of a life of shape b is like t^(b-1)
near 0 if the piece is new, nearly so if it is young, smooth if it is old. Gauss-Legendre nodes in v with
t = v^q (b >= 1), or with (growth of the cumulative hazard) = v^4 (b < 1), serve them all: q is whole, so
that what is smooth stays smooth, and large enough for what is not to become like v^3 or smoother.
"""

import math

import numpy as np

from api.wear_life.weibull import FloatArray, WeibullLife

EXHAUSTED = 40.0
"""Growth of the cumulative hazard past which no piece is left: exp(-40) is 4e-18."""
_ORDER = 4
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(32)
_NODES, _WEIGHTS = 0.5 * (1.0 + _NODES), 0.5 * _WEIGHTS


def stretch(shape: float) -> int:
    """Return the whole power q with which v^q takes the edge off what behaves like t^shape at 0."""
    return math.ceil(_ORDER / shape)


def first_failures(unit: WeibullLife, age: float, until: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return times of the first failure from 0 to each of `until`, and their chances.

    The sum of w(t) times the chances is the mean of w over first failures up to there. `unit` is a life
    of scale 1, `until` n times of at least 0, n >= 1. Returns two n x 32 arrays.
    """
    if unit.shape < 1.0:
        growth = np.minimum(unit.hazard_growth(age, until), EXHAUSTED)[:, None] * _NODES**_ORDER
        slope = _ORDER * growth / _NODES
        return unit.time_of_growth(age, growth), _WEIGHTS * slope * np.exp(-growth)
    power = stretch(unit.shape)
    last = np.minimum(until, unit.time_of_growth(age, EXHAUSTED))[:, None]
    times = last * _NODES**power
    return times, _WEIGHTS * power * times / _NODES * _density(unit, age, times)


def before_the_last(unit: WeibullLife, age: float, until: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return times u from 0 to half of each of `until`, and the chances of a first failure at `until` - u.

    It is the second half, seen from its end. Where no piece can last that long the chances are 0.
    Takes and returns as `first_failures`.
    """
    power = stretch(unit.shape)
    half = 0.5 * until
    start = np.minimum(np.maximum(until - unit.time_of_growth(age, EXHAUSTED), 0.0), half)
    length = (half - start)[:, None]
    times = start[:, None] + length * _NODES**power
    chances = _WEIGHTS * power * length * _NODES ** (power - 1)
    return times, chances * _density(unit, age, until[:, None] - times)


def _density(unit: WeibullLife, age: float, times: FloatArray) -> FloatArray:
    density: FloatArray = unit.hazard(age + times) * np.exp(-unit.hazard_growth(age, times))
    return density
