"""Draw what each option will have cost when the vehicle is given up: spread, chances, standard error. Pure.

Positions fail independently, and so do the options: every process of every option draws from a stream of
its own, found from the seed and from the names of option and process. So another option, another position
or another order changes nobody else's draws, and the same seed gives the same answer.

The standard error of a mean is the root of the summed variances of its processes over the histories.
A variance is the sample's, except where fewer than `FEWEST_UNLIKE` histories had another number of
failures than most: there it is at least that of the model (`cost_variance`).
"""

import hashlib
import json
import math
from collections.abc import Sequence

import attrs
import numpy as np
import numpy.typing as npt

from api.comparison.cost_variance import variance_of_costs
from api.comparison.failure_process import FailureProcess, monthly_rate
from api.comparison.sampled_costs import sample_costs
from api.errors import DomainError, FieldFault

FloatArray = npt.NDArray[np.float64]

HISTORIES = 20_000
"""Histories unless told otherwise: a chance is known within 0.7 % (two standard errors) or better."""
MOST_MEAN_LIVES = 200
"""Most mean lives of one process within the months: a bound on the work (our judgement)."""
FEWEST_UNLIKE = 100
"""From this many histories that go unlike most, a sample tells its own variance (to some 10 %)."""
STEPS_OF_A_MINOR_UNIT = 1024
"""Totals are compared in these steps, so that sums equal on paper tie. A power of two, since decimal
fractions do not lie half-way between its steps."""


@attrs.frozen
class TooManyFailures(DomainError):
    """A life so short against the months that its failures are not counted one by one."""

    process: str
    mean_life_months: float
    keep_months: float
    most_mean_lives: int = MOST_MEAN_LIVES

    @property
    def _expected(self) -> str:
        least = self.keep_months / self.most_mean_lives
        return f"a mean life of {least:.4g} months or more, {self.most_mean_lives} within the months at most"

    def explain(self) -> str:
        """Return the mean life, the months, and the least mean life that is taken."""
        return (
            f"{self.process}: a mean life of {self.mean_life_months:.4g} months fails"
            f" {self.keep_months / self.mean_life_months:.4g} times in {self.keep_months:g} months;"
            f" expected {self._expected}."
        )

    def fault(self, *path: str | int) -> FieldFault:
        """Return this as a fault of the life at `path`."""
        value = f"{self.mean_life_months:.4g} months"
        return FieldFault(path, value, self._expected, "too_many_failures")


@attrs.frozen
class OptionProcesses:
    """An option: what it costs now (minor units, with tax), and what may fail later under it.

    No two of its processes have the same name.
    """

    id: str
    cost_now: float
    processes: tuple[FailureProcess, ...]


@attrs.frozen(kw_only=True)
class SimulatedOption:
    """What an option costs in all, discounted to today, in minor units (chances: 0 to 1).

    `p10`, `p50` and `p90` are the least totals that 10, 50 and 90 of 100 histories do not exceed.
    `repair_cheaper_probability` is that of the repair against this replacement; the repair has none.
    """

    id: str
    mean: float
    p10: float
    p50: float
    p90: float
    standard_error: float
    probability_cheapest: float
    repair_cheaper_probability: float | None


@attrs.frozen
class SimulatedTotals:
    """The options in the order given, and the histories and the seed that they were drawn with."""

    options: tuple[SimulatedOption, ...]
    histories: int
    seed: int


def simulate_options(
    options: Sequence[OptionProcesses],
    keep_months: float,
    discount_rate_per_year: float,
    *,
    histories: int = HISTORIES,
    seed: int,
) -> SimulatedTotals:
    """Draw histories of every option, the repair first, and compare what they come to.

    Takes at least one option, no two of the same id; months above 0; a yearly rate above -1 (0.05 is
    5 %); two histories or more; a seed of 0 or more. Equal totals go to the lower cost now, then to the
    order given. Raises `TooManyFailures`.
    """
    for option in options:
        for process in option.processes:
            _check_work(process, keep_months)
    rate = monthly_rate(discount_rate_per_year)
    totals = np.empty((len(options), histories))
    variances = []
    for place, option in enumerate(options):
        totals[place] = option.cost_now
        variance = 0.0
        for process in option.processes:
            sample = sample_costs(process, keep_months, rate, histories, _stream(seed, option, process))
            totals[place] += sample.costs
            own = float(np.var(sample.costs, ddof=1))
            if sample.unlike < FEWEST_UNLIKE:
                own = max(own, variance_of_costs(process, keep_months, rate))
            variance += own
        variances.append(variance)
    steps = np.rint(totals * STEPS_OF_A_MINOR_UNIT)
    cheapest = _chances_to_be_cheapest(options, steps)
    places = [math.ceil(share * histories / 100) - 1 for share in (10, 50, 90)]
    lower, middle, upper = np.partition(totals, places, axis=1)[:, places].T
    return SimulatedTotals(
        tuple(
            SimulatedOption(
                id=option.id,
                mean=float(totals[place].mean()),
                p10=float(lower[place]),
                p50=float(middle[place]),
                p90=float(upper[place]),
                standard_error=math.sqrt(variances[place] / histories),
                probability_cheapest=cheapest[place],
                repair_cheaper_probability=_chance_cheaper(options, steps, place) if place else None,
            )
            for place, option in enumerate(options)
        ),
        histories,
        seed,
    )


def _check_work(process: FailureProcess, keep_months: float) -> None:
    if keep_months > MOST_MEAN_LIVES * process.life.mean:
        raise TooManyFailures(process.name, process.life.mean, keep_months)


def _stream(seed: int, option: OptionProcesses, process: FailureProcess) -> np.random.Generator:
    named = json.dumps([option.id, process.name]).encode()
    key = int.from_bytes(hashlib.sha256(named).digest()[:16])
    return np.random.Generator(np.random.SFC64(np.random.SeedSequence(seed, spawn_key=(key,))))


def _chances_to_be_cheapest(options: Sequence[OptionProcesses], steps: FloatArray) -> list[float]:
    order = sorted(range(len(options)), key=lambda place: options[place].cost_now)  # a stable sort
    winners = np.bincount(np.argmin(steps[order], axis=0), minlength=len(options))
    chances = [0.0] * len(options)
    for rank, place in enumerate(order):
        chances[place] = float(winners[rank]) / steps.shape[1]
    return chances


def _chance_cheaper(options: Sequence[OptionProcesses], steps: FloatArray, place: int) -> float:
    ties_to_repair = options[0].cost_now <= options[place].cost_now
    cheaper = steps[0] <= steps[place] if ties_to_repair else steps[0] < steps[place]
    return float(np.count_nonzero(cheaper)) / steps.shape[1]
