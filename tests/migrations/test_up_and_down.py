"""Migrations lead up, down and up again on rows, and end at exactly what the tables declare."""

from datetime import date
from typing import Any

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from databases import SEED_DAY, Place, migrate
from one_row_each import TABLE_NAMES, add_rows_before
from sqlalchemy import inspect, text
from sqlmodel import SQLModel

from api.database import Database
from api.exchange.load_catalogue import load_catalogue
from api.exchange.read_catalogue import read_catalogue
from api.travelling import travelling
from api.upgrade import current_migration, migration_config, newest_migration, upgrade_database

MIGRATIONS = [
    migration.revision for migration in ScriptDirectory.from_config(migration_config()).walk_revisions()
]
"""From the newest to the oldest."""

DRAWN = "stamp"
"""The column that every migration up draws anew: the stamp of the catalogue's state."""

Rows = dict[str, list[tuple[Any, ...]]]


def rows_of(database: Database, names: list[str]) -> Rows:
    """Return every row of the named tables, in an order of their own: what its columns hold, by name.

    A column that an earlier migration has not yet is as good as an empty one; what is drawn at random is left
    out.
    """
    with database.read() as session:
        return {
            name: sorted(
                (
                    tuple(sorted((column, value) for column, value in row.items() if kept(column, value)))
                    for row in session.connection.execute(text(f'SELECT * FROM "{name}"')).mappings()
                ),
                key=repr,
            )
            for name in names
        }


def kept(column: str, value: object) -> bool:
    """Return whether a value has to be the same after a way down and up."""
    return value is not None and column != DRAWN


def present(database: Database) -> list[str]:
    """Return the catalogue's tables that the database has."""
    return sorted(set(inspect(database.engine).get_table_names()) - {"alembic_version"})


def step_down(database: Database, target: str) -> None:
    with database.migrate() as connection:
        command.downgrade(migration_config(connection), target)


def step_up(database: Database, target: str, place: Place) -> None:
    upgrade_database(database, place.folder / "backups", with_backup=False, target=target)


def load(database: Database, day: date = SEED_DAY) -> dict[str, int]:
    with database.write() as session:
        return load_catalogue(session.connection, read_catalogue(travelling("seed_catalog")), day).added


@pytest.mark.parametrize("depth", range(1, len(MIGRATIONS) + 1))
def test_rows_survive_down_and_up_and_what_was_dropped_can_be_loaded_again(
    seeded_database: Database, seeded_place: Place, depth: int
) -> None:
    seeded = rows_of(seeded_database, list(TABLE_NAMES))
    path = [*MIGRATIONS, "base"]
    for target in path[1 : depth + 1]:
        step_down(seeded_database, target)
    there = present(seeded_database)
    assert set(there) <= set(TABLE_NAMES)
    assert rows_of(seeded_database, there) == {name: seeded[name] for name in there}
    for target in reversed(path[:depth]):
        step_up(seeded_database, target, seeded_place)
    again = rows_of(seeded_database, list(TABLE_NAMES))
    assert {name: again[name] for name in there} == {name: seeded[name] for name in there}
    assert all(again[name] == [] for name in TABLE_NAMES if name not in there)
    load(seeded_database)
    assert {name: len(rows) for name, rows in rows_of(seeded_database, list(TABLE_NAMES)).items()} == {
        name: len(rows) for name, rows in seeded.items()
    }


def columns_of(database: Database) -> dict[str, set[str]]:
    """Return the columns that the database has, by table."""
    inspector = inspect(database.engine)
    return {
        name: {column["name"] for column in inspector.get_columns(name)}
        for name in inspector.get_table_names()
    }


@pytest.mark.parametrize("depth", range(1, len(MIGRATIONS)))
def test_of_a_row_in_every_table_only_what_a_step_takes_away_is_lost(
    database: Database, place: Place, depth: int
) -> None:
    with database.write() as session:
        add_rows_before(session.connection)
    whole = rows_of(database, list(TABLE_NAMES))
    assert {name for name, rows in whole.items() if not rows} == set()
    step_down(database, MIGRATIONS[depth])
    lower, there = columns_of(database), present(database)
    less = {
        name: sorted(
            (tuple((column, value) for column, value in row if column in lower[name]) for row in whole[name]),
            key=repr,
        )
        for name in there
    }
    assert rows_of(database, there) == less
    step_up(database, newest_migration(), place)
    assert rows_of(database, there) == less


def test_stepping_down_to_the_ground_leaves_nothing(seeded_database: Database) -> None:
    step_down(seeded_database, "base")
    assert present(seeded_database) == []
    with seeded_database.read() as session:
        assert current_migration(session.connection) is None


def test_the_tables_are_what_the_migrations_make(database: Database) -> None:
    with database.read() as session:
        options = {"compare_type": True, "compare_server_default": True}
        context = MigrationContext.configure(session.connection, opts=options)
        assert compare_metadata(context, SQLModel.metadata) == []


def shape(database: Database) -> dict[str, Any]:
    """Return what a database itself tells of every table, in an order of its own."""
    inspector = inspect(database.engine)
    return {
        name: {
            "columns": {
                column["name"]: (
                    str(column["type"]),
                    getattr(column["type"], "collation", None),
                    column["nullable"],
                    column["default"],
                )
                for column in inspector.get_columns(name)
            },
            "key": inspector.get_pk_constraint(name),
            "references": sorted(inspector.get_foreign_keys(name), key=repr),
            "unique": sorted(inspector.get_unique_constraints(name), key=repr),
            "checks": sorted(inspector.get_check_constraints(name), key=repr),
            "indexes": sorted(inspector.get_indexes(name), key=repr),
        }
        for name in TABLE_NAMES
    }


def test_checks_keys_and_collations_are_the_declared_ones_too(
    database: Database, empty_database: Database
) -> None:
    """What the comparison by Alembic passes over: CHECKs, names, collations."""
    with empty_database.write() as session:
        SQLModel.metadata.create_all(session.connection)
    assert shape(database) == shape(empty_database)


def test_a_migrated_database_is_left_alone(database: Database, place: Place) -> None:
    done = upgrade_database(database, place.folder / "backups")
    assert (done.found, done.reached, done.backup) == (newest_migration(), newest_migration(), None)
    assert not (place.folder / "backups").exists()


def test_an_empty_database_needs_no_backup(empty_database: Database, empty_place: Place) -> None:
    done = upgrade_database(empty_database, empty_place.folder / "backups")
    assert (done.found, done.reached, done.backup) == (None, newest_migration(), None)
    assert present(empty_database) == sorted(TABLE_NAMES)


def test_somebody_elses_tables_are_not_touched(empty_database: Database) -> None:
    with empty_database.write() as session:
        session.connection.execute(text("CREATE TABLE part (mine INTEGER)"))
        session.connection.execute(text("INSERT INTO part (mine) VALUES (7)"))
    with pytest.raises(Exception, match="already exists"):
        migrate(empty_database)
    assert present(empty_database) == ["part"]
    with empty_database.read() as session:
        assert session.number(text("SELECT mine FROM part")) == 7
