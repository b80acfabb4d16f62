"""How many readings it takes to be sure of a part when the advice is followed, and in any fixed order.

Listed parts are drawn, worn, measured and now and then misread (see `simulated_parts`); read are the
dimensions that the search advises, one after the other, until one group holds 90 % of the probability.
The same readings are taken in fixed orders. What no fixed order can beat is computed too (see
`fixed_orders`): the best fixed order is looked for on the very cases it is judged by, which favours it.
Some parts are never told apart so surely, whatever is read: they are counted apart, as taking all readings.
Sets of dimensions are gone through one by one: meant for catalogues of a few hundred sizes.
Run from the checkout: `python -m tests.benchmarks.measure_advice`.
"""

import time
from pathlib import Path

import attrs
import click
import numpy as np
from numpy.typing import NDArray

from api.matching.likelihoods.likelihood import log_even
from api.measurement.readings import DEFAULT_INSTRUMENT
from tests.whole_tables import weigh_sizes

from .adviser import Adviser
from .fixed_orders import FixedOrders, judge_orders, named_sets, readings_taken
from .kind_tables import SEED_FOLDER, KindTable, read_instrument, read_kind_tables
from .simulated_parts import Case, PartDrawer, World

MASS = 0.9
"""The probability that one group is to reach."""


@attrs.frozen(kw_only=True)
class Measured:
    """Mean readings as advised (with their standard error), in fixed orders, and in the kind's own order."""

    cases: int
    advised: float
    advised_error: float
    published: float
    fixed: FixedOrders

    @property
    def beats_every_order(self) -> bool:
        """Whether the advice takes fewer readings than any fixed order can."""
        return self.advised < max(self.fixed.bound, self.fixed.best if self.fixed.is_every else 0.0)


def measure(kind: KindTable, world: World, cases: int, sample: int, seed: int) -> tuple[Measured, Measured]:
    """Return what those of the listed parts take that all readings together name, and what all take.

    `sample` orders are tried where not all are. Raises `ValueError` where no part is named.
    """
    rng = np.random.default_rng(seed)
    drawer = PartDrawer(world, kind.table, rng)
    listed: list[Case] = []
    while len(listed) < cases:
        case = drawer.draw()
        if case.row is not None:
            listed.append(case)
    named = np.array([_named(kind, case) for case in listed])
    adviser = Adviser(kind, world)
    advised = np.array([_advised(kind, adviser, case, row) for case, row in zip(listed, named, strict=True)])
    is_named = named[:, -1]
    if not is_named.any():
        raise ValueError(f"no {kind.model.kind} of {cases} is ever named")
    dimensions = len(kind.model.dimensions)
    return (
        _compare(named[is_named], advised[is_named], judge_orders(named[is_named], dimensions, sample, rng)),
        _compare(named, advised, judge_orders(named, dimensions, sample, rng)),
    )


def _compare(named: NDArray[np.bool_], advised: NDArray[np.int64], fixed: FixedOrders) -> Measured:
    return Measured(
        cases=len(advised),
        advised=float(advised.mean()),
        advised_error=float(advised.std() / np.sqrt(len(advised))),
        published=float(readings_taken(named, range(len(fixed.best_order))).mean()),
        fixed=fixed,
    )


def _named(kind: KindTable, case: Case) -> NDArray[np.bool_]:
    rows = []
    for dimension in kind.model.dimensions:
        reading = case.readings[dimension.code]
        of_sizes = weigh_sizes(kind.model, kind.table, [reading]).log_likelihoods[dimension.code]
        rows.append(np.append(of_sizes, log_even(dimension, reading)))
    prior = weigh_sizes(kind.model, kind.table, ())
    log_prior = np.log(np.append(prior.size_probability, prior.unlisted_probability))
    return named_sets(np.array(rows), log_prior, kind.grouping.number, MASS)


def _advised(kind: KindTable, adviser: Adviser, case: Case, named: NDArray[np.bool_]) -> int:
    codes = [one.code for one in kind.model.dimensions]
    read = [adviser.first]
    while not named[sum(1 << codes.index(code) for code in read)] and len(read) < len(codes):
        posterior = weigh_sizes(kind.model, kind.table, [case.readings[code] for code in read])
        read.append(adviser.next(posterior))
    return len(read)


def told(code: str, kind: KindTable, found: Measured, everything: Measured) -> str:
    """Return what was found of one kind, in words."""
    fixed = found.fixed
    tried = f"all {fixed.tried} orders" if fixed.is_every else f"{fixed.tried} orders at random and 3 chosen"
    best = ", ".join(kind.model.dimensions[place].code for place in fixed.best_order)
    return "\n".join(
        [
            f"{code}: {found.cases} of {everything.cases} listed parts can be named with everything read",
            f"  as advised            {found.advised:6.3f} readings (+- {found.advised_error:.3f})",
            f"  best fixed order      {fixed.best:6.3f} of {tried}: {best}",
            f"  bound of fixed orders {fixed.bound:6.3f}",
            f"  mean of fixed orders  {fixed.mean:6.3f}",
            f"  the published order   {found.published:6.3f}",
            f"  fewer than any fixed order: {'yes' if found.beats_every_order else 'NOT SHOWN'}",
            f"  all listed parts: advised {everything.advised:.3f}, best fixed {everything.fixed.best:.3f},"
            f" bound {everything.fixed.bound:.3f}",
        ]
    )


@click.command()
@click.option("--catalogue", default=SEED_FOLDER, show_default="the seed", type=click.Path(path_type=Path))
@click.option("--cases", default=600, show_default=True, type=click.IntRange(1), help="of each kind")
@click.option("--orders", default=1000, show_default=True, type=click.IntRange(1), help="tried at random")
@click.option("--instrument", default=DEFAULT_INSTRUMENT, show_default=True)
@click.option("--seed", default=2026, show_default=True, type=click.IntRange(0))
def main(catalogue: Path, cases: int, orders: int, instrument: str, seed: int) -> None:
    """Follow the advice and fixed orders on the same cases, and print the means."""
    began = time.monotonic()
    tool = read_instrument(instrument)
    for code, kind in read_kind_tables(catalogue).items():
        world = World(kind=kind.model, instrument=tool)
        click.echo(told(code, kind, *measure(kind, world, cases, orders, seed)))
    click.echo(f"{time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
