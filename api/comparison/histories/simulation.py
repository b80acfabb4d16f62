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
from collections import Counter
from collections.abc import Sequence

import attrs
import numpy as np
import numpy.typing as npt

from api.comparison.histories.cost_variance import variance_of_costs
from api.comparison.histories.sampled_costs import sample_costs
from api.comparison.months.failure_process import FailureProcess, monthly_rate
from api.errors import DomainError, FieldFault

FloatArray = npt.NDArray[np.float64]

HISTORIES = 20_000
"""Histories unless told otherwise: a chance is known within 0.7 % (two standard errors) or better."""
MOST_MEAN_LIVES = 200
"""Most mean lives of one process within the months: a bound on the work (our judgement)."""
MOST_MEAN_LIVES_TOGETHER = 2_000
"""Most mean lives of all processes together: half a second of drawing (our judgement)."""
EVERYTHING = "all positions and replacements together"
"""What `TooManyFailures` calls them."""
FEWEST_UNLIKE = 100
"""From this many histories that go unlike most, a sample tells its own variance (to some 10 %)."""
STEPS_OF_A_MINOR_UNIT = 1024
"""Totals are compared in these steps, so that sums equal on paper tie. A power of two, since decimal
fractions do not lie half-way between its steps."""


@attrs.frozen
class TooManyFailures(DomainError):
    """Lives so short against the months that their failures are not drawn one by one.

    `what` is the process, or everything together; `mean_lives` is how many of its mean lives, which in
    the long run is how many failures, `keep_months` hold.
    """

    what: str
    mean_lives: float
    keep_months: float
    most: int

    def explain(self) -> str:
        """Return how many failures there would be in the months, and how many are taken at most."""
        return (
            f"{self.what}: {self.mean_lives:.4g} mean lives in {self.keep_months:g} months;"
            f" expected {self.most} at most."
        )

    def as_fault(self, *path: str | int) -> FieldFault:
        """Return this as a fault of what stands at `path`."""
        value = f"{self.mean_lives:.4g} mean lives in {self.keep_months:g} months"
        return FieldFault(path, value, f"{self.most} mean lives at most", "too_many_failures")


@attrs.frozen
class OptionProcesses:
    """An option: what it costs now (minor units, with tax), and what may fail later under it."""

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

    Takes at least one option, no two of the same id; months above 0; a yearly rate of 0 or more (0.05
    is 5 %); two histories or more; a seed of 0 or more. Equal totals go to the lower cost now, then to the
    order given. Raises `TooManyFailures`.
    """
    _check_work(options, keep_months)
    rate = monthly_rate(discount_rate_per_year)
    totals = np.empty((len(options), histories))
    variances = []
    for place, option in enumerate(options):
        totals[place], variance = _draw_totals(option, keep_months, rate, histories, seed)
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


def _check_work(options: Sequence[OptionProcesses], keep_months: float) -> None:
    together = 0.0
    for option in options:
        for process in option.processes:
            mean_lives = keep_months / process.life.mean
            if mean_lives > MOST_MEAN_LIVES:
                raise TooManyFailures(process.name, mean_lives, keep_months, MOST_MEAN_LIVES)
            together += mean_lives
    if together > MOST_MEAN_LIVES_TOGETHER:
        raise TooManyFailures(EVERYTHING, together, keep_months, MOST_MEAN_LIVES_TOGETHER)


def _draw_totals(
    option: OptionProcesses, keep_months: float, rate: float, histories: int, seed: int
) -> tuple[FloatArray, float]:
    """Return what the option costs in each history, and the variance of that."""
    totals = np.full(histories, option.cost_now)
    variance = 0.0
    met: Counter[str] = Counter()
    for process in option.processes:
        generator = _stream(seed, option.id, process.name, met[process.name])
        met[process.name] += 1
        sample = sample_costs(process, keep_months, rate, histories, generator)
        totals += sample.costs
        own = float(np.var(sample.costs, ddof=1))
        if sample.unlike < FEWEST_UNLIKE:
            own = max(own, variance_of_costs(process, keep_months, rate))
        variance += own
    return totals, variance


def _stream(seed: int, option: str, process: str, before: int) -> np.random.Generator:
    """Return the stream of a process; `before` counts those of its name before it in its option."""
    named = json.dumps([option, process, before]).encode()
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
    return int(np.count_nonzero(cheaper)) / len(cheaper)
