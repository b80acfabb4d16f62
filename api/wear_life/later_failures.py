"""The second and later failures of a piece, tabulated by time, and what they are worth today.

Time is in units of the scale throughout this module. Their number up to t is the integral of the density
of the first failure times the renewal function of a new piece. It is tabulated over the chance of a first
failure while time is small, so that it keeps its relative precision there, and on panels from there on.
"""

from typing import Self

import attrs
import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from api.wear_life.first_failure import before_the_last, first_failures, stretch
from api.wear_life.panels import (
    NODES,
    chebyshev_places,
    interpolate,
    interpolation_matrix,
    node_times,
    running_integral,
    values_at,
)
from api.wear_life.renewal_panels import NewRenewals, carrying_matrices, solve_new_renewals
from api.wear_life.weibull import FloatArray, WeibullLife

_STARTS = 56
_START_PLACES = chebyshev_places(_STARTS)
_INNER, _INNER_WEIGHTS = np.polynomial.legendre.leggauss(32)
_INNER, _INNER_WEIGHTS = 0.5 * (1.0 + _INNER), 0.5 * _INNER_WEIGHTS
_INNER_PLACES = _START_PLACES[:, None] * _INNER
_TO_INNER = interpolation_matrix(_STARTS, _INNER_PLACES.ravel())
_TO_END = interpolation_matrix(_STARTS, np.ones(1))[0]


@attrs.frozen(eq=False)
class LaterFailures:
    """The worth of the second and later failures, by time: 0 to `start_end` at nodes, then on panels.

    The time of a start node is start_end v^q, q the stretch of the shape; `start_ratios` are worth over
    the chance of a first failure, which is smooth in v however small the time.
    """

    unit: WeibullLife
    age: float
    start_end: float
    start_ratios: FloatArray
    edges: FloatArray
    values: FloatArray

    @classmethod
    def tabulate(cls, unit: WeibullLife, age: float, until: float) -> Self:
        """Tabulate the expected number, from 0 to `until`."""
        new = solve_new_renewals(unit, until)
        start_end = min(until, new.series_end)
        starts = start_end * _START_PLACES ** stretch(unit.shape)
        firsts = unit.conditional_failed(age, starts)
        if age == 0.0:
            ratios = new.at(starts) / firsts - 1.0
            values = new.values - unit.failed(node_times(new.edges))
        else:
            ratios = _after_first(new, age, starts) / firsts
            values = _after_first_on_panels(new, age)
        return cls(unit, age, start_end, ratios, new.edges, values)

    def discounted(self, rate: float) -> Self:
        """Return the worth at that rate, by parts from the number N.

        It is exp(-rate t) N(t) + rate times the integral of exp(-rate u) N(u) from 0 to t.
        """
        if rate == 0.0:
            return self
        power = stretch(self.unit.shape)
        starts = self.start_end * _START_PLACES**power
        inner = self.start_end * _INNER_PLACES**power
        numbers = (_TO_INNER @ self.start_ratios).reshape(inner.shape)
        numbers *= self.unit.conditional_failed(self.age, inner) * np.exp(-rate * inner)
        slopes = power * _INNER ** (power - 1) * _INNER_WEIGHTS
        integrals = starts * (numbers @ slopes)
        ratios = self.start_ratios * np.exp(-rate * starts)
        ratios += rate * integrals / self.unit.conditional_failed(self.age, starts)
        faded = np.exp(-rate * node_times(self.edges)) * self.values
        integral, _ = running_integral(self.edges, faded)
        before = float(_TO_END @ integrals)
        values = faded + rate * (before + integral)
        return attrs.evolve(self, start_ratios=ratios, values=values)

    def at(self, times: FloatArray) -> FloatArray:
        """Return the worth at times (of n) within the table."""
        worth = np.empty_like(times)
        early = times <= self.start_end
        soon = times[early]
        places = (soon / self.start_end) ** (1.0 / stretch(self.unit.shape))
        ratios = interpolate(self.start_ratios, places)
        worth[early] = ratios * self.unit.conditional_failed(self.age, soon)
        if not early.all():
            worth[~early] = values_at(self.edges, self.values, times[~early])
        return worth


def _after_first(new: NewRenewals, age: float, times: FloatArray) -> FloatArray:
    """Return the mean number of failures after the first, up to each of `times`."""
    first, first_chances = first_failures(new.unit, age, 0.5 * times)
    last, last_chances = before_the_last(new.unit, age, times)
    number: FloatArray = np.einsum("tq,tq->t", first_chances, new.at(times[:, None] - first))
    number += np.einsum("tq,tq->t", last_chances, new.at(last))
    return number


def _after_first_on_panels(new: NewRenewals, age: float) -> FloatArray:
    """Return the same at the nodes of all panels."""
    values = np.empty_like(new.values)
    times = node_times(new.edges[: new.irregular + 1])
    values[: new.irregular] = _after_first(new, age, times.ravel()).reshape(times.shape)
    if new.irregular < len(values):
        matrices = carrying_matrices(new.unit, age, new.edges[1] - new.edges[0])
        back = len(matrices)
        windows = sliding_window_view(new.values.reshape(-1), back * NODES)[::NODES]
        carry = np.concatenate(list(matrices[::-1]), axis=1)
        values[new.irregular :] = windows[new.irregular - back + 1 :] @ carry.T
    return values
