"""The sizes that a search has to look at one by one, and the weight of all the others together.

With the floors of the readings taken out, the likelihood of a size is the product of (1 + x), one for each
reading; x is 0 where a reading can only be a slip, and a few thousand where it agrees. Looked at one by one
are the sizes that pass at least so many readings; of the others the terms with at most one x are summed
exactly, from the entries of each dimension, and the terms with more are bounded. Too few sizes were asked
for when the others would hold more than `MOST_ELSEWHERE` of the probability, or when the bound is above
`MOST_OMITTED`: then one reading less has to pass. Where hardly any size agrees with a single one, the others
may hold more, each of them little. Source: our derivation.
"""

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Any

import attrs
import numpy as np
from numpy.typing import NDArray

from api.matching.columns.entry_likelihoods import EntryLikelihoods, weigh_entries
from api.matching.columns.size_blocks import find_rows
from api.matching.columns.size_columns import SizeColumns
from api.matching.likelihoods.density import FloatArray
from api.matching.model import KindModel
from api.matching.readings import Reading
from api.matching.sizes.size_table import IntArray

MOST_ELSEWHERE = 0.01
"""Share of the probability that sizes not looked at may hold, each of them little (our judgement)."""
MOST_OMITTED = 1e-6
"""Share of the probability that may be left out of the sum."""
LOOK_AT_ALL = 4096
"""Up to so many sizes all are looked at."""
ALWAYS = 64
"""How many of the most listed sizes are looked at where nothing agrees."""


@attrs.frozen(kw_only=True, eq=False)
class FoundSizes:
    """Rows looked at, in the order of their codes, and the others together.

    `log_likelihoods` are those of the rows by dimension. `total_weight` is the sum of (listings + 1) over
    all sizes; `log_elsewhere` the log of the sum of weight times likelihood over the sizes not looked at.
    """

    rows: IntArray
    log_likelihoods: Mapping[str, FloatArray]
    total_weight: float
    log_elsewhere: float = -math.inf


def find_sizes(kind: KindModel, columns: SizeColumns, readings: Sequence[Reading]) -> FoundSizes:
    """Return the sizes to look at for settled readings, at most one for each dimension."""
    return find_without(kind, columns, readings, np.zeros(0, dtype=np.int64))


def find_without(
    kind: KindModel, columns: SizeColumns, readings: Sequence[Reading], hidden: IntArray
) -> FoundSizes:
    """Return the sizes to look at as `find_sizes` does, as if the `hidden` rows (ascending) did not exist."""
    weighed = [
        weigh_entries(kind.dimension(one.dimension), one, columns.entries[one.dimension]) for one in readings
    ]
    if len(columns) <= LOOK_AT_ALL or not readings:
        rows = np.argsort(columns.rank)
        rows = rows[~np.isin(rows, hidden)] if hidden.size else rows
        weight = columns.total_weight - float((columns.listings[hidden] + 1.0).sum())
        return FoundSizes(rows=rows, log_likelihoods=_logs(columns, weighed, rows), total_weight=weight)
    outside = _Outside(kind, columns, weighed, hidden)
    tests = [one.test for one in weighed]
    least = max(len(readings) - 1, min(len(readings), 2))
    while True:
        rows = find_rows(columns.blocks, columns.codes, tests, least)
        rows = np.setdiff1d(rows, hidden, assume_unique=True) if hidden.size else rows
        logs = _logs(columns, weighed, rows)
        elsewhere, enough = outside.settle(columns.listings[rows] + 1.0, list(logs.values()), least)
        if enough or least <= 1:
            break
        least -= 1
    if not enough:
        listed = np.argsort(-columns.listings, kind="stable")[:ALWAYS]
        rows = np.setdiff1d(np.union1d(rows, listed), hidden, assume_unique=True)
        logs = _logs(columns, weighed, rows)
        elsewhere, _ = outside.settle(columns.listings[rows] + 1.0, list(logs.values()), least)
    order = np.argsort(columns.rank[rows])
    return FoundSizes(
        rows=rows[order],
        log_likelihoods={code: log[order] for code, log in logs.items()},
        total_weight=outside.total,
        log_elsewhere=outside.log_floor + math.log(elsewhere) if elsewhere > 0.0 else -math.inf,
    )


def _logs(columns: SizeColumns, weighed: Sequence[EntryLikelihoods], rows: IntArray) -> dict[str, FloatArray]:
    return {one.dimension: one.of(columns.codes[one.dimension][rows]) for one in weighed}


class _Outside:
    """The sums over all sizes, in units of the product of the floors."""

    def __init__(
        self, kind: KindModel, columns: SizeColumns, weighed: Sequence[EntryLikelihoods], hidden: IntArray
    ) -> None:
        gone = columns.listings[hidden] + 1.0
        self._weighed = weighed
        self.total = columns.total_weight - float(gone.sum())
        self._excess = [
            one.excess(columns.entries[one.dimension])
            - float(gone @ np.expm1(one.of(columns.codes[one.dimension][hidden]) - one.log_floor))
            for one in weighed
        ]
        self._greatest = [one.greatest_excess() for one in weighed]
        self.log_floor = math.fsum(one.log_floor for one in weighed)
        prior = kind.unlisted_prior / (1.0 - kind.unlisted_prior)
        even = math.fsum(one.log_unlisted - one.log_floor for one in weighed)
        self._unlisted = self.total * prior * math.exp(min(even, 600.0))

    def settle(
        self, weight: NDArray[np.floating[Any]], logs: Sequence[FloatArray], least: int
    ) -> tuple[float, bool]:
        """Return what the sizes not looked at weigh, and whether that is little and known well enough."""
        over = [log - one.log_floor for log, one in zip(logs, self._weighed, strict=True)]
        first_order = 1.0 + np.sum([np.expm1(one) for one in over], axis=0)
        elsewhere = max(self.total + math.fsum(self._excess) - float(weight @ first_order), 0.0)
        seen = float(weight @ np.exp(np.minimum(np.sum(over, axis=0), 600.0)))
        whole = seen + elsewhere + self._unlisted
        return elsewhere, elsewhere <= MOST_ELSEWHERE * whole and self._bound(least) <= MOST_OMITTED * whole

    def _bound(self, least: int) -> float:
        """Return at most what the terms with two x and more weigh over sizes that pass less than `least`."""
        answer = 0.0
        shares = [
            excess / greatest if greatest > 0.0 else 0.0
            for excess, greatest in zip(self._excess, self._greatest, strict=True)
        ]
        for many in range(2, least):
            for chosen in combinations(range(len(shares)), many):
                answer += min(shares[one] for one in chosen) * math.prod(
                    self._greatest[one] for one in chosen
                )
        return answer
