"""Discounted renewals of many lives in one calculation, with tables that are made once and used again.

Time counts in scales, so a table serves every life of the same shape and of the same age in scales: other
starts per month, other discount rates and nearer horizons need no new one.
"""

from numpy.typing import ArrayLike

from api.wear_life.later_failures import LaterFailures
from api.wear_life.renewal import FirstLife, renewals_from
from api.wear_life.weibull import FloatArray, WeibullLife

_SAME = 13
"""Ages that agree to that many decimals of the scale share a table."""


class RenewalTables:
    """The tables of one calculation; not for use from several threads at once."""

    def __init__(self) -> None:
        self._numbers: dict[tuple[float, float], tuple[float, LaterFailures]] = {}
        self._worths: dict[tuple[float, float, float], tuple[float, LaterFailures]] = {}

    def discounted_renewals(
        self, life: WeibullLife, first: FirstLife, horizons: ArrayLike, rate: float
    ) -> FloatArray:
        """Return what the function of the same name returns; ask for the farthest horizons first."""
        return renewals_from(self._later, life, first, horizons, rate)

    def _later(self, unit: WeibullLife, age: float, until: float, rate: float) -> LaterFailures:
        number_key = (unit.shape, round(age, _SAME))
        worth_key = (*number_key, rate)
        reach, worth = self._worths.get(worth_key, (-1.0, None))
        if worth is not None and reach >= until:
            return worth
        reach, number = self._numbers.get(number_key, (-1.0, None))
        if number is None or reach < until:
            reach, number = until, LaterFailures.tabulate(unit, age, until)
            self._numbers[number_key] = (reach, number)
        worth = number.discounted(rate)
        self._worths[worth_key] = (reach, worth)
        return worth
