"""Add to a table the rows that it lacks, by human key; rows that are there stay as they are.

By SQLAlchemy Core in chunks, so that a million rows need no more memory than a thousand.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import islice
from operator import itemgetter
from typing import Any, TypeVar

import attrs
from sqlalchemy import Connection, Table, exists, insert, select, tuple_
from sqlmodel import SQLModel
from uuid_utils import uuid7

from api.exchange.watch import UNWATCHED, Watch

CHUNK = 2_000
"""Rows to one statement: of the keys looked up two or three values each, below both databases' limits."""

Key = tuple[Any, ...]
Values = dict[str, Any]
Entry = TypeVar("Entry")


@attrs.frozen
class Noun:
    """A table, what the report calls its rows, and the columns of their human key.

    `lookup` are the columns of the key by which stored rows are found, where some of the key may be
    empty: all of it otherwise.
    """

    name: str
    table: Table
    key: tuple[str, ...]
    lookup: tuple[str, ...]

    @classmethod
    def of(cls, name: str, model: type[SQLModel], *key: str, lookup: tuple[str, ...] = ()) -> "Noun":
        """Return the noun of a table."""
        return cls(name, SQLModel.metadata.tables[str(model.__tablename__)], key, lookup or key)

    def key_of(self, row: Mapping[str, Any]) -> Key:
        """Return the human key of a row."""
        return tuple([row[column] for column in self.key])


@attrs.define
class Added:
    """What became of the rows of one noun: every id by key, the keys that were there, the differing ones."""

    ids: dict[Key, str] = attrs.field(factory=dict)
    found: set[Key] = attrs.field(factory=set)
    added: int = 0
    kept: int = 0
    differing: dict[str, None] = attrs.field(factory=dict)

    def differ(self, name: str) -> None:
        """Name an entry among the differing, once."""
        self.differing[name] = None


@attrs.frozen
class Loading:
    """A load under way: the caller's connection, and what became of each noun so far."""

    connection: Connection
    watch: Watch = UNWATCHED
    outcomes: dict[str, Added] = attrs.field(factory=dict)

    def add(
        self,
        noun: Noun,
        entries: Iterable[Entry],
        row_of: Callable[[Entry], Values],
        name_of: Callable[[Entry], str],
        *,
        remember: bool = False,
    ) -> Added:
        """Insert a row for every entry whose key the table lacks, with an id where the table has one.

        Where the stored row of a key has other values it is kept, and its entry is named among the
        differing. `remember` keeps keys and ids, for rows that refer to these.
        """
        outcome = self.outcomes[noun.name] = Added()
        looks_up = _has_rows(self.connection, noun.table)
        has_id = "id" in noun.table.c
        for chunk in chunks(entries):
            rows = [row_of(entry) for entry in chunk]
            fresh = rows
            if looks_up:
                stored = _stored(self.connection, noun, rows)
                fresh = []
                for entry, row in zip(chunk, rows, strict=True):
                    found = stored.get(noun.key_of(row))
                    if found is None:
                        fresh.append(row)
                    elif any(found[column] != value for column, value in row.items()):
                        outcome.differ(name_of(entry))
                if remember:
                    outcome.found.update(stored)
                    outcome.ids.update((key, row["id"]) for key, row in stored.items())
            if has_id:
                for row in fresh:
                    row["id"] = str(uuid7())
            if remember:
                outcome.ids.update((noun.key_of(row), row["id"]) for row in fresh)
            insert_rows(self.connection, noun.table, fresh)
            outcome.added += len(fresh)
            outcome.kept += len(rows) - len(fresh)
            self.watch.advance(len(rows))
        return outcome


def insert_rows(connection: Connection, table: Table, rows: Iterable[Values]) -> None:
    """Insert rows, chunk by chunk; all have the same columns.

    The statement is compiled once and the values go to the driver as they are: whole numbers and text need
    no conversion, and SQLAlchemy's own way with many rows takes longer than the database does.
    """
    for place, chunk in enumerate(chunks(rows)):
        if place == 0:
            compiled = insert(table).compile(dialect=connection.dialect, column_keys=list(chunk[0]))
            statement = str(compiled)
            positions = compiled.positiontup
        values: Any = chunk if positions is None else list(map(itemgetter(*positions), chunk))
        connection.exec_driver_sql(statement, values)


def chunks(entries: Iterable[Entry], size: int = CHUNK) -> Iterator[list[Entry]]:
    """Yield entries in lists of `size`, the last one shorter."""
    iterator = iter(entries)
    while chunk := list(islice(iterator, size)):
        yield chunk


def stored_children(
    connection: Connection, table: Table, parent: str, parents: Sequence[str]
) -> dict[str, set[frozenset[tuple[str, Any]]]]:
    """Return for each parent id its child rows, each as the set of its filled columns and values."""
    found: dict[str, set[frozenset[tuple[str, Any]]]] = {key: set() for key in parents}
    for chunk in chunks(parents):
        for row in connection.execute(select(table).where(table.c[parent].in_(chunk))).mappings():
            found[row[parent]].add(filled(dict(row).items()))
    return found


def filled(items: Iterable[tuple[str, Any]]) -> frozenset[tuple[str, Any]]:
    """Return the columns that hold a value, with it."""
    return frozenset((column, value) for column, value in items if value is not None)


def _has_rows(connection: Connection, table: Table) -> bool:
    return bool(connection.execute(select(exists(select(1).select_from(table)))).scalar())


def _stored(connection: Connection, noun: Noun, rows: Sequence[Values]) -> dict[Key, Any]:
    """Return the stored rows that have the keys of `rows`, by key."""
    columns = [noun.table.c[column] for column in noun.lookup]
    wanted = {tuple(row[column] for column in noun.lookup) for row in rows}
    if len(columns) == 1:
        condition = columns[0].in_([key[0] for key in wanted])
    else:
        condition = tuple_(*columns).in_(list(wanted))
    found = connection.execute(select(noun.table).where(condition)).mappings()
    return {noun.key_of(row): row for row in map(dict, found)}
