"""Histories of one failure process, drawn, and what the failures of each history cost. Pure but for the
generator that it is handed.

All histories advance together, one renewal a round; those past the months drop out of the arrays, so
the work grows with the number of failures.
"""

from itertools import pairwise

import attrs
import numpy as np
import numpy.typing as npt

from api.comparison.histories.remaining_life import RemainingLife
from api.comparison.months.failure_process import FailureProcess

FloatArray = npt.NDArray[np.float64]


@attrs.frozen
class SampledCosts:
    """Drawn histories: the cost of each (minor units today), and how many had the same number of failures.

    `most_alike` counts the histories with the commonest number of failures, whatever that is.
    """

    costs: FloatArray
    most_alike: int

    @property
    def unlike(self) -> int:
        """How many histories had another number of failures than most."""
        return len(self.costs) - self.most_alike


def sample_costs(
    process: FailureProcess,
    keep_months: float,
    rate: float,
    histories: int,
    generator: np.random.Generator,
) -> SampledCosts:
    """Draw histories of a process up to `keep_months`, discounted at the continuous `rate` per month."""
    costs = np.zeros(histories)
    first = RemainingLife(process.life, process.first)
    draws = first.draw(generator, histories)
    failing = np.flatnonzero(draws <= first.draws_at(np.array([keep_months])))
    times = np.minimum(first.times_at(draws[failing]), keep_months)
    reached = [histories]
    while failing.size:
        reached.append(failing.size)
        costs[failing] += worth_of_failures(process, times, rate)
        times = times + process.life.time_of_growth(0.0, generator.standard_exponential(failing.size))
        still = np.flatnonzero(times <= keep_months)
        failing, times = failing[still], times[still]
    reached.append(0)
    alike = max(more - fewer for more, fewer in pairwise(reached))
    return SampledCosts(costs, alike)


def worth_of_failures(process: FailureProcess, times: FloatArray, rate: float) -> FloatArray:
    """Return what failures at `times` (months) cost, discounted to today, in minor units."""
    costs = np.full(times.shape, process.cost)
    if process.covered_until > 0:
        costs[times <= process.covered_until] = process.covered_cost
    return costs if rate == 0 else costs * np.exp(-rate * times)
