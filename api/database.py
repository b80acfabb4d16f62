"""The engine, the two kinds of session, and the only place that commits.

One request is one transaction. Readers see one state from their first statement to their last; a
writer takes the write lock before it reads (`BEGIN IMMEDIATE` on SQLite, `SELECT ... FOR UPDATE`
or an advisory lock by the caller on PostgreSQL), so that a read-modify-write is never lost.
"""

import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any, Final

import attrs
import pysqlite3.dbapi2
from sqlalchemy import URL, Connection, Engine, Row, create_engine, event, text
from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolExhausted
from sqlalchemy.sql import Executable

from api.errors import DomainError

FIXED_SQLITE: Final = (3, 51, 3)
"""First SQLite whose write-ahead log cannot be corrupted by a reset race (sqlite.org, WAL-reset bug)."""

BUSY_SECONDS: Final = 30
"""How long a writer waits for another to finish, in seconds (our judgement)."""

_WRITES: Final = "startwright_writes"
_MIGRATION_LOCK: Final = 7_203_114_552
"""Key of the PostgreSQL advisory lock that lets one server at a time migrate (any constant would do)."""
_ALONE_LOCK: Final = 7_203_114_553
"""Key of the one by which writers ask to be the only one."""

_PASSING: Final = {
    "SQLITE_BUSY": "other writers were busy for too long",
    "SQLITE_CANTOPEN": "its file cannot be opened",
    "SQLITE_FULL": "its disk is full",
    "55P03": "other writers were busy for too long",
    "40P01": "two writers waited for each other",
    "53100": "its disk is full",
    "57P01": "it is shutting down",
}
"""What passes by itself or by an operator: SQLite's result codes, PostgreSQL's SQLSTATEs."""


@attrs.frozen
class DatabaseUnavailable(DomainError):
    """The database cannot be reached, or was busy for longer than a writer waits."""

    reason: str

    def explain(self) -> str:
        """Say that trying again may help."""
        return f"The database does not answer ({self.reason}); try again."


@dataclass(frozen=True, slots=True)
class ReadSession:
    """One open transaction that only reads."""

    connection: Connection

    def rows(self, statement: Executable, values: Mapping[str, Any] | None = None) -> Sequence[Row[Any]]:
        """Return every row of a query."""
        return self.connection.execute(statement, values or {}).all()

    def stream(self, statement: Executable, at_once: int) -> Iterator[Row[Any]]:
        """Yield the rows of a query, so many of them read at once."""
        yield from self.connection.execute(statement, execution_options={"yield_per": at_once})

    def first(self, statement: Executable, values: Mapping[str, Any] | None = None) -> Row[Any] | None:
        """Return the first row of a query, or nothing."""
        return self.connection.execute(statement, values or {}).first()

    def number(self, statement: Executable) -> int:
        """Return the single whole number that a query yields."""
        return int(self.connection.execute(statement).scalar_one())


@dataclass(frozen=True, slots=True)
class WriteSession(ReadSession):
    """One open transaction that holds the write lock; committed by `Database.write` alone."""

    def run(self, statement: Executable, values: Any = None) -> int:
        """Execute a change and return how many rows it touched (of all rows, where `values` is a list)."""
        counted = {"preserve_rowcount": True}  # else a bulk insert into PostgreSQL counts -1
        return self.connection.execute(statement, values or {}, execution_options=counted).rowcount

    def wait_to_be_alone(self) -> None:
        """Wait until no other writer that asked for this is open (on SQLite a writer always is alone).

        For what is decided by what is *not* there, such as loading an empty database: no row to lock.
        """
        if self.connection.dialect.name == "postgresql":
            self.connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _ALONE_LOCK})


def sqlite_driver() -> ModuleType:
    """Return the SQLite driver: the interpreter's where its library is a fixed one, else the bundled."""
    return sqlite3 if sqlite3.sqlite_version_info >= FIXED_SQLITE else pysqlite3.dbapi2


@dataclass(frozen=True, slots=True)
class Database:
    """An engine and its transactions."""

    engine: Engine

    @property
    def is_embedded(self) -> bool:
        """Whether this is the embedded SQLite file."""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def read(self) -> Iterator[ReadSession]:
        """Open a transaction that reads one consistent state and is rolled back at its end.

        Raises `DatabaseUnavailable` when the database cannot be reached or is lost on the way.
        """
        with _answering(), self.engine.connect() as connection, connection.begin() as transaction:
            yield ReadSession(connection)
            transaction.rollback()

    @contextmanager
    def write(self) -> Iterator[WriteSession]:
        """Open a transaction that holds the write lock; commit if the block ends well, else undo it.

        Raises `DatabaseUnavailable` as `read` does, and when other writers are busy for too long.
        """
        with _answering(), self._writing() as connection, connection.begin():
            yield WriteSession(connection)

    @contextmanager
    def migrate(self) -> Iterator[Connection]:
        """Open the transaction of a migration: alone, and on SQLite with foreign keys off.

        On SQLite every foreign key is checked before the commit, since batch operations that copy a
        table would otherwise delete its children. Raises `DatabaseUnavailable` as `write` does.
        """
        with _answering(), self._writing() as connection:
            if self.is_embedded:
                beneath = connection.connection.cursor()  # the pragma has no effect within a transaction
                beneath.execute("PRAGMA foreign_keys = OFF")
                try:
                    with connection.begin():
                        yield connection
                        broken = connection.execute(text("PRAGMA foreign_key_check")).all()
                        if broken:
                            raise RuntimeError(f"a migration left dangling references: {broken[:5]}")
                finally:
                    beneath.execute("PRAGMA foreign_keys = ON")
            else:
                with connection.begin():
                    connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _MIGRATION_LOCK})
                    yield connection

    def _writing(self) -> Connection:
        return self.engine.connect().execution_options(**{_WRITES: True})

    def close(self) -> None:
        """Give every pooled connection back."""
        self.engine.dispose()


@contextmanager
def _answering() -> Iterator[None]:
    """Tell apart a database that does not answer (trying again may help) from one that refuses."""
    try:
        yield
    except PoolExhausted as error:
        raise DatabaseUnavailable("too many requests at once") from error
    except DBAPIError as error:
        if error.connection_invalidated:
            raise DatabaseUnavailable("the connection was lost") from error
        if isinstance(error, OperationalError) and (reason := _why_not_now(error)):
            raise DatabaseUnavailable(reason) from error
        raise


def _why_not_now(error: OperationalError) -> str | None:
    """Return why a statement may succeed later, or nothing if trying again cannot help."""
    if error.statement is None:  # it failed before any statement
        return "it cannot be reached"
    code = getattr(error.orig, "sqlite_errorname", None) or getattr(error.orig, "sqlstate", None)
    return _PASSING.get("_".join(str(code).split("_")[:2]))  # SQLite's finer codes append to these


def open_embedded(file: Path) -> Database:
    """Open (or create) the embedded database; its folder is made where it is missing."""
    file.parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(
        URL.create("sqlite", database=str(file)),  # a folder's name may hold what an address may not
        module=sqlite_driver(),
        connect_args={"timeout": BUSY_SECONDS, "check_same_thread": False},
    )

    @event.listens_for(engine, "connect")
    def prepare(connection: Any, _: Any) -> None:
        connection.isolation_level = None  # the driver's own implicit BEGIN loses read-modify-writes
        for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON"):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get(_WRITES, False)
        connection.exec_driver_sql(f"PRAGMA query_only = {'OFF' if writes else 'ON'}")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN DEFERRED")

    return Database(engine)


def open_postgresql(url: str) -> Database:
    """Open a PostgreSQL database; transactions read one snapshot (REPEATABLE READ) when they only read."""
    engine = create_engine(
        url.replace("postgresql://", "postgresql+psycopg://", 1),
        pool_size=16,
        max_overflow=8,
        pool_pre_ping=True,
        connect_args={
            "connect_timeout": 10,
            "options": f"-c timezone=UTC -c lock_timeout={BUSY_SECONDS}s",
        },
    )

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        if not connection.get_execution_options().get(_WRITES, False):
            connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")

    return Database(engine)


def open_database(url: str | None, file: Path) -> Database:
    """Open PostgreSQL where an address is given, else the embedded database in `file`."""
    return open_postgresql(url) if url else open_embedded(file)
