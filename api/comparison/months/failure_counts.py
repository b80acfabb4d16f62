"""Expected discounted counts of failures, each computed once for a comparison. Pure.

A comparison asks for the same counts again and again: for every horizon of a break-even, and for every
input of the sensitivity that leaves a life as it is. Counts of a life at the prepared months are computed
in one go and looked up after that; other months are computed when asked for.
"""

import numpy as np

from api.comparison.months.failure_process import FailureProcess, FloatArray
from api.wear_life.renewal import FirstLife
from api.wear_life.renewal_tables import RenewalTables
from api.wear_life.weibull import WeibullLife


class FailureCounts:
    """The counts of one comparison; `months` are those that most of it asks for (any order)."""

    def __init__(self, months: FloatArray) -> None:
        self._months = np.unique(months)
        self._tables = RenewalTables()
        self._prepared: dict[tuple[WeibullLife, FirstLife, float], FloatArray] = {}
        self._others: dict[tuple[WeibullLife, FirstLife, float, bytes], FloatArray] = {}

    def prepare(self, process: FailureProcess, rate: float) -> None:
        """Compute the counts of a process at all prepared months (`rate` continuous, per month)."""
        key = (process.life, process.first, rate)
        if key not in self._prepared:
            self._prepared[key] = self._tables.discounted_renewals(
                process.life, process.first, self._months, rate
            )

    def costs(self, process: FailureProcess, horizons: FloatArray, rate: float) -> FloatArray:
        """Return the expected discounted cost of a process up to each horizon, in minor units."""
        if process.covered_until <= 0:
            return process.cost * self._counts(process, horizons, rate)
        covered = np.minimum(horizons, process.covered_until)
        counts = self._counts(process, np.concatenate([horizons, covered]), rate)
        every, free = counts[: len(horizons)], counts[len(horizons) :]
        return process.cost * every + (process.covered_cost - process.cost) * free

    def _counts(self, process: FailureProcess, months: FloatArray, rate: float) -> FloatArray:
        prepared = self._prepared.get((process.life, process.first, rate))
        if prepared is not None:
            places = np.minimum(np.searchsorted(self._months, months), len(self._months) - 1)
            if np.array_equal(self._months[places], months):
                return prepared[places]
        key = (process.life, process.first, rate, months.tobytes())
        if key not in self._others:
            self._others[key] = self._tables.discounted_renewals(process.life, process.first, months, rate)
        return self._others[key]
