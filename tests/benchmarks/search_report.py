"""The figures of `measure_search` as tables: each a ratio, beside what was aimed for."""

from collections.abc import Iterator, Mapping, Sequence

import attrs
import numpy as np

from tests.benchmarks.drawn_searches import MIXES
from tests.benchmarks.driven_servers import Driven
from tests.benchmarks.figure_tables import mebibytes, table
from tests.benchmarks.floor_server import FLOORS
from tests.benchmarks.index_figures import Beside, Built
from tests.benchmarks.measure_loading import Loaded

Cells = tuple[str, ...]
MANY_PARTS = 500_000
"""From so many parts on the aims for a million count, below those for ten thousand."""
SHARE_AIMS = {"workshop": 0.25, "selective": 0.40}
SHARE_AIM_OF_FEW = 0.45
FINDER_AIMS = {"pandas mask over all parts": 20, "SQLite R*Tree over the parts of the kind": 10}
DRIVE_HEADS = (
    "searches", "server", "connections", "requests/s", "mean ms", "p50", "p95", "p99", "CPU ms a request",
)  # fmt: skip
FINDER_HEADS = ("finder", "searches", "its p50 ms", "its p95 ms", "index p50 ms", "index p95 ms", "times")
AIM_HEADS = ("measured", "aim", "reached")


@attrs.frozen(eq=False)
class Served:
    """What the servers of one catalogue did: `driven` by mix, server and connections, `batch` a call of many.

    `first_cpu_ms` is what a search took when it was asked for the first time.
    """

    driven: Mapping[tuple[str, str, int], Driven]
    batch: Driven
    searches_of_a_call: int
    first_cpu_ms: float
    memory: Mapping[str, int]


@attrs.frozen(eq=False)
class Measured:
    """All figures of one data folder; `beside` by mix."""

    parts: int
    sizes: int
    served: Served | None
    built: Built
    beside: Mapping[str, Sequence[Beside]]
    loaded: Loaded | None


def report(found: Sequence[Measured]) -> str:
    """Return all tables, of each catalogue from the fewest parts to the most."""
    pieces = []
    for one in found:
        pieces += [
            f"\n{one.parts:,} parts, {one.sizes:,} sizes",
            *([] if one.served is None else [table(DRIVE_HEADS, _drives(one.served))]),
            table(("of this catalogue", *AIM_HEADS), [*_served(one), *_indexed(one)]),
            table(FINDER_HEADS, _finders(one)),
        ]
    if len(found) > 1 and found[0].served and found[-1].served:
        pieces += [
            f"\nGrowth from {found[0].parts:,} to {found[-1].parts:,} parts",
            table(("at one connection", *AIM_HEADS), _growth(found[0].served, found[-1].served)),
        ]
    return "\n\n".join(pieces)


def _drives(one: Served) -> Iterator[Cells]:
    for (mix, server, connections), seen in one.driven.items():
        yield (
            mix, server, str(connections), f"{seen.per_second:,.0f}", f"{seen.mean_ms:.2f}",
            f"{seen.p50_ms:.2f}", f"{seen.p95_ms:.2f}", f"{seen.p99_ms:.2f}", f"{seen.cpu_ms:.2f}",
        )  # fmt: skip
    batch = one.batch
    call = f"{one.searches_of_a_call:,} of the workshop in a call"
    time, cpu = f"{batch.mean_ms:,.0f}", f"{batch.cpu_ms:,.0f}"
    yield call, "search", "1", f"{batch.per_second:.2f}", time, "", "", "", cpu


def _served(one: Measured) -> Iterator[Cells]:
    served = one.served
    if served is None:
        return
    many = one.parts >= MANY_PARTS
    connections = max(each for _, _, each in served.driven)
    for mix in MIXES:
        aim = SHARE_AIMS[mix] if many else SHARE_AIM_OF_FEW
        for floor in FLOORS:
            ours, its = (
                served.driven[mix, "search", connections],
                served.driven[mix, floor, connections],
            )
            share, of_cpu = ours.per_second / its.per_second, its.cpu_ms / ours.cpu_ms
            yield at_least(f"{mix}: requests/s as share of the {floor} floor", share, aim, "{:.1%}")
            yield at_least(f"{mix}: the same of CPU time", of_cpu, aim, "{:.1%}")
    for mix in MIXES:
        for floor in FLOORS:
            ratio = served.driven[mix, "search", 1].p99_ms / served.driven[mix, floor, 1].p99_ms
            yield at_most(f"{mix}: p99 at one connection, times the {floor} floor's", ratio, 10, "{:.1f}")
    singles = [served.driven["workshop", "search", each] for each in (1, connections)]
    single = max(each.per_second for each in singles)
    together = served.searches_of_a_call * served.batch.per_second
    name = f"{served.searches_of_a_call:,} searches in a call: searches/s, times single calls'"
    yield at_least(name, together / single, 5, "{:.1f}")
    yield ("CPU ms of a search that was never asked before", f"{served.first_cpu_ms:.1f}", "", "")
    memory = f"{mebibytes(served.memory['resident'])} ({mebibytes(served.memory['private'])})"
    yield ("process: resident memory (that it shares with none)", memory, "", "")


def _indexed(one: Measured) -> Iterator[Cells]:
    built = one.built
    yield at_most("index: bytes of arrays a part", built.array_bytes / one.parts, 200, "{:.0f}")
    yield at_most("index: bytes of snapshots a part", built.snapshot_bytes / one.parts, 200, "{:.0f}")
    yield at_most("index: opening all kinds, s", built.open_seconds, 1, "{:.2f}")
    if one.loaded is not None:
        name = f"index: rebuilding ({built.rebuild_cpu_seconds:.1f} CPU s), share of loading's CPU time"
        yield at_most(name, built.rebuild_cpu_seconds / one.loaded.cpu_seconds, 1, "{:.2f}")
        yield ("database", mebibytes(one.loaded.database_bytes), "", "")
        yield ("load rate, rows/CPU s", f"{one.loaded.rows / one.loaded.cpu_seconds:,.0f}", "", "")
    else:
        yield ("index: rebuilding, CPU s", f"{built.rebuild_cpu_seconds:.1f}", "", "")


def _finders(one: Measured) -> Iterator[Cells]:
    for mix, besides in one.beside.items():
        for beside in besides:
            other, ours = np.percentile(beside.other_ms, (50, 95)), np.percentile(beside.index_ms, (50, 95))
            aim = FINDER_AIMS.get(beside.name) if one.parts >= MANY_PARTS else None
            told = f"{beside.ratio:.1f}" + (f" (aim {aim})" if aim else "")
            yield (beside.name, mix, *(f"{each:.3f}" for each in (*other, *ours)), told)


def _growth(few: Served, many: Served) -> Iterator[Cells]:
    for mix in MIXES:
        before, after = few.driven[mix, "search", 1], many.driven[mix, "search", 1]
        yield at_most(f"{mix}: mean, times", after.mean_ms / before.mean_ms, 3, "{:.2f}")
        yield at_most(f"{mix}: p95, times", after.p95_ms / before.p95_ms, 6, "{:.2f}")
        yield at_most(f"{mix}: CPU time, times", after.cpu_ms / before.cpu_ms, 3, "{:.2f}")


def at_least(name: str, value: float, aim: float, form: str) -> Cells:
    """Return the row of a figure that is to be an aim or more."""
    return name, form.format(value), f"{form.format(aim)} or more", "yes" if value >= aim else "no"


def at_most(name: str, value: float, aim: float, form: str) -> Cells:
    """Return the row of a figure that is to be an aim or less."""
    return name, form.format(value), f"{form.format(aim)} or less", "yes" if value <= aim else "no"
