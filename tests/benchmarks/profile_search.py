"""Where the time of a search goes: CPU time asked for the first time and again, and a profile of the latter.

In one process, without HTTP, on a database that stands at this release's migration (`measure_search` sees
to it). Shares are of the time under the profiler, which makes small functions look dearer than they are.
Run from the checkout: `python -m tests.benchmarks.profile_search --data FOLDER`.
"""

import cProfile
import pstats
import time
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path

import click

from api.database import Database, open_database
from api.matching.answers.search import find_matches
from api.matching.index.candidate_index import CandidateIndex
from api.matching.routes import asked_in_query
from api.measurement.instrument_data import read_instruments
from api.offers.days import today
from api.settings import DATABASE_FILE
from tests.benchmarks.drawn_searches import MIXES, DrawnSearch, draw_searches, read_kinds
from tests.benchmarks.figure_tables import circumstances, table
from tests.benchmarks.index_figures import indexed_kinds
from tests.benchmarks.kind_tables import SEED_FOLDER

LEAST_SHARE = 0.02
ROOT = Path(__file__).resolve().parents[2]


def answering(database: Database, folder: Path) -> Callable[[DrawnSearch], object]:
    """Return what answers a search as the service does, short of the encoding."""
    index = CandidateIndex(database, folder)
    indexed_kinds(database, index)
    instruments = read_instruments((SEED_FOLDER / "instruments.toml").read_text("utf-8"))

    def answer(search: DrawnSearch) -> object:
        with database.read() as reads:
            asked = asked_in_query(search.query.encode())
            return find_matches(reads, index.of(reads, search.kind), asked, instruments, today())

    return answer


def cpu_ms(answer: Callable[[DrawnSearch], object], searches: Sequence[DrawnSearch]) -> float:
    """Return the mean CPU time (ms) of the searches."""
    began = time.process_time()
    for search in searches:
        answer(search)
    return 1000 * (time.process_time() - began) / len(searches)


def profile(
    answer: Callable[[DrawnSearch], object], searches: Sequence[DrawnSearch]
) -> list[tuple[str, float, int]]:
    """Return the project's own functions, the share of the time within each, and its calls a search."""
    profiler = cProfile.Profile()
    profiler.enable()
    for search in searches:
        answer(search)
    profiler.disable()
    times = pstats.Stats(profiler).stats  # type: ignore[attr-defined]  # there, and in no stub
    whole = max(cumulated for _, _, _, cumulated, _ in times.values())
    found = [
        (f"{Path(file).relative_to(ROOT)}: {name}", cumulated / whole, calls // len(searches))
        for (file, _, name), (_, calls, _, cumulated, _) in times.items()
        if file.startswith(f"{ROOT}/api/") and cumulated >= LEAST_SHARE * whole
    ]
    return sorted(found, key=lambda one: -one[1])


@click.command()
@click.option("--data", required=True, type=click.Path(exists=True, file_okay=False, path_type=Path))
@click.option("--mix", default="workshop", show_default=True, type=click.Choice(tuple(MIXES)))
@click.option("--searches", default=100, show_default=True, type=click.IntRange(4))
def main(data: Path, mix: str, searches: int) -> None:
    """Measure, and print the functions that take the most."""
    click.echo(circumstances())
    with closing(open_database(None, data / DATABASE_FILE)) as database:
        drawn = draw_searches(read_kinds(database), mix, searches)
        answer = answering(database, data / "index")
        first, again = cpu_ms(answer, drawn), cpu_ms(answer, drawn)
        click.echo(f"{mix}: {first:.2f} ms of CPU time when first asked, {again:.2f} ms again")
        rows = [(name, f"{share:.0%}", calls) for name, share, calls in profile(answer, drawn)]
    click.echo(table(("function, with all that it calls", "share", "calls a search"), rows))


if __name__ == "__main__":
    main()
