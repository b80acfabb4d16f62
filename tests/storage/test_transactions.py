"""What a transaction promises, on both databases."""

import os
import signal
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest
from databases import Place
from one_row_each import add, table
from sqlalchemy import func, insert, select, text, update
from sqlalchemy.exc import DBAPIError

from api.database import Database, ReadSession

STATE = table("catalogue_state")
MAKER = table("maker")
COUNT_MAKERS = select(func.count()).select_from(MAKER)
WRITERS, TURNS = 8, 25


def version(session: ReadSession, *, locked: bool = False) -> int:
    question = select(STATE.c.version).where(STATE.c.id == 1)
    return session.number(question.with_for_update() if locked else question)


def test_no_read_modify_write_is_lost_among_many_writers(database: Database) -> None:
    with database.write() as session:
        add(session.connection, "catalogue_state", version=0)
    start = threading.Barrier(WRITERS)

    def add_ones() -> None:
        start.wait()
        for _ in range(TURNS):
            with database.write() as session:
                before = version(session, locked=True)
                session.run(update(STATE).values(version=before + 1))

    with ThreadPoolExecutor(WRITERS) as threads:
        for done in [threads.submit(add_ones) for _ in range(WRITERS)]:
            done.result()
    with database.read() as session:
        assert version(session) == WRITERS * TURNS


def test_a_reader_sees_one_state_however_many_writers_commit(database: Database) -> None:
    with database.write() as session:
        add(session.connection, "catalogue_state", version=1)
    with database.read() as reader:
        assert version(reader) == 1
        for step in (2, 3):
            with database.write() as writer:
                writer.run(update(STATE).values(version=step))
                add(writer.connection, "maker", code=f"maker-{step}")
            assert version(reader) == 1
            assert reader.number(COUNT_MAKERS) == 0
    with database.read() as reader:
        assert version(reader) == 3
        assert reader.number(COUNT_MAKERS) == 2


def test_nobody_sees_what_is_not_committed(database: Database) -> None:
    with database.write() as writer:
        add(writer.connection, "maker")
        with database.read() as reader:
            assert reader.number(COUNT_MAKERS) == 0


def test_an_exception_undoes_the_whole_transaction(database: Database) -> None:
    with pytest.raises(ZeroDivisionError), database.write() as session:
        add(session.connection, "maker")
        add(session.connection, "catalogue_state")
        raise ZeroDivisionError
    with database.read() as session:
        assert session.number(COUNT_MAKERS) == 0
        assert session.rows(select(STATE)) == []


def test_a_refused_statement_undoes_what_went_before_it(database: Database) -> None:
    with pytest.raises(DBAPIError), database.write() as session:
        add(session.connection, "maker")
        add(session.connection, "maker")
    with database.read() as session:
        assert session.number(COUNT_MAKERS) == 0


def test_a_reader_cannot_change_anything(database: Database) -> None:
    with pytest.raises(DBAPIError), database.read() as session:
        session.connection.execute(insert(MAKER), {"code": "sneaky", "name": "Sneaky"})
    with database.read() as session:
        assert session.number(COUNT_MAKERS) == 0
    with database.write() as session:
        add(session.connection, "maker")  # the pooled connection writes again


def test_a_change_tells_how_many_rows_it_touched(database: Database) -> None:
    with database.write() as session:
        makers = [{"code": f"m{index}", "name": "Maker"} for index in range(3)]
        assert session.run(insert(MAKER), makers) == 3
        assert session.run(update(MAKER).where(MAKER.c.code < "m2").values(name="Renamed")) == 2
        assert session.run(update(MAKER).where(MAKER.c.code == "m9").values(name="Nobody")) == 0


HALF_A_WRITER = """
import sys, time
from pathlib import Path
from sqlalchemy import text
from api.database import open_database

url, file = sys.argv[1:]
database = open_database(url or None, Path(file))
with database.write() as session:
    session.connection.execute(text("INSERT INTO maker (code, name) VALUES ('kept', 'Kept')"))
with database.write() as session:
    rows = [{"code": f"half-{number}", "name": "x" * 500} for number in range(20_000)]
    session.connection.execute(text("INSERT INTO maker (code, name) VALUES (:code, :name)"), rows)
    session.connection.execute(text("DELETE FROM maker WHERE code = 'kept'"))
    print("in the middle", flush=True)
    time.sleep(60)
"""


def test_a_process_killed_while_it_writes_leaves_what_was_committed_and_no_more(place: Place) -> None:
    command = [sys.executable, "-c", HALF_A_WRITER, place.url or "", str(place.file)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env={**os.environ}) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "in the middle\n"
        writer.send_signal(signal.SIGKILL)
        assert writer.wait() == -signal.SIGKILL
    database = place.open()
    try:
        with database.write() as session:  # the lock died with its holder
            assert [row.code for row in session.rows(select(MAKER.c.code))] == ["kept"]
            add(session.connection, "catalogue_state")
        if database.is_embedded:
            with database.read() as session:
                assert session.rows(text("PRAGMA integrity_check")) == [("ok",)]
    finally:
        database.close()
