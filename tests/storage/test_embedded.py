"""What holds of the embedded database alone: its durability, its strict tables, its library."""

from pathlib import Path

import pytest
from one_row_each import ROWS, TABLE_NAMES, add_rows_before, table
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from api.database import Database, open_embedded, sqlite_driver

pytestmark = pytest.mark.parametrize("backend", ["sqlite"])

FULL = 2  # https://www.sqlite.org/pragma.html#pragma_synchronous


def test_an_acknowledged_commit_survives_a_loss_of_power(database: Database) -> None:
    for opened in (database.read, database.write):
        with opened() as session:
            assert session.rows(text("PRAGMA journal_mode")) == [("wal",)]
            assert session.number(text("PRAGMA synchronous")) == FULL
            assert session.number(text("PRAGMA foreign_keys")) == 1


def test_the_library_is_free_of_the_wal_reset_bug(database: Database) -> None:
    """Source: https://www.sqlite.org/wal.html#walresetbug, 3.7.0 to 3.51.2 have it; 3.51.3 mends it."""
    with database.read() as session:
        told = session.rows(text("SELECT sqlite_version()"))[0][0]
    assert tuple(int(number) for number in told.split(".")) >= (3, 51, 3)
    assert told == sqlite_driver().sqlite_version


def test_every_table_is_strict(database: Database) -> None:
    with database.read() as session:
        tables = {row.name: row.strict for row in session.rows(text("PRAGMA table_list"))}
    assert {name for name in TABLE_NAMES if not tables[name]} == set()


@pytest.mark.parametrize("name", TABLE_NAMES)
def test_a_value_of_another_type_is_refused_in_every_column(database: Database, name: str) -> None:
    wrong = {"TEXT": [b"\x01"], "INTEGER": ["twelve", 12.5, b"\x01"], "REAL": ["much", b"\x01"]}
    names = list(ROWS[name])
    places = ", ".join("?" for _ in names)
    columns = ", ".join(f'"{column}"' for column in names)
    with database.write() as session:
        add_rows_before(session.connection, name)
        for column in names:
            declared = table(name).c[column].type.compile(session.connection.dialect)
            for value in wrong[declared]:
                row = {**ROWS[name], column: value}
                with (
                    pytest.raises(IntegrityError, match=r"cannot store|datatype mismatch"),
                    session.connection.begin_nested(),
                ):
                    session.connection.exec_driver_sql(
                        f"INSERT INTO {name} ({columns}) VALUES ({places})", tuple(row.values())
                    )


def test_the_folder_of_a_new_database_is_made(tmp_path: Path, backend: str) -> None:
    file = tmp_path / "not" / "yet" / "there.sqlite3"
    database = open_embedded(file)
    with database.write() as session:
        session.connection.execute(text("CREATE TABLE made (one INTEGER) STRICT"))
    database.close()
    assert file.is_file()
