"""Databases for tests: each test its own, on SQLite and on a private PostgreSQL.

Fixtures: `backend` (parametrised: "sqlite", "postgresql"); `empty_database`, `database` (migrated) and
`seeded_database`; `empty_place`, `place` and `seeded_place` say where they live. A wider-scoped fixture
makes its own with `new_place(backend, level)`. Templates and the PostgreSQL cluster are made once a run,
on first need, and shared by all of its worker processes.
"""

import shutil
import tempfile
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import psycopg
import pytest
from private_postgresql import Cluster, start_cluster
from run_folder import CLUSTER, made_once, shared_folder

from api.database import Database, open_database
from api.exchange.load_catalogue import load_catalogue
from api.exchange.read_catalogue import read_catalogue
from api.settings import DATABASE_FILE
from api.travelling import travelling
from api.upgrade import upgrade_database

BACKENDS = ("sqlite", pytest.param("postgresql", marks=pytest.mark.needs("postgresql")))
"""Both databases, for a parametrised fixture or test."""

SEED_DAY = date(2026, 11, 25)
"""The day that the seed catalogue's prices are made for (its README)."""

LEVELS: dict[str, Callable[[Database], None]] = {
    "empty": lambda database: None,
    "migrated": lambda database: migrate(database),
    "seeded": lambda database: migrate_and_load(database),
}
"""What is done once to a template of each name."""


@dataclass(frozen=True)
class Place:
    """Where a database lives: its data folder, and its address where it is PostgreSQL."""

    folder: Path
    url: str | None = None

    @property
    def file(self) -> Path:
        """The embedded database's file (absent on PostgreSQL)."""
        return self.folder / DATABASE_FILE

    @property
    def environment(self) -> dict[str, str]:
        """The settings that lead a `startwright` process to this database."""
        address = {"STARTWRIGHT_DATABASE_URL": self.url} if self.url else {}
        return {"STARTWRIGHT_DATA": str(self.folder), **address}

    def open(self) -> Database:
        """Open it once more, as another server would."""
        return open_database(self.url, self.file)


def migrate(database: Database) -> None:
    """Bring an empty database to the newest migration."""
    upgrade_database(database, Path("no-backup-of-an-empty-database"), with_backup=False)


def migrate_and_load(database: Database) -> None:
    """Migrate an empty database and load the seed catalogue on `SEED_DAY`."""
    migrate(database)
    with database.write() as session:
        load_catalogue(session.connection, read_catalogue(travelling("seed_catalog")), SEED_DAY)


def cluster() -> Cluster:
    """Return the run's PostgreSQL, started by whoever needs it first."""

    def start(folder: Path) -> None:
        (shared_folder() / "cluster.url").write_text(start_cluster(folder).url)

    folder = made_once(CLUSTER, start)
    return Cluster(folder, (shared_folder() / "cluster.url").read_text())


@contextmanager
def new_place(backend: str, level: str) -> Iterator[Place]:
    """Make a database of its own at a level of `LEVELS`; it is gone when the block ends."""
    folder = Path(tempfile.mkdtemp(dir=shared_folder(), prefix="data-"))
    try:
        if backend == "sqlite":
            place = Place(folder)
            if level != "empty":
                shutil.copyfile(made_once(f"{level}.sqlite3", _make_file(level)), place.file)
            yield place
        else:
            with _new_postgresql_database(level) as url:
                yield Place(folder, url)
    finally:
        shutil.rmtree(folder)


def _make_file(level: str) -> Callable[[Path], None]:
    return lambda file: _prepare(open_database(None, file), level)


def _prepare(database: Database, level: str) -> None:
    try:
        LEVELS[level](database)
    finally:
        database.close()


@contextmanager
def _new_postgresql_database(level: str) -> Iterator[str]:
    server = cluster()

    def make(marker: Path) -> None:
        _administer(f'CREATE DATABASE "{marker.name}"')
        address = server.database_url(marker.name)
        _prepare(open_database(address, marker), level)
        _administer("VACUUM ANALYZE", address)

    template = "template0" if level == "empty" else made_once(f"template_{level}", make).name
    name = f"test_{uuid.uuid4().hex}"
    _administer(f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
    try:
        yield server.database_url(name)
    finally:
        _administer(f'DROP DATABASE "{name}" WITH (FORCE)')


def _administer(command: str, url: str | None = None) -> None:
    with psycopg.connect(url or cluster().url, autocommit=True) as connection:
        connection.execute(command)


@pytest.fixture(params=BACKENDS)
def backend(request: pytest.FixtureRequest) -> str:
    """Name the database a test runs on; every test that asks for one runs on both."""
    return str(request.param)


@pytest.fixture
def empty_place(backend: str) -> Iterator[Place]:
    """Where an empty database lives."""
    with new_place(backend, "empty") as place:
        yield place


@pytest.fixture
def place(backend: str) -> Iterator[Place]:
    """Where a migrated database without rows lives."""
    with new_place(backend, "migrated") as place:
        yield place


@pytest.fixture
def seeded_place(backend: str) -> Iterator[Place]:
    """Where a database with the seed catalogue lives."""
    with new_place(backend, "seeded") as place:
        yield place


@pytest.fixture
def empty_database(empty_place: Place) -> Iterator[Database]:
    """An open database without tables."""
    database = empty_place.open()
    yield database
    database.close()


@pytest.fixture
def database(place: Place) -> Iterator[Database]:
    """An open, migrated database without rows."""
    database = place.open()
    yield database
    database.close()


@pytest.fixture
def seeded_database(seeded_place: Place) -> Iterator[Database]:
    """An open database with the seed catalogue."""
    database = seeded_place.open()
    yield database
    database.close()
