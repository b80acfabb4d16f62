"""The measurement of a load runs, and counts what was loaded; how fast it was is not judged here."""

from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import func, select

from api.database import open_database
from api.every_table import TABLES
from api.settings import DATABASE_FILE
from tests.benchmarks.generate_catalogue import Plan, write_catalogue
from tests.benchmarks.measure_loading import Loaded, measure_load, read_note

PARTS = 60
UNREPORTED = {"size_value", "seat_feature", "catalogue_state"}
"""Tables whose rows belong to a size or a position, and the catalogue's version."""


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("catalogue")
    write_catalogue(folder, Plan(PARTS, own_sizes=False, seed=1))
    return folder


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("data")


@pytest.fixture(scope="module")
def loaded(catalogue: Path, data: Path) -> Loaded:
    return measure_load(catalogue, data, "clustered")


def test_the_rows_of_a_load_are_those_in_the_database(loaded: Loaded, data: Path) -> None:
    assert loaded.parts == PARTS
    with closing(open_database(None, data / DATABASE_FILE)) as database, database.read() as reads:
        stored = {
            str(model.__tablename__): reads.number(select(func.count()).select_from(model))
            for model in TABLES
        }
    assert loaded.rows == sum(rows for name, rows in stored.items() if name not in UNREPORTED)


def test_time_memory_and_size_are_those_of_the_load(loaded: Loaded, data: Path) -> None:
    assert 0 < loaded.cpu_seconds < loaded.seconds * 3
    assert 50 * 1024**2 < loaded.peak_bytes < 1024**3  # an interpreter with the service at least
    assert loaded.database_bytes == (data / DATABASE_FILE).stat().st_size


def test_a_load_is_noted_beside_its_database(loaded: Loaded, data: Path, tmp_path: Path) -> None:
    assert read_note(data) == loaded
    assert read_note(tmp_path) is None


def test_a_load_that_is_refused_is_no_measurement(catalogue: Path, tmp_path: Path) -> None:
    (tmp_path / "data").mkdir()
    with pytest.raises(RuntimeError, match="ended with 1"):
        measure_load(tmp_path, tmp_path / "data", "clustered")
