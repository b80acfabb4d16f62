"""What a further reading would show under each hypothesis: the posterior predictive, on a grid.

A hypothesis is a group of sizes (its sizes weighted by their probability) or the unlisted alternative.
Slips are in: with chance e a reading is even over the plausible span. A size without the feature lets
it be read only by a slip and otherwise shows that it is absent, which is an outcome of its own. The
unlisted alternative and sizes that do not record the dimension are even over the span.
"""

import attrs
import numpy as np
from scipy.sparse import csr_array

from api.matching.density import FloatArray, log_density
from api.matching.likelihood import applied_wear, outcome_chances, two_point_factors
from api.matching.model import DimensionModel
from api.matching.sizes import BoolArray, Column, IntArray, SizeTable

_STEP = 0.25
"""Step of the grid around an interval, in standard uncertainties."""
_FINE = 0.1
"""Step at which a density is tabulated before it is moved along, in standard uncertainties."""
_REACH = 6.0
"""How far from an interval noise alone is followed, in standard uncertainties."""
_WEAR_PLACES = np.concatenate([np.linspace(0.0, 4.0, 65), np.linspace(4.25, 16.0, 48)])
"""How far wear is followed, in mean wear scales."""
_INSIDE = 12
_MOST_EVEN = 65
_SHARE_DIGITS = 9


@attrs.frozen(kw_only=True, eq=False)
class Predictive:
    """The chance of every outcome (column) under every outlook (row); rows add to one.

    Hypotheses that differ in nothing but other dimensions share an outlook: `outlook` gives each its row.
    `values` are the outcomes: the middle of each cell in nm, a count, or the place of a choice; the last
    outcome, `absent`, has no value and stands last in `chances`. `edges` bound the cells of a length.
    """

    values: FloatArray
    chances: FloatArray
    outlook: IntArray
    edges: FloatArray | None = None


@attrs.frozen(kw_only=True, eq=False)
class Hypotheses:
    """The rows of the sizes considered, the hypothesis of each, its share of it, how many there are.

    The shares of the sizes of one hypothesis add to one. The unlisted alternative is added last.
    """

    rows: IntArray
    number: IntArray
    share: FloatArray
    count: int


def predict_length(
    dimension: DimensionModel, table: SizeTable, hypotheses: Hypotheses, uncertainty_nm: float, worn: bool
) -> Predictive:
    """Return the predictive of a two-point reading of a length with that standard uncertainty."""
    column = table.columns[dimension.code]
    least, greatest, known = two_point_factors(dimension, True, table, hypotheses.rows)
    recorded = column.is_recorded[hypotheses.rows] & known
    rows = hypotheses.rows[recorded]
    least, greatest = least[recorded], greatest[recorded]
    keys = np.stack([column.lower[rows] * least, column.upper[rows] * greatest, greatest], axis=1)
    shapes, which = np.unique(keys, axis=0, return_inverse=True)
    lower, upper, scale = shapes[:, 0], shapes[:, 1], shapes[:, 2]
    grid = _grid(dimension, lower, upper, uncertainty_nm, worn)
    gaps = np.diff(grid)
    weights = np.concatenate([gaps, [0.0]]) / 2 + np.concatenate([[0.0], gaps]) / 2
    even = np.where((grid >= dimension.span_lower) & (grid <= dimension.span_upper), weights, 0.0)
    even /= even.sum()
    curves = _curves(dimension, grid, lower, upper, scale, uncertainty_nm, worn) * weights
    curves /= np.maximum(curves.sum(axis=1, keepdims=True), np.finfo(np.float64).tiny)
    chances = (1.0 - dimension.slip_chance) * curves + dimension.slip_chance * even
    mixed, outlook = _mix(hypotheses, column, recorded, which, chances, even, dimension.slip_chance)
    edges = np.concatenate([grid[:1], (grid[1:] + grid[:-1]) / 2, grid[-1:]])
    return Predictive(values=grid, chances=mixed, outlook=outlook, edges=edges)


def predict_outcome(dimension: DimensionModel, table: SizeTable, hypotheses: Hypotheses) -> Predictive:
    """Return the predictive of a count or a choice."""
    column = table.columns[dimension.code]
    recorded = column.is_recorded[hypotheses.rows]
    distinct, which = np.unique(column.lower[hypotheses.rows[recorded]], return_inverse=True)
    even = np.full(dimension.outcomes, 1.0 / dimension.outcomes)
    chances = outcome_chances(dimension, distinct)
    first = dimension.span_lower if dimension.measure == "count" else 0
    mixed, outlook = _mix(hypotheses, column, recorded, which, chances, even, dimension.slip_chance)
    values = np.arange(first, first + dimension.outcomes, dtype=np.float64)
    return Predictive(values=values, chances=mixed, outlook=outlook)


def _mix(
    hypotheses: Hypotheses,
    column: Column,
    recorded: BoolArray,
    which: IntArray,
    chances: FloatArray,
    even: FloatArray,
    slip_chance: float,
) -> tuple[FloatArray, IntArray]:
    """Return the distinct outlooks, and which of them every hypothesis has."""
    absent = column.does_not_apply[hypotheses.rows]
    many, shapes = hypotheses.count + 1, len(chances)
    mixing = np.zeros((many, shapes + 2))
    cells = hypotheses.number[recorded] * shapes + which
    shares = np.bincount(cells, weights=hypotheses.share[recorded], minlength=many * shapes)
    mixing[:, :shapes] = shares.reshape(many, shapes)
    mixing[:, shapes] = np.bincount(
        hypotheses.number[absent], weights=hypotheses.share[absent], minlength=many
    )
    mixing[:, shapes + 1] = np.maximum(1.0 - mixing.sum(axis=1), 0.0)
    mixing, outlook = _distinct_rows(mixing.round(_SHARE_DIGITS))
    evenly = mixing[:, shapes + 1] + slip_chance * mixing[:, shapes]
    mixed = np.zeros((len(mixing), len(even) + 1))
    mixed[:, :-1] = csr_array(mixing[:, :shapes]) @ chances  # most groups have one shape or two
    mixed[:, :-1] += evenly[:, None] * even
    mixed[:, -1] = (1.0 - slip_chance) * mixing[:, shapes]
    return mixed / mixed.sum(axis=1, keepdims=True), outlook


def _distinct_rows(array: FloatArray) -> tuple[FloatArray, IntArray]:
    """Return the distinct rows in the order of their first appearance, and which of them each row is."""
    places: dict[bytes, int] = {}
    which = np.array([places.setdefault(row.tobytes(), len(places)) for row in array], dtype=np.int64)
    firsts = np.empty(len(places), dtype=np.int64)
    firsts[which[::-1]] = np.arange(len(array))[::-1]
    return array[firsts], which


def _grid(
    dimension: DimensionModel, lower: FloatArray, upper: FloatArray, uncertainty_nm: float, worn: bool
) -> FloatArray:
    """Return the places at which the densities are taken: dense where one of them bends, sparse elsewhere."""
    noise = np.arange(-_REACH, _REACH + _STEP, _STEP) * uncertainty_nm
    inside = lower[:, None] + (upper - lower)[:, None] * np.linspace(0.0, 1.0, _INSIDE)
    places = [np.linspace(dimension.span_lower, dimension.span_upper, _MOST_EVEN), inside.ravel()]
    places += [(ends[:, None] + noise).ravel() for ends in (lower, upper)]
    sense, scale = applied_wear(dimension, worn)
    if sense != "none":
        side = 1.0 if sense == "grows" else -1.0
        ends = upper if sense == "grows" else lower
        places.append((ends[:, None] + side * scale * _WEAR_PLACES).ravel())
    step = _STEP * uncertainty_nm
    grid: FloatArray = np.unique(np.rint(np.concatenate(places) / step)) * step
    return grid[grid > 0.0]


def _curves(
    dimension: DimensionModel,
    grid: FloatArray,
    lower: FloatArray,
    upper: FloatArray,
    scale: FloatArray,
    uncertainty_nm: float,
    worn: bool,
) -> FloatArray:
    """Return the density of each interval (row) at the places of the grid.

    Intervals of one width and scale have one curve, moved along: it is computed once, at `_FINE` steps,
    and interpolated.
    """
    sense, wear = applied_wear(dimension, worn)
    noise = np.arange(-_REACH, _REACH + _FINE, _FINE) * uncertainty_nm
    wears = _WEAR_PLACES * (wear if sense == "grows" else -wear)
    curves = np.zeros((len(lower), len(grid)))
    shapes, which = np.unique(np.stack([upper - lower, scale], axis=1), axis=0, return_inverse=True)
    for shape, (width, factor) in enumerate(shapes):
        end = width if sense == "grows" else 0.0
        inside = np.linspace(0.0, width, 4 * _INSIDE)
        places = np.unique(np.concatenate([noise, noise + width, inside, end + wears]))
        curve = np.exp(log_density(places, 0.0, width, uncertainty_nm, wear * factor, sense))
        for row in np.flatnonzero(which == shape):
            first, last = np.searchsorted(grid, lower[row] + places[[0, -1]])
            curves[row, first:last] = np.interp(grid[first:last] - lower[row], places, curve)
    return curves
