"""Refuse a load after which a number that names one thing, loaded or stored, would name two."""

from typing import Any

import attrs
from sqlalchemy import Connection, Select, or_, select
from sqlmodel import SQLModel

from api.columns import columns
from api.errors import CommandRefused
from api.interchange.stored_numbers import kept_numbers, number_entry
from api.wear_parts.claimed_numbers import find_claimed_twice
from api.wear_parts.tables import Number

_number = columns(Number)


@attrs.frozen
class NumberNamesTwo(CommandRefused):
    """A GTIN, or a maker's own number, that two parts or starters would go by."""

    scheme: str
    later: str
    earlier: str
    holders: tuple[str, str]

    def explain(self) -> str:
        """Name the number as both write it, and both."""
        what = "GTIN" if self.scheme == "gtin" else "maker's own number"
        return (
            f"The {what} {self.later!r} of the {self.holders[0]} is the {what} {self.earlier!r} of the "
            f"{self.holders[1]}, and it names one thing; put one of them right."
        )


def refuse_shared_numbers(connection: Connection) -> None:
    """Raise `NumberNamesTwo` where two numbers that stand clash."""
    for later, earlier in find_claimed_twice(map(number_entry, connection.execute(_suspects()))):
        holders = (str(later.item), str(earlier.item))
        raise NumberNamesTwo(later.scheme, later.written, earlier.written, holders)


def _suspects() -> Select[Any]:
    """Select the standing numbers that share scheme, issuer and form with another, for the rule."""
    table = SQLModel.metadata.tables["number"].alias("other")
    other = table.c
    beside = select(other.id).where(
        other.normalised == _number.normalised,
        other.scheme == _number.scheme,
        or_(other.issuer == _number.issuer, other.issuer.is_(None)),
        other.id != _number.id,
        other.withdrawn_on.is_(None),
    )
    return (
        kept_numbers()
        .where(
            _number.scheme.in_(("gtin", "maker")),
            _number.withdrawn_on.is_(None),
            beside.correlate_except(table).exists(),
        )
        .order_by(_number.id)
    )
