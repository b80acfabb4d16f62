"""What comparisons over months rest on, in figures: deviations from references, histories, worked cases.

Three tables. Largest deviations of the renewal counts and lives from each source; standardised differences
between drawn means and expectations over random settings; three comparisons of a family of the seed catalogue
with their break-evens. Run from the checkout: `python -m tests.benchmarks.report_comparison`.
"""

from collections.abc import Callable, Iterator
from itertools import product
from typing import Any

import click
import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import weibull_min

from api.logs import write_logs
from api.wear_life.renewal import AgedLife, FirstLife, NewLife, UnknownAge, discounted_renewals
from api.wear_life.weibull import WeibullLife
from tests.benchmarks.figure_tables import circumstances, table
from tests.benchmarks.measure_comparison import COMPARED, application, served
from tests.drawn_processes import SETTINGS, standardised_differences
from tests.references.published_renewals import RELIFE, RELIFE_TIMES, TIJMS, TIJMS_LATER
from tests.references.renewals_by_transform import renewals_by_transform
from tests.renewals_on_a_grid import discounted_failures

SHAPES = (0.5, 0.7, 0.97, 1.04, 1.5, 2.9, 4.0, 6.3, 10.0)
AGES = (0.0, 0.01, 0.5, 1.1)
RATES = (0.0, 0.05, 0.5)
SHARES_OF_A_MEAN = np.array([0.001, 0.05, 0.4, 0.95, 1.3, 4.7])

Deviation = tuple[str, int, float, str]
"""Source, how many values, the largest deviation, and whether it is `relative` or `absolute`."""

CASES: dict[str, dict[str, Any]] = {
    "both contacts burnt, own work, 36 months": {
        "keep_months": 36,
        "labour": {"rate_per_hour": "0"},
        "positions": [
            {"position": "battery_side_contact", "failed": True},
            {"position": "motor_side_contact", "failed": True},
        ],
    },
    "brushes and bushes worn, shop at 60.00, 48 months": {
        "keep_months": 48,
        "positions": [
            {"position": "brush_set", "failed": True},
            {"position": "drive_end_bushing", "failed": False, "wear_share": 0.9},
            {"position": "commutator_end_bushing", "failed": False, "wear_share": 0.9},
        ],
    },
    "clutch slips, rest nearly spent, shop at 60.00, 96 months": {
        "keep_months": 96,
        "positions": [
            {"position": "drive_clutch", "failed": True},
            {"position": "brush_set", "failed": False, "wear_share": 0.95},
            {"position": "drive_end_bushing", "failed": False, "wear_share": 0.95},
        ],
        "remainder": {"wear_share": 0.9},
    },
}


def deviations(*, by_transform: bool = True) -> Iterator[Deviation]:
    """Yield the largest deviation from each source; the transform takes the longest."""
    yield _largest("SciPy weibull_min: survival, failed, density", _lives(), relative=True)
    yield _largest("closed form: exponential lives, any age and rate", _exponential(), relative=True)
    yield _largest("closed form: stationary age, undiscounted", _stationary(), relative=True)
    four = [(_renewals(2.101349, 1.129063, NewLife(), at), number) for at, number in TIJMS.items()]
    three = [(_renewals(2.101349, 1.129063, NewLife(), at), number) for at, number in TIJMS_LATER.items()]
    yield _largest("Tijms, table 8.1.1, printed to 4 decimals", four, relative=False)
    yield _largest("Tijms, table 8.1.1, printed to 3 decimals", three, relative=False)
    package = [
        (_renewals(shape, 1.0, NewLife(), at), number)
        for shape, numbers in RELIFE.items()
        for at, number in zip(RELIFE_TIMES, numbers, strict=True)
    ]
    yield _largest("package relife 3.0.0, to 6 decimals, steps of 1/4,000", package, relative=False)
    if by_transform:
        yield _largest("Laplace transform inverted: any shape, age and rate", _by_transform(), relative=True)
    yield _largest("renewal equation on a grid: shapes 1.04 to 6.3", _on_grid(), relative=True)


def _renewals(shape: float, scale: float, first: FirstLife, at: float, rate: float = 0.0) -> float:
    return float(discounted_renewals(WeibullLife(shape, scale), first, [at], rate)[0])


def _largest(source: str, pairs: Any, *, relative: bool) -> Deviation:
    found, expected = np.array(list(pairs), dtype=float).T
    differences = np.abs(found - expected)
    most = float(np.max(differences / np.abs(expected) if relative else differences))
    return source, len(found), most, "relative" if relative else "absolute"


def _lives() -> Iterator[tuple[float, float]]:
    times = 300.0 * np.array([1e-3, 0.03, 0.2, 0.7, 1.0, 1.2, 1.5])
    for shape in SHAPES:
        life, other = WeibullLife(shape, 300.0), weibull_min(shape, scale=300.0)
        ways: list[tuple[Callable[[ArrayLike], Any], Callable[[ArrayLike], Any]]] = [
            (life.survival, other.sf),
            (life.failed, other.cdf),
            (life.density, other.pdf),
        ]
        for ours, theirs in ways:
            yield from zip(ours(times), theirs(times), strict=True)


def _exponential() -> Iterator[tuple[float, float]]:
    for age, rate, at in product((0.0, 0.4, 7.0, 1000.0), (0.0, 0.05), (0.005, 0.3, 2.0, 37.0, 1000.0)):
        worth = at / 5.0 if rate == 0 else -np.expm1(-rate * at) / (rate * 5.0)
        yield _renewals(1.0, 5.0, AgedLife(age), at, rate), worth


def _stationary() -> Iterator[tuple[float, float]]:
    for shape, at in product(SHAPES, (0.01, 1.0, 4.0, 300.0)):
        yield _renewals(shape, 3.0, UnknownAge(), at), at / WeibullLife(shape, 3.0).mean


def _by_transform() -> Iterator[tuple[float, float]]:
    for shape, age, rate in product(SHAPES, (None, *AGES), RATES):
        first = UnknownAge() if age is None else AgedLife(age)
        for at in SHARES_OF_A_MEAN * WeibullLife(shape, 1.0).mean:
            if age is not None or rate > 0:  # the stationary age undiscounted has a closed form
                yield _renewals(shape, 1.0, first, at, rate), renewals_by_transform(shape, age, at, rate)


def _on_grid() -> Iterator[tuple[float, float]]:
    for shape, age, rate in product((1.04, 1.5, 2.9, 4.0, 6.3), AGES, RATES):
        mean = WeibullLife(shape, 1.0).mean
        numbers = discounted_failures(shape, 1.0, age, rate, 4.7 * mean)
        for at in SHARES_OF_A_MEAN[2:] * mean:
            yield _renewals(shape, 1.0, AgedLife(age), at, rate), float(numbers(at))


def worked(family: str) -> Iterator[list[str]]:
    """Yield a row for each replacement of the worked comparisons."""
    with application(seeded=True) as app, served(app) as client:
        for name, case in CASES.items():
            answer = client.post(COMPARED, json={"currency": "USD", "family": family, **case})
            answer.raise_for_status()
            told = answer.json()
            repair, *replacements = told["options"]
            whole = f"{_amount(repair['expected_total'])}, {len(repair['renewed'])} renewed"
            for place, one in enumerate(replacements):
                found = told["break_even"][one["id"]]
                yield [
                    *((name, whole) if place == 0 else ("", "")),
                    f"{one['id']} {_amount(one['expected_total'])}",
                    f"{one['repair_cheaper_probability']:.2f}",
                    ", ".join(f"{months:.1f}" for months in found["keep_months"] or ()) or "none",
                    _amount(found["labour_rate"]),
                    _amount(found["replacement_price"]),
                ]


def _amount(money: dict[str, str] | None) -> str:
    return "none" if money is None else money["amount"]


@click.command()
@click.option("--settings", default=SETTINGS, show_default=True, type=click.IntRange(2))
@click.option("--family", default="D12-01", show_default=True)
@click.option("--quick", is_flag=True, help="Leave out the transform, which takes the longest.")
def main(settings: int, family: str, quick: bool) -> None:
    """Print the three tables."""
    write_logs("error")
    click.echo(circumstances())
    rows = [
        (source, count, f"{most:.1e} {kind}")
        for source, count, most, kind in deviations(by_transform=not quick)
    ]
    click.echo(table(("source", "values", "largest deviation"), rows))
    found = standardised_differences(settings)
    click.echo(
        f"\n{settings} random settings, standardised differences: mean {np.mean(found):+.3f}, "
        f"standard deviation {np.std(found, ddof=1):.3f}, least {min(found):.2f}, greatest {max(found):.2f}\n"
    )
    heads = (
        "case",
        "repair in all",
        "replacement in all",
        "repair cheaper",
        "months",
        "labour rate",
        "price",
    )
    click.echo(table(heads, worked(family)))


if __name__ == "__main__":
    main()
