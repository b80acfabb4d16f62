"""Sums over groups and stretches of numbers, and entropies."""

import numpy as np
from numpy.typing import ArrayLike

from api.matching.likelihoods.density import FloatArray
from api.matching.sizes.size_table import IntArray


def sum_by(number: IntArray, weights: FloatArray, count: int) -> FloatArray:
    """Return for each number below `count` the sum of the weights that bear it."""
    return np.bincount(number, weights=weights, minlength=count).astype(np.float64, copy=False)


def sums_up_to(values: FloatArray) -> FloatArray:
    """Return the sums of the first 0, 1, ... values: of two of them the difference is a stretch's sum."""
    sums = np.zeros(len(values) + 1)
    np.cumsum(values, out=sums[1:])
    return sums


def lay_stretches(first: IntArray, last: IntArray) -> tuple[IntArray, IntArray]:
    """Return all places from each first to before its last, one stretch after another, and where each starts.

    The starts end with how many places there are.
    """
    lengths = last - first
    starts = np.zeros(len(lengths) + 1, dtype=np.int64)
    np.cumsum(lengths, out=starts[1:])
    return np.arange(starts[-1]) + np.repeat(first - starts[:-1], lengths), starts


def xlogx(chances: ArrayLike) -> FloatArray:
    """Return x log x (nats), 0 where x is 0."""
    chances = np.asarray(chances, dtype=np.float64)
    answer: FloatArray = chances * np.log(np.maximum(chances, np.finfo(np.float64).tiny))
    return answer
