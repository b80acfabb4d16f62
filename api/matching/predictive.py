"""What a further reading would show under each hypothesis: the posterior predictive, dimension by dimension.

A hypothesis is a group of sizes (its sizes weighted by their probability) or the unlisted alternative.
Slips are in: with chance e a reading is even over the plausible span. A size without the feature lets
it be read only by a slip and otherwise shows that it is absent, which is an outcome of its own. The
unlisted alternative and sizes that do not record the dimension are even over the span.
"""

import attrs
import numpy as np

from api.matching.density import FloatArray
from api.matching.hypotheses import Hypotheses
from api.matching.length_line import LengthLine
from api.matching.length_outlooks import Outlooks
from api.matching.likelihood import outcome_chances
from api.matching.model import DimensionModel
from api.matching.sizes import IntArray, SizeTable
from api.matching.sums import sum_by, xlogx


@attrs.frozen(kw_only=True, eq=False)
class Predictive:
    """The chance of every outcome (column) under every outlook (row), and over all of them.

    `leading` is the most probable hypothesis with that outlook, `joint` the chance that it holds and the
    outcome is read; `expected` the chance of each outcome over all hypotheses. The last outcome is that
    the feature is absent. The others are counts or choices in their order, or, of a length, the `places`
    (nm) of cells that are `widths` (nm) wide.
    """

    leading: IntArray
    joint: FloatArray
    expected: FloatArray
    places: FloatArray | None = None
    widths: FloatArray | None = None


def predict_outcome(
    dimension: DimensionModel, table: SizeTable, hypotheses: Hypotheses
) -> tuple[Predictive, float]:
    """Return the predictive of a count or choice, and the mutual information (nats) of it and hypothesis."""
    column = table.columns[dimension.code]
    number, share, prior = hypotheses.number, hypotheses.share, hypotheses.prior
    recorded, lacking = column.is_recorded[hypotheses.rows], column.does_not_apply[hypotheses.rows]
    distinct, which = np.unique(column.lower[hypotheses.rows[recorded]], return_inverse=True)
    many, values = len(prior), len(distinct)
    cells = number[recorded] * values + which
    shares = sum_by(cells, share[recorded], many * values).reshape(many, values)
    absent = sum_by(number[lacking], share[lacking], many)
    evenly = np.maximum(1.0 - shares.sum(axis=1) - absent, 0.0) + dimension.slip_chance * absent
    chances = np.empty((many, dimension.outcomes + 1))
    chances[:, :-1] = shares @ outcome_chances(dimension, distinct)
    chances[:, :-1] += evenly[:, None] / dimension.outcomes
    chances[:, -1] = (1.0 - dimension.slip_chance) * absent
    expected = prior @ chances
    nats = float(prior @ xlogx(chances).sum(axis=1) - xlogx(expected).sum())
    predictive = Predictive(leading=np.arange(many), joint=prior[:, None] * chances, expected=expected)
    return predictive, nats


def predict_length(
    line: LengthLine, outlooks: Outlooks, expected: FloatArray, length: int, prior: FloatArray
) -> Predictive:
    """Return the predictive of one of the lengths foreseen; `expected` is that of all places and lengths."""
    every = outlooks.places
    start, end = np.searchsorted(every.of_length, [length, length + 1])
    even = every.even[start:end]
    leading = np.full(len(outlooks.floor), -1)
    likely = np.argsort(-prior, kind="stable")[::-1]
    leading[outlooks.of_hypothesis[likely, length]] = likely
    rows = np.flatnonzero(leading >= 0)
    weight = prior[leading[rows]]
    joint = np.empty((len(rows), len(even) + 1))
    np.multiply.outer(weight * outlooks.floor[rows], even, out=joint[:, :-1])
    joint[:, -1] = weight * outlooks.absent[rows]
    local = np.full(len(leading), -1)
    local[rows] = np.arange(len(rows))
    cells = np.flatnonzero(local[outlooks.row] >= 0)
    row = local[outlooks.row[cells]]
    joint[row, outlooks.at[cells] - start] = weight[row] * outlooks.chance[cells]
    absent = prior @ outlooks.absent[outlooks.of_hypothesis[:, length]]
    u = line.uncertainty_nm[length]
    return Predictive(
        leading=leading[rows],
        joint=joint,
        expected=np.append(expected[start:end], absent),
        places=(every.position[start:end] - line.origin[length]) * u,
        widths=every.width[start:end] * u,
    )
