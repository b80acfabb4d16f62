"""What a further reading would show under each hypothesis: the posterior predictive, dimension by dimension.

A hypothesis is a group of sizes (its sizes weighted by their probability) or the unlisted alternative.
Slips are in: with chance e a reading is even over the plausible span. A size without the feature lets
it be read only by a slip and otherwise shows that it is absent, which is an outcome of its own. The
unlisted alternative and sizes that do not record the dimension are even over the span.
"""

import attrs
import numpy as np

from api.matching.advice.hypotheses import Hypotheses
from api.matching.advice.length_line import LengthLine
from api.matching.advice.length_outlooks import Outlooks
from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.likelihood import outcome_chances
from api.matching.likelihoods.sums import lay_stretches, sum_by, xlogx
from api.matching.model import DimensionModel
from api.matching.sizes.size_table import IntArray, Recorded, SizeTable


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


@attrs.frozen(kw_only=True, eq=False)
class OutcomeChances:
    """The chance of every count or choice, and of `absent` last, by hypothesis (row) and over all."""

    by_hypothesis: FloatArray
    expected: FloatArray

    def gain(self, prior: FloatArray) -> float:
        """Return the mutual information (nats) of hypothesis and outcome."""
        return float(prior @ xlogx(self.by_hypothesis).sum(axis=1) - xlogx(self.expected).sum())

    def predictive(self, prior: FloatArray) -> Predictive:
        """Return the predictive, in which every hypothesis has an outlook of its own."""
        joint = prior[:, None] * self.by_hypothesis
        return Predictive(leading=np.arange(len(prior)), joint=joint, expected=self.expected)


def foresee_outcomes(dimension: DimensionModel, table: SizeTable, hypotheses: Hypotheses) -> OutcomeChances:
    """Return what a count or a choice would show."""
    column, rows = table.columns[dimension.code], hypotheses.rows
    number, share, many = hypotheses.number, hypotheses.share, len(hypotheses.prior)
    state = column.state[rows]
    recorded, lacking = state == Recorded.RECORDED, state == Recorded.DOES_NOT_APPLY
    first = dimension.span_lower if dimension.measure == "count" else 0
    # A count that is two and more beyond the span makes all outcomes equally likely, however far it is.
    true_value = np.arange(first - 2, first + dimension.outcomes + 2)
    place = np.clip(column.lower[rows[recorded]] - (first - 2), 0, len(true_value) - 1)
    values = len(true_value)
    shares = sum_by(number[recorded] * values + place, share[recorded], many * values).reshape(many, values)
    absent = sum_by(number[lacking], share[lacking], many)
    evenly = np.maximum(1.0 - shares.sum(axis=1) - absent, 0.0) + dimension.slip_chance * absent
    chances = np.empty((many, dimension.outcomes + 1))
    seen = np.flatnonzero(shares.any(axis=0))
    chances[:, :-1] = shares[:, seen] @ outcome_chances(dimension, true_value[seen])
    chances[:, :-1] += evenly[:, None] / dimension.outcomes
    chances[:, -1] = (1.0 - dimension.slip_chance) * absent
    return OutcomeChances(by_hypothesis=chances, expected=hypotheses.prior @ chances)


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
    lengths = outlooks.last[rows] - outlooks.first[rows]
    cells, _ = lay_stretches(outlooks.start[rows], outlooks.start[rows + 1])
    at = np.repeat(np.arange(len(rows)), lengths), outlooks.at[cells] - start
    joint[at] = np.repeat(weight, lengths) * outlooks.chance[cells]
    absent = prior @ outlooks.absent[outlooks.of_hypothesis[:, length]]
    u = line.uncertainty_nm[length]
    return Predictive(
        leading=leading[rows],
        joint=joint,
        expected=np.append(expected[start:end], absent),
        places=(every.position[start:end] - line.origin[length]) * u,
        widths=every.width[start:end] * u,
    )
