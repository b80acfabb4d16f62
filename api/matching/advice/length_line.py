"""The lengths that may be read next, laid end to end on one line, so that one pass does for all of them.

Each length is measured in its own standard uncertainty from its own origin on the line; the stretch
that it takes holds its plausible span and every reading that one of its intervals is followed to.
"""

from collections.abc import Mapping, Sequence

import attrs
import numpy as np

from api.matching.advice.hypotheses import Hypotheses
from api.matching.advice.length_curves import REACH, WEAR_REACH
from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.likelihood import applied_wear, two_point_factors
from api.matching.likelihoods.sums import sum_by
from api.matching.model import DimensionModel
from api.matching.sizes.size_table import BoolArray, IntArray, Recorded, SizeTable

_GAP = 1.0
"""What is left free between two lengths, in standard uncertainties."""
_UNEVEN = 0.6180339887498949
"""Any number by which unequal pairs hardly ever give equal sums: the golden ratio less 1."""


@attrs.frozen(kw_only=True, eq=False)
class LengthLine:
    """Lengths on one line, and the distinct intervals of all the sizes considered.

    By length: the standard uncertainty in nm, the origin, how much of the line it takes, the span, and
    whether it shrinks as it wears.
    By interval: its length, its limits, its mean wear (0: none). `shares` has the share of every interval
    (column) in every hypothesis (row); `lacking` and `even` have, by hypothesis and length, the share of
    sizes without the feature, and of what is even over the span: not recorded, or unlisted.
    """

    dimensions: Sequence[DimensionModel]
    uncertainty_nm: FloatArray
    origin: FloatArray
    takes: FloatArray
    span_lower: FloatArray
    span_upper: FloatArray
    shrinks: BoolArray
    of_length: IntArray
    lower: FloatArray
    upper: FloatArray
    decay: FloatArray
    shares: FloatArray
    lacking: FloatArray
    even: FloatArray


def lay_out_lengths(
    dimensions: Sequence[DimensionModel],
    table: SizeTable,
    hypotheses: Hypotheses,
    uncertainty_nm: Mapping[str, float],
    worn: bool,
) -> LengthLine:
    """Return the lengths on one line, each as a two-point reading with its standard uncertainty sees it."""
    u = np.array([uncertainty_nm[one.code] for one in dimensions])
    columns = [table.columns[one.code] for one in dimensions]
    rows = hypotheses.rows
    state = np.stack([column.state[rows] for column in columns])
    lower = np.stack([column.lower[rows] for column in columns]) / u[:, None]
    upper = np.stack([column.upper[rows] for column in columns]) / u[:, None]
    wears = [applied_wear(one, worn) for one in dimensions]
    decay = np.array([scale for _, scale in wears])[:, None] / u[:, None] + np.zeros(state.shape)
    for n, one in enumerate(dimensions):
        if one.two_point_over is not None:
            least, greatest, known = two_point_factors(one, True, table, rows)
            state[n, ~known & (state[n] == Recorded.RECORDED)] = Recorded.NOT_RECORDED
            lower[n] *= least
            upper[n] *= greatest
            decay[n] *= greatest
    spans = np.array([[one.span_lower, one.span_upper] for one in dimensions]) / u[:, None]
    recorded = state == Recorded.RECORDED
    reached = np.where(recorded, upper + WEAR_REACH * decay, 0.0).max(axis=1, initial=0.0)
    takes = np.maximum(reached, spans[:, 1]) + REACH + _GAP
    origin = np.cumsum(takes) - takes
    length, column = np.nonzero(recorded)
    lower, upper = (limits[recorded] + origin[length] for limits in (lower, upper))
    decay = decay[recorded]
    first, which = _distinct(lower, upper, decay)
    many, lengths, intervals = len(hypotheses.prior), len(dimensions), len(first)
    number, share = hypotheses.number[column], hypotheses.share[column]
    shares = sum_by(number * intervals + which, share, many * intervals)
    told = sum_by(number * lengths + length, share, many * lengths)
    length_, column = np.nonzero(state == Recorded.DOES_NOT_APPLY)
    lacking = sum_by(hypotheses.number[column] * lengths + length_, hypotheses.share[column], many * lengths)
    return LengthLine(
        dimensions=dimensions,
        uncertainty_nm=u,
        origin=origin,
        takes=takes,
        span_lower=origin + spans[:, 0],
        span_upper=origin + spans[:, 1],
        shrinks=np.array([sense == "shrinks" for sense, _ in wears]),
        of_length=length[first],
        lower=lower[first],
        upper=upper[first],
        decay=decay[first],
        shares=shares.reshape(many, intervals),
        lacking=lacking.reshape(many, lengths),
        even=np.maximum(1.0 - told - lacking, 0.0).reshape(many, lengths),
    )


def _distinct(lower: FloatArray, upper: FloatArray, decay: FloatArray) -> tuple[IntArray, IntArray]:
    """Return where each distinct interval stands, and which of these each interval is."""
    order = np.argsort(lower + _UNEVEN * upper)  # equal intervals come to stand side by side
    starts = np.zeros(len(order), dtype=np.bool_)
    starts[:1] = True
    for limits in (lower, upper, decay):
        ordered = limits[order]
        starts[1:] |= ordered[1:] != ordered[:-1]
    which = np.empty(len(order), dtype=np.int64)
    which[order] = np.cumsum(starts) - 1
    return order[starts], which
