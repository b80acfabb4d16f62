"""How many readings fixed orders of the dimensions take, and how few the best of all orders could.

A set of dimensions is a whole number whose bits are their places. What a set of readings leaves does not
hang on their order, so every order is judged from the sets of its beginnings. An order takes as many
readings of a case as there are until its beginning first names a group; all, where none does.

No order names a group before some set within its beginning would: the least mean over all orders of that
(found set by set, not order by order) bounds every fixed order from below.
"""

import itertools
from collections.abc import Sequence

import attrs
import numpy as np
from numpy.typing import NDArray

BoolArray = NDArray[np.bool_]
FloatArray = NDArray[np.float64]

MOST_LISTED = 7
"""Up to so many dimensions all orders are tried one by one (5,040); beyond, a sample and the bound."""


@attrs.frozen(kw_only=True)
class FixedOrders:
    """Mean readings of fixed orders: the best one found and its order, the mean over orders tried, how many.

    `bound` is what no fixed order can beat; with all orders tried the best one is the least there is.
    """

    tried: int
    is_every: bool
    best: float
    best_order: tuple[int, ...]
    mean: float
    bound: float


def named_sets(
    log_likelihoods: FloatArray, log_prior: FloatArray, group: NDArray[np.int64], mass: float
) -> BoolArray:
    """Return, for every set of dimensions, whether one group then holds at least `mass`.

    `log_likelihoods` has a row for each dimension, a column for each size and, last, for `unlisted`; `group`
    is the group of each size.
    """
    weights = log_prior[None, :]
    for row in log_likelihoods:
        weights = np.concatenate([weights, weights + row])
    weights = np.exp(weights - weights.max(axis=1, keepdims=True))
    order = np.argsort(group, kind="stable")
    starts = np.searchsorted(group[order], np.arange(int(group.max()) + 1))
    of_group = np.add.reduceat(weights[:, order], starts, axis=1)
    return np.asarray(of_group.max(axis=1) >= mass * weights.sum(axis=1))


def readings_taken(named: BoolArray, order: Sequence[int]) -> NDArray[np.int64]:
    """Return how many readings each case (row of `named`) takes in that order of the dimensions' places."""
    places = np.array([0, *itertools.accumulate(1 << place for place in order)])
    reached = named[:, places]
    return np.where(reached.any(axis=1), reached.argmax(axis=1), len(order))


def judge_orders(named: BoolArray, dimensions: int, sample: int, rng: np.random.Generator) -> FixedOrders:
    """Return what fixed orders take: all of them where few, else `sample` at random and the likely best."""
    is_every = dimensions <= MOST_LISTED
    if is_every:
        orders = [tuple(one) for one in itertools.permutations(range(dimensions))]
    else:
        orders = [tuple(int(place) for place in rng.permutation(dimensions)) for _ in range(sample)]
    tried = [float(readings_taken(named, order).mean()) for order in orders]
    bound, likely = _least_over_orders(_named_within(named, dimensions), dimensions)
    _, nearly = _least_over_orders(named, dimensions)
    orders += [likely, nearly, _greedy_order(named, dimensions)]
    means = [*tried, *(float(readings_taken(named, order).mean()) for order in orders[-3:])]
    best = int(np.argmin(means))
    return FixedOrders(
        tried=len(tried),
        is_every=is_every,
        best=means[best],
        best_order=orders[best],
        mean=float(np.mean(tried)),
        bound=bound,
    )


def _named_within(named: BoolArray, dimensions: int) -> BoolArray:
    """Return for every set whether it or a set within it names a group."""
    within = named.copy()
    sets = np.arange(named.shape[1])
    for place in range(dimensions):
        with_it = sets[(sets >> place) & 1 == 1]
        within[:, with_it] |= within[:, with_it ^ (1 << place)]
    return within


def _least_over_orders(named: BoolArray, dimensions: int) -> tuple[float, tuple[int, ...]]:
    """Return the least sum, over a chain of growing sets, of the share of cases not named; and the chain."""
    unnamed = 1.0 - named.mean(axis=0)
    whole = (1 << dimensions) - 1
    least = np.zeros(whole + 1)
    following = np.zeros(whole + 1, dtype=np.int64)
    for one in range(whole - 1, -1, -1):
        places = [place for place in range(dimensions) if not one >> place & 1]
        further = [least[one | 1 << place] for place in places]
        best = int(np.argmin(further))
        least[one] = unnamed[one] + further[best]
        following[one] = places[best]
    order: list[int] = []
    reached = 0
    while reached != whole:
        order.append(int(following[reached]))
        reached |= 1 << order[-1]
    return float(least[0]), tuple(order)


def _greedy_order(named: BoolArray, dimensions: int) -> tuple[int, ...]:
    """Return the order that takes, each time, the dimension with which most cases are named."""
    order: list[int] = []
    reached = 0
    while len(order) < dimensions:
        left = [place for place in range(dimensions) if place not in order]
        order.append(max(left, key=lambda place: float(named[:, reached | 1 << place].mean())))
        reached |= 1 << order[-1]
    return tuple(order)
