"""What the failures of an aged piece are worth until one or two times, from those of a new one.

Time is in units of the scale throughout this module. The first failure, at s, is worth exp(-rate s), and
what follows is a new piece: the mean over s of exp(-rate s) (1 + W(t - s)), W the worth of all failures of a
new piece. For few times this takes less than a table over all of them.
"""

import numpy as np

from api.wear_life.first_failure import before_the_last, first_failures
from api.wear_life.later_failures import LaterFailures
from api.wear_life.weibull import FloatArray, WeibullLife


def first_worth(unit: WeibullLife, age: float, times: FloatArray, rate: float) -> FloatArray:
    """Return the mean of exp(-rate T) over first failures up to each time (n times, each at least 0)."""
    if rate == 0.0:
        return unit.conditional_failed(age, times)
    at, chances = first_failures(unit, age, times)
    worth: FloatArray = np.einsum("tq,tq->t", np.exp(-rate * at), chances)
    return worth


def worth_of_aged(
    unit: WeibullLife, age: float, times: FloatArray, rate: float, later: LaterFailures
) -> FloatArray:
    """Return the worth of all failures up to each time (n times within `later`, those of a new piece)."""
    first, first_chances = first_failures(unit, age, 0.5 * times)
    last, last_chances = before_the_last(unit, age, times)
    until = times[:, None]
    failed = np.concatenate([first, until - last], axis=1)
    left = np.concatenate([until - first, last], axis=1)
    flat = left.ravel()
    after = first_worth(unit, 0.0, flat, rate) + later.at(flat)
    chances = np.concatenate([first_chances, last_chances], axis=1)
    worth = chances * np.exp(-rate * failed) * (1.0 + after.reshape(left.shape))
    return np.asarray(worth.sum(axis=1))
