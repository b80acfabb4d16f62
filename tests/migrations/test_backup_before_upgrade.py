"""An older database is copied before it is changed; a newer one is refused; both stay as they were."""

import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from databases import Place, new_place
from one_row_each import add, add_rows_before
from private_postgresql import server_files
from sqlalchemy import inspect, select, text
from sqlmodel import SQLModel

from api.database import Database, open_embedded
from api.upgrade import BackupImpossible, DatabaseIsNewer, newest_migration, upgrade_database

EARLIER = "0002"
PART = SQLModel.metadata.tables["part"]


@pytest.fixture
def older(empty_database: Database, empty_place: Place) -> Database:
    """A database of an earlier migration, with a row in every table that it has."""
    upgrade_database(empty_database, empty_place.folder / "unused", target=EARLIER)
    with empty_database.write() as session:
        add_rows_before(session.connection, "supplier")
    return empty_database


@pytest.fixture
def server_programs(backend: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Put the server's own programs (`pg_dump`, `pg_restore`) on the path."""
    if backend == "postgresql":
        monkeypatch.setenv("PATH", f"{server_files()}", prepend=":")


@pytest.fixture
def backups(empty_place: Place) -> Path:
    return empty_place.folder / "backups"


def migration(database: Database) -> str:
    with database.read() as session:
        return str(session.rows(text("SELECT version_num FROM alembic_version"))[0][0])


def numbers(database: Database) -> list[str]:
    with database.read() as session:
        return [row.number for row in session.rows(select(PART.c.number))]


@pytest.fixture
def restored(backend: str) -> Iterator[Place]:
    with new_place(backend, "empty") as place:
        yield place


def open_backup(backup: Path, place: Place) -> Database:
    """Open a backup as an operator would: restore the dump, or put the file in place."""
    if place.url:
        command = ["pg_restore", "--no-owner", "--exit-on-error", f"--dbname={place.url}", str(backup)]
        subprocess.run(command, check=True, capture_output=True)
    else:
        shutil.copyfile(backup, place.file)
    return place.open()


@pytest.mark.usefixtures("server_programs")
def test_an_older_database_is_copied_then_upgraded(older: Database, backups: Path, restored: Place) -> None:
    done = upgrade_database(older, backups)
    assert (done.found, done.reached) == (EARLIER, newest_migration())
    assert migration(older) == newest_migration()
    assert numbers(older) == ["OB 1250"]
    with older.write() as session:  # later changes are not in the copy
        add(session.connection, "part", id="part-2", number="OB 1300")

    assert done.backup is not None and done.backup.parent == backups
    copy = open_backup(done.backup, restored)
    try:
        assert migration(copy) == EARLIER
        assert numbers(copy) == ["OB 1250"]
        assert not inspect(copy.engine).has_table("offer")
        assert upgrade_database(copy, restored.folder / "backups").found == EARLIER
    finally:
        copy.close()


@pytest.mark.parametrize("backend", [pytest.param("postgresql", marks=pytest.mark.needs("postgresql"))])
def test_without_pg_dump_nothing_is_changed(
    older: Database, backups: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(BackupImpossible, match=r"pg_dump is not on this machine's path") as refused:
        upgrade_database(older, backups)
    assert "--without-backup" in refused.value.explain()
    assert migration(older) == EARLIER
    assert list(backups.iterdir()) == []
    assert upgrade_database(older, backups, with_backup=False).backup is None
    assert migration(older) == newest_migration()
    assert list(backups.iterdir()) == []


@pytest.mark.usefixtures("server_programs")
def test_where_no_folder_can_be_made_nothing_is_changed(older: Database, backups: Path) -> None:
    backups.write_text("a file stands in the way")
    with pytest.raises(BackupImpossible):
        upgrade_database(older, backups)
    assert migration(older) == EARLIER
    assert not inspect(older.engine).has_table("offer")


SHORT_OF_SPACE = """
import resource, sys
from pathlib import Path
from api.database import open_database
from api.upgrade import BackupImpossible, upgrade_database

url, file, backups = sys.argv[1:]
database = open_database(url or None, Path(file))
resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))  # a file may not grow beyond
try:
    upgrade_database(database, Path(backups))
except BackupImpossible:
    print("refused")
"""


@pytest.mark.usefixtures("server_programs")
def test_a_copy_for_which_there_is_no_space_is_not_left_behind(
    older: Database, empty_place: Place, backups: Path
) -> None:
    with older.write() as session:
        for index in range(2_000):
            words = f"{index * 7919:x} {index * 104729:x} {index**3:x} {index**5:x}"  # hard to compress
            add(session.connection, "part", id=f"part-{index + 2}", number=words, description=words * 3)
    command = [
        sys.executable,
        "-c",
        SHORT_OF_SPACE,
        empty_place.url or "",
        str(empty_place.file),
        str(backups),
    ]
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    assert run.stdout == "refused\n", run.stderr
    assert list(backups.iterdir()) == []
    assert migration(older) == EARLIER
    assert len(numbers(older)) == 2_001


@pytest.mark.usefixtures("server_programs")
def test_a_newer_database_is_refused_and_left_as_it_is(older: Database, backups: Path) -> None:
    with older.write() as session:
        session.connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    for with_backup in (True, False):
        with pytest.raises(DatabaseIsNewer, match="9999"):
            upgrade_database(older, backups, with_backup=with_backup)
    assert migration(older) == "9999"
    assert numbers(older) == ["OB 1250"]
    assert not inspect(older.engine).has_table("offer")
    assert not backups.exists()


@pytest.mark.parametrize("backend", ["sqlite"])
def test_the_copy_holds_commits_that_only_the_log_has(older: Database, backups: Path) -> None:
    with older.read():  # a reader keeps the write-ahead log from being folded in
        with older.write() as session:
            add(session.connection, "part", id="part-2", number="OB 1300")
        done = upgrade_database(older, backups)
    assert done.backup is not None
    copy = open_embedded(done.backup)
    assert sorted(numbers(copy)) == ["OB 1250", "OB 1300"]
    copy.close()
