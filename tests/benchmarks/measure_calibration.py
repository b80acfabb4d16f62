"""Whether the probabilities of a search mean what they say, on parts drawn from a seeded simulation.

A part is drawn, worn, measured with a named instrument, now and then misread; now and then the catalogue
does not hold it (see `simulated_parts`). Its dimensions are read in a random order, or in the order that
the search itself advises; after each reading the search's probabilities stand beside the exact posterior
under the simulation's true parameters (see `exact_posterior`), on the same cases. Further runs let parts
wear, and readers slip, twice and half as much as the model believes.
Run from the checkout: `python -m tests.benchmarks.measure_calibration`.
"""

import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import get_args

import click
import numpy as np

from api.matching.likelihoods.posterior import Posterior, group_probabilities
from api.matching.readings import LengthReading
from api.measurement.readings import DEFAULT_INSTRUMENT
from tests.whole_tables import weigh_sizes

from .adviser import Adviser
from .calibration_figures import FloatArray, Judged, Search
from .calibration_misses import report_misses, why_missed
from .calibration_report import report_kinds, report_reliability, report_variants
from .exact_posterior import ExactPosterior
from .kind_tables import SEED_FOLDER, KindTable, read_instrument, read_kind_tables, stored_kind_tables
from .simulated_parts import EVEN_CHANCE, Case, Noise, PartDrawer, World, scaled

FEWEST = 2
"""A search is judged from this many readings on."""

ADVISED = 5
"""Advice is followed as far as this reading; the rest are read at random."""

LEAST_KEPT = 1e-9
"""Groups that are less likely than this, and not the true one, are not kept of a search."""

VARIANTS = {
    "wear x 2": (2.0, 1.0),
    "wear x 0.5": (0.5, 1.0),
    "slips x 2": (1.0, 2.0),
    "slips x 0.5": (1.0, 0.5),
    "both x 2": (2.0, 2.0),
    "both x 0.5": (0.5, 0.5),
}
"""What the simulation's wear and its slips and miscounts are, in terms of the model's."""


def simulate(
    kinds: Mapping[str, KindTable], worlds: Mapping[str, World], cases: int, seed: int, advised: bool = False
) -> list[Search]:
    """Return the searches of that many cases of every kind, from the second reading of each case on.

    The same seed draws the same cases. `advised`: each next reading is the one advised, else at random.
    """
    found: list[Search] = []
    for place, (code, kind) in enumerate(kinds.items()):
        rng = np.random.default_rng([seed, place])
        drawer = PartDrawer(worlds[code], kind.table, rng)
        adviser = Adviser(kind, worlds[code]) if advised else None
        for _ in range(cases):
            case = drawer.draw()
            found.extend(_searches(kind, worlds[code], case, adviser, rng))
    return found


def worlds_of(
    kinds: Mapping[str, KindTable],
    instrument: str = DEFAULT_INSTRUMENT,
    noise: Noise = "normal",
    lacking: float = EVEN_CHANCE,
    wear: float = 1.0,
    slip: float = 1.0,
) -> dict[str, World]:
    """Return a world for every kind whose wear and slips are the model's times factors."""
    tool = read_instrument(instrument)
    return {
        code: World(kind=scaled(kind.model, wear, slip), instrument=tool, noise=noise, lacking=lacking)
        for code, kind in kinds.items()
    }


def _searches(
    kind: KindTable, world: World, case: Case, adviser: Adviser | None, rng: np.random.Generator
) -> Iterator[Search]:
    """Yield the searches of one case, from `FEWEST` readings on; advice is followed as far as `ADVISED`."""
    exact = ExactPosterior(world, kind.table, case.readings.values())
    left = [str(one) for one in rng.permutation([one.code for one in kind.model.dimensions])]
    grouping, groups = kind.grouping, len(kind.grouping.ids)
    true = groups if case.row is None else int(grouping.number[case.row])
    read: list[str] = []
    posterior: Posterior | None = None
    while left:
        following = left[0]
        if adviser is not None and len(read) < ADVISED:
            following = adviser.first if posterior is None else adviser.next(posterior)
        left.remove(following)
        read.append(following)
        posterior = weigh_sizes(kind.model, kind.table, [case.readings[code] for code in read])
        if len(read) < FEWEST:
            continue
        is_clean = not case.slipped.intersection(read)
        sizes, unlisted = exact.after(read)
        ours = np.append(group_probabilities(posterior, grouping), posterior.unlisted_probability)
        theirs = np.append(np.bincount(grouping.number, weights=sizes, minlength=groups), unlisted)
        kept = (ours > LEAST_KEPT) | (theirs > LEAST_KEPT)
        kept[[true, -1]] = True
        place = int(kept[:true].sum())
        yield Search(
            kind=kind.model.kind,
            readings=len(read),
            lengths=sum(isinstance(one, LengthReading) for one in posterior.readings),
            is_whole=not left,
            ours=Judged(probabilities=ours[kept], true=place, is_clean=is_clean),
            exact=Judged(probabilities=theirs[kept], true=place, is_clean=is_clean),
            miss=_miss(kind, posterior, ours, case.row),
        )


def _miss(kind: KindTable, posterior: Posterior, of_group: FloatArray, row: int | None) -> str | None:
    if row is None or of_group[kind.grouping.number[row]] >= of_group[:-1].max():
        return None
    is_first = kind.grouping.number == int(of_group[:-1].argmax())
    first = int(np.where(is_first, posterior.size_probability, -1.0).argmax())
    return why_missed(kind, posterior.readings, row, first)


@click.command()
@click.option("--catalogue", default=SEED_FOLDER, show_default="the seed", type=click.Path(path_type=Path))
@click.option("--data", type=click.Path(path_type=Path), help="folder of a database, instead of a catalogue")
@click.option("--cases", default=2000, show_default=True, type=click.IntRange(1), help="of each kind")
@click.option("--advised-cases", default=60, show_default=True, type=click.IntRange(0), help="of each kind")
@click.option("--variant-cases", default=300, show_default=True, type=click.IntRange(0), help="of each kind")
@click.option("--instrument", default=DEFAULT_INSTRUMENT, show_default=True)
@click.option("--noise", default="normal", show_default=True, type=click.Choice(get_args(Noise)))
@click.option("--lacking", default=EVEN_CHANCE, show_default=True, type=click.FloatRange(0, 1))
@click.option("--seed", default=2026, show_default=True, type=click.IntRange(0))
def main(
    catalogue: Path,
    data: Path | None,
    cases: int,
    advised_cases: int,
    variant_cases: int,
    instrument: str,
    noise: Noise,
    lacking: float,
    seed: int,
) -> None:
    """Simulate, and print the tables."""
    began = time.monotonic()
    kinds = read_kind_tables(catalogue) if data is None else stored_kind_tables(data)
    for code, kind in kinds.items():
        click.echo(f"{code}: {len(kind.table)} sizes, {len(kind.grouping.ids)} groups")
    click.echo(f"{cases} cases of each kind by {instrument}, {noise} error, seed {seed}; random order")
    worlds = worlds_of(kinds, instrument, noise, lacking)
    searches = simulate(kinds, worlds, cases, seed)
    click.echo(report_reliability(searches))
    click.echo(report_kinds(searches))
    click.echo(report_misses(searches))
    if advised_cases:
        click.echo(f"The first {ADVISED} readings as advised, {advised_cases} cases of each kind")
        searches = simulate(kinds, worlds, advised_cases, seed, advised=True)
        click.echo(report_kinds(searches))
        click.echo(report_misses(searches))
    if variant_cases:
        click.echo(
            f"Parts that wear and readers that slip unlike the model, {variant_cases} cases of each kind"
        )
        runs = {
            name: simulate(kinds, worlds_of(kinds, instrument, noise, lacking, *factors), variant_cases, seed)
            for name, factors in VARIANTS.items()
        }
        click.echo(report_variants(runs))
    click.echo(f"{time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
