"""One thing that fails and is renewed again and again, and what that costs until a horizon. Pure.

Every failure renews: the first life is that of the piece in place today, the later ones are new. A
failure at `t` months counts where `t` is at most the horizon, and is worth
`(1 + discount_rate_per_year) ** (-t / 12)` of its cost today.
"""

import math

import attrs
import numpy as np
import numpy.typing as npt

from api.wear_life.renewal import FirstLife, discounted_renewals
from api.wear_life.weibull import WeibullLife

FloatArray = npt.NDArray[np.float64]

MONTHS_PER_YEAR = 12


@attrs.frozen(kw_only=True)
class FailureProcess:
    """The failures of one position, of the remainder or of a replacement, and what each costs.

    `name` is the position, `remainder`, or the replacement's id. `life` is in months; `first` is of the
    piece in place from today on. `cost` is of each failure that is not covered, `covered_cost` of each
    failure at `covered_until` months or earlier (0: none is covered), both in minor units with tax.
    """

    name: str
    life: WeibullLife
    first: FirstLife
    cost: float
    covered_cost: float = 0.0
    covered_until: float = 0.0


def monthly_rate(discount_rate_per_year: float) -> float:
    """Return the continuous rate per month of a yearly discount rate (0.05 is 5 % a year)."""
    return math.log1p(discount_rate_per_year) / MONTHS_PER_YEAR


def expected_costs(process: FailureProcess, horizons: FloatArray, rate: float) -> FloatArray:
    """Return the expected discounted cost of all failures up to each horizon, in minor units.

    Takes horizons in months, and the continuous rate per month (`monthly_rate`). One evaluation of the
    renewal function serves all horizons.
    """
    if process.covered_until <= 0:
        return process.cost * discounted_renewals(process.life, process.first, horizons, rate)
    covered = np.minimum(horizons, process.covered_until)
    counts = discounted_renewals(process.life, process.first, np.concatenate([horizons, covered]), rate)
    every, free = counts[: len(horizons)], counts[len(horizons) :]
    return process.cost * every + (process.covered_cost - process.cost) * free


def expected_cost(process: FailureProcess, keep_months: float, rate: float) -> float:
    """Return the expected discounted cost of all failures up to one horizon, in minor units."""
    return float(expected_costs(process, np.array([float(keep_months)]), rate)[0])
