"""The renewal function of a new piece, from its integral equation.

Time is in units of the scale throughout this module. M(t) = F(t) + integral of f(s) M(t - s) ds is
solved by collocation: past the reach of the power series, time is cut into panels, M is on each the
polynomial through its values at 16 Chebyshev nodes, and the equation holds at all nodes at once. The
integral is split at t/2, each half at the nodes of `first_failure`. Far out, where pieces that old no
longer reach back to the small times, panels are alike: one matrix carries M from panel to panel, until
it follows its asymptote t / mean + (squared variation - 1) / 2.

Sources: the renewal equation and its asymptote as in Tijms, A First Course in Stochastic Models, ch. 2
and 8; the method is standard collocation for Volterra equations, widths and counts are our judgement.
"""

import math

import attrs
import numpy as np

from api.wear_life.first_failure import EXHAUSTED, before_the_last, first_failures
from api.wear_life.panels import NODES, PLACES, interpolation_matrix, locate, node_times, values_at
from api.wear_life.small_times import REACH, renewals_by_series, series_coefficients
from api.wear_life.weibull import FloatArray, WeibullLife


@attrs.frozen(eq=False)
class NewRenewals:
    """The renewal function M of a new piece: by its series up to `series_end`, on panels from there on.

    `values` are M at the nodes of the panels between `edges`; there are none where the series suffices.
    The first `irregular` panels look back to the small times; from there on all panels are alike.
    """

    unit: WeibullLife
    coefficients: FloatArray
    series_end: float
    edges: FloatArray
    values: FloatArray
    irregular: int

    def at(self, times: FloatArray) -> FloatArray:
        """Return M at times (any array) from 0 to the last edge."""
        flat = times.ravel()
        early = flat <= self.series_end
        renewals = np.empty_like(flat)
        renewals[early] = renewals_by_series(self.coefficients, flat[early] ** self.unit.shape)
        if not early.all():
            renewals[~early] = values_at(self.edges, self.values, flat[~early])
        return renewals.reshape(times.shape)


def settling_time(unit: WeibullLife) -> float:
    """Return a time from which on M follows its asymptote to better than 1e-10 of M.

    Below shape 1 what is left of M's approach dies as the survival does. Above, it dies at
    exp(-d t / mean); d was found at the root of f(s) = 1 with the greatest real part to be 0.266 at
    shape 10, and above 0.266 (10 / shape)^1.6 or 1 elsewhere (tests compare both sides of this time).
    """
    if unit.shape < 1.0:
        return float(EXHAUSTED ** (1.0 / unit.shape))
    return float(unit.mean * 24.0 / min(1.0, 0.266 * (10.0 / unit.shape) ** 1.6))


def solve_new_renewals(unit: WeibullLife, until: float) -> NewRenewals:
    """Return M of a new piece from 0 to `until` (at least 0) or somewhat further; `unit` is of scale 1."""
    coefficients = series_coefficients(unit.shape)
    series_end = REACH ** (1.0 / unit.shape)
    start = NewRenewals(unit, coefficients, series_end, np.array([series_end]), np.empty((0, NODES)), 0)
    if until <= series_end:
        return start
    edges = _edges(unit, series_end, until)
    irregular = len(edges) - 1
    if unit.shape >= 1.0:
        irregular = min(irregular, _reach_back(unit, edges[1] - edges[0]))
    early = attrs.evolve(start, edges=edges[: irregular + 1])
    values = np.empty((len(edges) - 1, NODES))
    values[:irregular] = _solve_irregular(early)
    if irregular < len(values):
        _carry_on(unit, edges[1] - edges[0], irregular, values)
    return attrs.evolve(start, edges=edges, values=values, irregular=irregular)


def _edges(unit: WeibullLife, start: float, until: float) -> FloatArray:
    """Doubling panels below shape 1, where M is ever smoother; else even ones, finer for sharper lives."""
    if unit.shape < 1.0:
        doublings = math.ceil(math.log2(until / start))
        return np.asarray(start * 2.0 ** np.arange(doublings + 1))
    width = min(start, 5.0 / unit.shape**2 if unit.shape < 2.0 else 2.5 / unit.shape)
    return np.asarray(start + width * np.arange(math.ceil((until - start) / width) + 1))


def _reach_back(unit: WeibullLife, width: float) -> int:
    """Return how many panels the longest life covers."""
    panels: int = math.ceil(EXHAUSTED ** (1.0 / unit.shape) / width)
    return panels


def _solve_irregular(early: NewRenewals) -> FloatArray:
    """Return M at the nodes of all panels of `early`, solved at once."""
    unit, edges = early.unit, early.edges
    times = node_times(edges).ravel()
    count = len(times)
    known = unit.failed(times)
    matrix = np.zeros(count * count)
    first, first_chances = first_failures(unit, 0.0, 0.5 * times)
    last, last_chances = before_the_last(unit, 0.0, times)
    for at, chances in ((times[:, None] - first, first_chances), (last, last_chances)):
        by_series = at <= early.series_end
        renewals = early.at(np.where(by_series, at, 0.0))
        known += np.einsum("tq,tq->t", chances, renewals)
        row, _ = np.nonzero(~by_series)
        panel, weights = locate(edges, at[~by_series])
        weights *= chances[~by_series][:, None]
        cell = (row * count + panel * NODES)[:, None] + np.arange(NODES)
        matrix += np.bincount(cell.ravel(), weights.ravel(), minlength=count * count)
    solved = np.linalg.solve(np.eye(count) - matrix.reshape(count, count), known)
    return np.asarray(solved.reshape(-1, NODES))


def carrying_matrices(unit: WeibullLife, age: float, width: float) -> FloatArray:
    """Return, for even panels far out, what a first failure takes from the panel o panels back, o = 0, 1, ...

    The sum over o of matrix[o] @ M[n - o] is the integral of the density of the remaining life at `age`
    times M(t - s), at the nodes of panel n.
    """
    longest = np.atleast_1d(unit.time_of_growth(age, EXHAUSTED))
    first, first_chances = first_failures(unit, age, 0.5 * longest)
    last, last_chances = before_the_last(unit, age, longest)
    lives = np.concatenate([first[0], longest[0] - last[0]])
    chances = np.concatenate([first_chances[0], last_chances[0]])
    places = PLACES[:, None] - lives / width
    back = np.ceil(-places).astype(np.int64)
    weights = interpolation_matrix(NODES, (places + back).ravel()).reshape(*places.shape, NODES)
    matrices = np.zeros((back.max() + 1, NODES, NODES))
    rows = np.broadcast_to(np.arange(NODES)[:, None], back.shape)
    np.add.at(matrices, (back, rows), weights * chances[:, None])
    return matrices


def _carry_on(unit: WeibullLife, width: float, irregular: int, values: FloatArray) -> None:
    """Fill in the panels from `irregular` on, each from those before it."""
    matrices = carrying_matrices(unit, 0.0, width)
    inverse = np.linalg.inv(np.eye(NODES) - matrices[0])
    back = len(matrices) - 1
    # The panels stand in rising order in `values`, so the one furthest back comes first.
    carry = inverse @ np.concatenate(list(matrices[:0:-1]), axis=1)
    fresh = inverse.sum(axis=1)  # the chance of a first failure by then is 1
    flat = values.reshape(-1)
    for panel in range(irregular, len(values)):
        past = flat[(panel - back) * NODES : panel * NODES]
        values[panel] = fresh + carry @ past
