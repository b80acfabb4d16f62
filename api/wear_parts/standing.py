"""Conditions of queries: what stands, that is, neither it nor what it rests on is withdrawn.

A part rests on its maker and its size, a starter on its maker, a number on the part or starter that goes by
it.
"""

from typing import Any

from sqlalchemy import ColumnElement, and_, select
from sqlmodel import SQLModel

from api.columns import columns
from api.wear_parts.tables import Number, Part

_number = columns(Number)
_part = columns(Part)


def part_stands(part: Any = _part) -> ColumnElement[bool]:
    """Return the condition that a part, its size and its maker are not withdrawn.

    `part` are the columns of the table or of an alias; a query that joins sizes or makers may use it too.
    """
    return and_(part.withdrawn_on.is_(None), size_stands(part.size_id), maker_stands(part.maker_code))


def starter_stands(starter: Any) -> ColumnElement[bool]:
    """Return the condition that a starter and its maker are not withdrawn, given the columns of starters."""
    return and_(starter.withdrawn_on.is_(None), maker_stands(starter.maker_code))


def maker_stands(code: ColumnElement[str]) -> ColumnElement[bool]:
    """Return the condition that the maker of a code is not withdrawn."""
    return _stands("maker", "code", code)


def size_stands(size_id: ColumnElement[str]) -> ColumnElement[bool]:
    """Return the condition that the size of an id is not withdrawn."""
    return _stands("size", "id", size_id)


def item_stands(owned: Any) -> ColumnElement[bool]:
    """Return the condition that the part or starter stands that a number or an offer (its columns) is of."""
    parts = SQLModel.metadata.tables["part"].alias()
    starters = SQLModel.metadata.tables["starter"].alias()
    of_part = select(1).where(parts.c.id == owned.part_id, part_stands(parts.c))
    of_starter = select(1).where(starters.c.id == owned.starter_id, starter_stands(starters.c))
    return of_part.correlate_except(parts).exists() | of_starter.correlate_except(starters).exists()


def number_stands(number: Any = _number) -> ColumnElement[bool]:
    """Return the condition that a number stands, and the part or the starter that goes by it."""
    return and_(number.withdrawn_on.is_(None), item_stands(number))


def _stands(table: str, key: str, value: ColumnElement[str]) -> ColumnElement[bool]:
    """Ask under an alias, so that a query that has the table itself does not take it for the same."""
    its = SQLModel.metadata.tables[table].alias()
    return select(1).where(its.c[key] == value, its.c.withdrawn_on.is_(None)).correlate_except(its).exists()
