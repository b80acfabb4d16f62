"""Withdraw a stored row of a table, or restore it: the one change that every noun knows alike."""

from collections.abc import Callable
from typing import Any

from sqlalchemy import Row, update
from sqlmodel import SQLModel

from api.columns import columns
from api.database import WriteSession


def withdrawing(
    table: type[SQLModel], key: str = "id"
) -> Callable[[WriteSession, Row[Any], str | None], None]:
    """Return what sets or clears the day on which a row was withdrawn; `key` is its one-column key."""
    column = columns(table)[key]

    def set_withdrawn(writes: WriteSession, row: Row[Any], day: str | None) -> None:
        writes.run(update(table).where(column == row._mapping[key]).values(withdrawn_on=day))

    return set_withdrawn
