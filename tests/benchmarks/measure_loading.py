"""How fast `startwright load-catalogue` loads an invented catalogue, and what that takes of memory and disk.

Each catalogue is generated (see `generate_catalogue`) and loaded into an empty database by the command as a
process of its own, whose time, CPU time and greatest memory the system reports. Rows are those that the load
reports as added, so a size counts as one though it is stored with a row for each of its dimensions.
PostgreSQL is the private one of the tests, which does not wait for the disk.
Run from the checkout: `python -m tests.benchmarks.measure_loading --parts 10000 --parts 100000`.
"""

import json
import os
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import attrs
import click
import psycopg

from api.settings import DATABASE_FILE
from tests.benchmarks.figure_tables import circumstances, mebibytes, table
from tests.benchmarks.generate_catalogue import FEWEST_PARTS, Plan, write_catalogue
from tests.private_postgresql import Cluster, start_cluster, stop_cluster

ROOT = Path(__file__).resolve().parents[2]
SHAPES = ("clustered", "own-sizes")
NOTE = "loading.json"
"""Where a load is noted beside its database, for `measure_search`."""


@attrs.frozen
class Loaded:
    """A load: parts and rows added, seconds, CPU seconds, greatest resident memory, size of the database."""

    shape: str
    database: str
    parts: int
    rows: int
    seconds: float
    cpu_seconds: float
    peak_bytes: int
    database_bytes: int

    @property
    def cells(self) -> tuple[str, ...]:
        """Return the load as a row of the table."""
        return (
            f"{self.parts:,} {self.shape}, {self.database}",
            f"{self.rows:,}",
            f"{self.seconds:.1f}",
            f"{self.cpu_seconds:.1f}",
            f"{self.rows / self.seconds:,.0f}",
            f"{self.rows / self.cpu_seconds:,.0f}",
            mebibytes(self.peak_bytes),
            mebibytes(self.database_bytes),
            f"{self.database_bytes / self.parts:,.0f}",
        )


HEADS = (
    "parts", "rows", "s", "CPU s", "rows/s", "rows/CPU s", "peak memory", "database", "database bytes a part",
)  # fmt: skip


def measure_load(catalogue: Path, data: Path, shape: str, url: str | None = None) -> Loaded:
    """Load a catalogue folder into the empty data folder `data`, or the empty PostgreSQL at `url`.

    Raises `RuntimeError` where the load is refused.
    """
    plain = {name: value for name, value in os.environ.items() if not name.startswith("STARTWRIGHT_")}
    settings = {"STARTWRIGHT_DATABASE_URL": url} if url else {}
    command = [sys.executable, "-m", "api", "load-catalogue", str(catalogue), "--data", str(data)]
    with tempfile.TemporaryFile("w+") as report:
        began = time.perf_counter()
        process = subprocess.Popen(command, cwd=ROOT, env={**plain, **settings}, stdout=report)
        _, status, used = os.wait4(process.pid, 0)
        seconds = time.perf_counter() - began
        process.returncode = os.waitstatus_to_exitcode(status)
        report.seek(0)
        told = report.read()
    if process.returncode != 0:
        raise RuntimeError(f"the load ended with {process.returncode}")
    added = {noun: int(count) for noun, count in re.findall(r"^(\w+): (\d+) added", told, re.MULTILINE)}
    loaded = Loaded(
        shape=shape,
        database="PostgreSQL" if url else "SQLite",
        parts=added["parts"],
        rows=sum(added.values()),
        seconds=seconds,
        cpu_seconds=used.ru_utime + used.ru_stime,
        peak_bytes=used.ru_maxrss * 1024,
        database_bytes=_size(url) if url else (data / DATABASE_FILE).stat().st_size,
    )
    (data / NOTE).write_text(json.dumps(attrs.asdict(loaded)), "utf-8")
    return loaded


def read_note(data: Path) -> Loaded | None:
    """Return how the database of a folder was loaded, where that was measured."""
    note = data / NOTE
    return Loaded(**json.loads(note.read_text("utf-8"))) if note.exists() else None


@contextmanager
def private_cluster() -> Iterator[Cluster]:
    """Run a PostgreSQL in a temporary folder; it is gone when the block ends."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o711)  # the server runs as another user
        place = Path(folder) / "cluster"
        try:
            yield start_cluster(place)
        finally:
            stop_cluster(place)


def _size(url: str) -> int:
    with psycopg.connect(url) as connection:
        row = connection.execute("SELECT pg_database_size(current_database())").fetchone()
    assert row is not None
    return int(row[0])


def _measure_on_postgresql(catalogue: Path, data: Path, shape: str) -> Loaded:
    with private_cluster() as cluster:
        with psycopg.connect(cluster.url, autocommit=True) as connection:
            connection.execute("CREATE DATABASE loading")
        return measure_load(catalogue, data, shape, cluster.database_url("loading"))


@click.command()
@click.option(
    "--parts", multiple=True, default=(10_000, 100_000), show_default=True, type=click.IntRange(FEWEST_PARTS)
)
@click.option("--own-parts", multiple=True, type=click.IntRange(FEWEST_PARTS), help="of the worst case")
@click.option(
    "--postgresql-parts", multiple=True, type=click.IntRange(FEWEST_PARTS), help="into PostgreSQL too"
)
@click.option("--rounds", default=1, show_default=True, type=click.IntRange(1), help="the fastest is told")
@click.option("--keep", type=click.Path(file_okay=False, path_type=Path), help="keep the SQLite databases")
@click.option("--seed", default=1, show_default=True)
def main(
    parts: tuple[int, ...],
    own_parts: tuple[int, ...],
    postgresql_parts: tuple[int, ...],
    rounds: int,
    keep: Path | None,
    seed: int,
) -> None:
    """Generate, load, and print the table."""
    click.echo(circumstances())
    wanted = [
        *((count, SHAPES[0], "SQLite") for count in parts),
        *((count, SHAPES[1], "SQLite") for count in own_parts),
        *((count, SHAPES[0], "PostgreSQL") for count in postgresql_parts),
    ]
    found = []
    for count, shape, database in wanted:
        with tempfile.TemporaryDirectory() as folder:
            catalogue = Path(folder) / "catalogue"
            write_catalogue(catalogue, Plan(count, shape == SHAPES[1], seed))
            runs = []
            for turn in range(rounds):
                data = Path(folder) / f"data-{turn}"
                data.mkdir()
                if database == "PostgreSQL":
                    runs.append(_measure_on_postgresql(catalogue, data, shape))
                else:
                    runs.append(measure_load(catalogue, data, shape))
            found.append(min(runs, key=lambda run: run.seconds))
            if keep is not None and database == "SQLite":
                keep.mkdir(parents=True, exist_ok=True)
                (Path(folder) / f"data-{runs.index(found[-1])}").rename(keep / f"{count}-{shape}")
    click.echo(table(HEADS, [one.cells for one in found]))
    click.echo(circumstances())


if __name__ == "__main__":
    main()
