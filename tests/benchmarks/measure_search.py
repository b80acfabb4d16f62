"""How fast searches are answered, as shares of what the web framework takes without the search.

For each data folder with a loaded catalogue (see `measure_loading`): `startwright serve` with one worker and
the two floors (see `floor_server`) as processes of their own, driven by `wrk` over loopback in turn; then the
index in this process, beside a pandas mask, an R*Tree and a NumPy scan over the same rows. All is measured
side by side in one run; the run of each that served most counts, so that what else the machine did tells
least. The folders are migrated, and snapshots of the index are left in them. Needs `wrk` and pandas.
Run from the checkout: `python -m tests.benchmarks.measure_search --data FOLDER --data LARGER`.
"""

import json
import tempfile
import time
from collections.abc import Mapping, Sequence
from contextlib import ExitStack, closing
from datetime import UTC, datetime
from http import HTTPStatus
from pathlib import Path

import attrs
import click
import httpx
import msgspec

from api.database import open_database
from api.logs import write_logs
from api.matching.shapes import MOST_SEARCHES
from api.measurement.instrument_data import read_instruments
from api.settings import DATABASE_FILE
from api.upgrade import upgrade_database
from tests.benchmarks.drawn_searches import MIXES, DrawnSearch, draw_searches, read_kinds
from tests.benchmarks.driven_servers import Driven, Server, best, serving
from tests.benchmarks.figure_tables import circumstances
from tests.benchmarks.floor_server import FLOORS
from tests.benchmarks.index_figures import as_read, indexed_kinds, measure_beside, measure_built
from tests.benchmarks.kind_tables import SEED_FOLDER
from tests.benchmarks.measure_loading import read_note
from tests.benchmarks.search_report import Measured, Served, report

CONNECTIONS = (1, 16)


@attrs.frozen
class Plan:
    """How much is measured: searches of each mix, of other finders, of a call, and drives of each server."""

    searches: int = 200
    seconds: float = 5.0
    rounds: int = 2
    finder_searches: int = 200
    batch: int = MOST_SEARCHES
    serves: bool = True
    limit: int | None = None


def measure(data: Path, plan: Plan) -> Measured:
    """Return the figures of a data folder."""
    database = open_database(None, data / DATABASE_FILE)
    with closing(database), tempfile.TemporaryDirectory() as folder:
        upgrade_database(database, data / "backups", with_backup=False)
        kinds = read_kinds(database)
        mixes = {mix: draw_searches(kinds, mix, plan.searches, limit=plan.limit) for mix in MIXES}
        together = draw_searches(kinds, "workshop", plan.batch, seed=2027, limit=plan.limit)
        served = _drive(data, mixes, together, plan, Path(folder)) if plan.serves else None
        built, index = measure_built(database, data / "index")
        say(f"the index was opened in {built.open_seconds:.2f} s")
        indexed = indexed_kinds(database, index)
        instruments = read_instruments((SEED_FOLDER / "instruments.toml").read_text("utf-8"))
        read = {
            mix: as_read(searches[: plan.finder_searches], kinds, instruments)
            for mix, searches in mixes.items()
        }
        return Measured(
            parts=sum(len(kind.parts_of) for kind in kinds.values()),
            sizes=sum(len(kind.table) for kind in kinds.values()),
            served=served,
            built=built,
            beside={mix: measure_beside(indexed, kinds, searches) for mix, searches in read.items()},
            loaded=read_note(data),
        )


def say(what: str) -> None:
    """Tell whoever waits what was done."""
    click.echo(f"{datetime.now(UTC):%H:%M:%S} {what}", err=True)


def _drive(
    data: Path,
    mixes: Mapping[str, Sequence[DrawnSearch]],
    together: Sequence[DrawnSearch],
    plan: Plan,
    folder: Path,
) -> Served:
    """Drive the service and both floors in turn; return the best of each."""
    runs: dict[tuple[str, str, int], list[Driven]] = {}
    with ExitStack() as stack:
        service = stack.enter_context(serving("api", "serve", "--port", "0", "--data", data))
        say("the service answers")
        answers = folder / "answers"
        every = [one for searches in mixes.values() for one in searches]
        before = service.cpu_seconds()
        _write_answers(service, every, answers)
        first_cpu_ms = 1000 * (service.cpu_seconds() - before) / len(every)
        say("every search was asked once")
        servers = {"search": service}
        for floor in FLOORS:
            words = ("tests.benchmarks.floor_server", floor, answers)
            servers[floor] = stack.enter_context(serving(*words))
        targets = {
            (mix, name): _write_targets(folder, f"{mix}-{name}", [_target(one, name) for one in searches])
            for mix, searches in mixes.items()
            for name in servers
        }
        for _ in range(plan.rounds):
            for connections in CONNECTIONS:
                for (mix, name), file in targets.items():
                    seen = servers[name].drive(file, connections, plan.seconds)
                    runs.setdefault((mix, name, connections), []).append(seen)
                    say(f"{mix}, {name}, {connections} connections: {seen.per_second:.0f} requests/s")
        body = json.dumps({"searches": [one.body for one in together]}).encode()
        batch = service.call("/v1/matches", body, plan.rounds)
        say(f"{len(together):,} searches were asked in one call")
        return Served(
            driven={key: best(found) for key, found in runs.items()},
            batch=batch,
            searches_of_a_call=len(together),
            first_cpu_ms=first_cpu_ms,
            memory=service.memory_bytes(),
        )


def _write_answers(service: Server, searches: Sequence[DrawnSearch], file: Path) -> None:
    """Ask every search once and keep what is answered, for the floors; what the service reads is read then.

    Raises `HTTPStatusError` where one is refused.
    """
    with httpx.Client(base_url=service.address, timeout=600) as client, file.open("wb") as kept:
        for search in searches:
            while (found := client.get(search.target)).status_code == HTTPStatus.SERVICE_UNAVAILABLE:
                time.sleep(1)  # the index is being built
            answered = found.raise_for_status().content
            prepared = {"kind": search.kind, "query": search.query, "answer": msgspec.Raw(answered)}
            kept.write(msgspec.json.encode(prepared) + b"\n")


def _write_targets(folder: Path, name: str, lines: Sequence[str]) -> Path:
    file = folder / f"{name}.targets"
    file.write_text("\n".join(lines) + "\n", "utf-8")
    return file


def _target(search: DrawnSearch, server: str) -> str:
    return search.target.replace("/v1/", "/floor/", 1) if server == "plumbing" else search.target


@click.command()
@click.option(
    "--data", multiple=True, required=True, type=click.Path(exists=True, file_okay=False, path_type=Path)
)
@click.option(
    "--searches", default=200, show_default=True, type=click.IntRange(4, MOST_SEARCHES), help="of each mix"
)
@click.option("--seconds", default=5.0, show_default=True, type=click.FloatRange(1), help="of each drive")
@click.option("--rounds", default=2, show_default=True, type=click.IntRange(1))
@click.option("--finder-searches", default=200, show_default=True, type=click.IntRange(4), help="of each mix")
@click.option(
    "--batch",
    default=MOST_SEARCHES,
    show_default=True,
    type=click.IntRange(4, MOST_SEARCHES),
    help="in a call",
)
@click.option("--serve/--no-serve", default=True, help="whether servers are driven, or the index alone")
@click.option("--limit", type=click.IntRange(1, 200), help="most parts of an answer; as many as it gives")
def main(
    data: tuple[Path, ...],
    searches: int,
    seconds: float,
    rounds: int,
    finder_searches: int,
    batch: int,
    serve: bool,
    limit: int | None,
) -> None:
    """Measure, and print the tables; growth is told from the fewest parts to the most."""
    write_logs("error")
    click.echo(circumstances())
    plan = Plan(searches, seconds, rounds, finder_searches, batch, serve, limit)
    found = [measure(folder, plan) for folder in data]
    click.echo(report(sorted(found, key=lambda one: one.parts)))
    click.echo(circumstances())


if __name__ == "__main__":
    main()
