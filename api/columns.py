"""The few column types that every table is made of, and the names its constraints get.

Both databases hold whole numbers and text only (SQLite tables are STRICT): lengths in nanometres,
money in minor units, days and times as ISO 8601 text, ids as 36 characters of UUID. Text that orders
a list compares by code point on both (`COLLATE "C"` on PostgreSQL, SQLite's own order).
"""

from typing import Any

from sqlalchemy import REAL, BigInteger, CheckConstraint, Column, Double, ForeignKey, Integer, Text
from sqlalchemy.dialects import postgresql
from sqlalchemy.sql.base import ReadOnlyColumnCollection
from sqlalchemy.types import TypeEngine
from sqlmodel import Field, SQLModel

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}

WHOLE = BigInteger().with_variant(Integer(), "sqlite")
TEXT = Text().with_variant(postgresql.TEXT(collation="C"), "postgresql")
REAL_NUMBER: TypeEngine[float] = Double().with_variant(REAL(), "sqlite")

DAY_LENGTH = 10
"""Characters of an ISO 8601 calendar day, `2026-11-25`."""


def text(*, key: bool = False, optional: bool = False, unique: bool = False, index: bool = False) -> Any:
    """Declare a text column."""
    column: Column[str] = Column(
        TEXT, primary_key=key, nullable=optional, unique=unique or None, index=index or None
    )
    return Field(default=None, sa_column=column) if optional else Field(sa_column=column)


def whole(
    *, key: bool = False, optional: bool = False, default: int | None = None, index: bool = False
) -> Any:
    """Declare a whole-number column (nanometres, minor units, counts)."""
    column: Column[int] = Column(
        WHOLE, primary_key=key, nullable=optional, autoincrement=False, index=index or None
    )
    if optional or default is not None:
        return Field(default=default, sa_column=column)
    return Field(sa_column=column)


def real(*, optional: bool = False) -> Any:
    """Declare a column for a chance or another bare real number."""
    column: Column[float] = Column(REAL_NUMBER, nullable=optional)
    return Field(default=None, sa_column=column) if optional else Field(sa_column=column)


def reference(target: str, *, key: bool = False, optional: bool = False, index: bool = True) -> Any:
    """Declare a text column that refers to `table.column`; indexed unless another index covers it."""
    column: Column[str] = Column(
        TEXT,
        ForeignKey(target),
        primary_key=key,
        nullable=optional,
        index=(index and not key) or None,
    )
    return Field(default=None, sa_column=column) if optional else Field(sa_column=column)


def one_of(column: str, values: tuple[str, ...]) -> CheckConstraint:
    """Require a text column to hold one of `values` (or nothing where it is optional)."""
    listed = ", ".join(f"'{value}'" for value in values)
    return CheckConstraint(f"{column} IN ({listed})", name=f"{column}_known")


def check(name: str, rule: str) -> CheckConstraint:
    """Name a CHECK constraint; the naming convention puts `ck_<table>_` before it."""
    return CheckConstraint(rule, name=name)


def day(column: str) -> CheckConstraint:
    """Require a text column to have the shape of an ISO 8601 day."""
    return CheckConstraint(
        f"length({column}) = {DAY_LENGTH} AND {column} LIKE '____-__-__'", name=f"{column}_is_day"
    )


def says_one_thing(*columns: str, expected: str = "1") -> CheckConstraint:
    """Require as many of `columns` to be filled as `expected` says (SQL for a number)."""
    filled = " + ".join(f"(CASE WHEN {column} IS NULL THEN 0 ELSE 1 END)" for column in columns)
    return CheckConstraint(f"{filled} = {expected}", name="says_one_thing")


STRICT = {"sqlite_strict": True}


def columns(table: type[SQLModel]) -> ReadOnlyColumnCollection[str, Column[Any]]:
    """Return a table's columns by name, for queries by SQLAlchemy Core."""
    found: ReadOnlyColumnCollection[str, Column[Any]] = SQLModel.metadata.tables[str(table.__tablename__)].c
    return found
