"""How much the discounted cost of a failure process varies, from the model and not from a sample. Pure.

A sample tells its own variance badly when nearly all its histories go alike: where one in a million has
a failure, 20,000 histories show none, and a standard error of nothing. So the variance is taken from the
model there. The lives follow one another independently, so the cost is a sum of martingale differences,
one for each life that begins, and its variance is the sum of theirs:

    Var = v_first + integral over 0..h of v(u) dm(u)

m(u): expected failures until u; v(u): the variance, over the life T of a piece new at u, of what is paid
from u on as far as T decides it, W(u + T) if u + T <= h, else 0, where W(t) = cost of a failure at t +
expected cost after it; v_first: the same for the piece in place from today on. Every term is a mean of
squares about a mean, so that none cancels, however rare the failures are.

With one cost c, rate r and exponential lives of rate k this is k c^2 (1 - e^(-2 r h)) / (2 r); where at
most one failure of chance p matters, it is c^2 p (1 - p). Source: our derivation from the definitions.
"""

import numpy as np
import numpy.typing as npt

from api.comparison.histories.remaining_life import RemainingLife
from api.comparison.histories.sampled_costs import worth_of_failures
from api.comparison.months.failure_process import FailureProcess
from api.wear_life.renewal import NewLife, discounted_renewals

FloatArray = npt.NDArray[np.float64]

CELLS = 128
"""Cells of the months that the integral is taken over (our judgement: standard error within some 2 %)."""
SHARES = (np.arange(64) + 0.5) / 64
"""Quantiles at which a life is taken, equally likely each."""


def variance_of_costs(process: FailureProcess, keep_months: float, rate: float) -> float:
    """Return the variance of the discounted cost of all failures up to `keep_months`, in minor units^2.

    Takes the continuous rate per month. Within some 4 % where no more than a few failures are expected.
    """
    starts = np.linspace(0.0, keep_months, CELLS + 1)
    counted = discounted_renewals(process.life, NewLife(), starts, rate)

    def expected_after(times: FloatArray) -> FloatArray:
        later = process.cost * np.interp(keep_months - times, starts, counted)
        if process.covered_until > 0:
            until = min(process.covered_until, keep_months)
            covered = np.interp(np.maximum(until - times, 0.0), starts, counted)
            later -= (process.cost - process.covered_cost) * covered
        after: FloatArray = later * np.exp(-rate * times)
        return after

    def variances(first: RemainingLife, since: FloatArray) -> FloatArray:
        """One for each of `since`, the months (below `keep_months`) from which the first life runs."""
        chances = first.chances_within(keep_months - since)
        lives = first.times_of_shares(chances[:, None] * SHARES)
        times = np.minimum(since[:, None] + lives, keep_months)
        paid = worth_of_failures(process, times, rate) + expected_after(times)
        means = chances * paid.mean(axis=1)
        spread: FloatArray = (
            chances * np.mean((paid - means[:, None]) ** 2, axis=1) + (1 - chances) * means**2
        )
        return spread

    failures = np.diff(discounted_renewals(process.life, process.first, starts, 0.0))
    later = np.append(variances(RemainingLife(process.life, NewLife()), starts[:-1]), 0.0)
    first = variances(RemainingLife(process.life, process.first), starts[:1])
    return float(first[0] + np.sum(failures * (later[1:] + later[:-1]) / 2))
