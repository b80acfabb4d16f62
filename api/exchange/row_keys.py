"""What makes two rows of a file say the same thing twice, and where the first of them stands."""

from collections.abc import Hashable, Mapping
from contextlib import suppress
from typing import Final

import attrs

from api.errors import InvalidInput
from api.wear_parts.numbers import check_gtin, normalise_number

_MOST_TABLES: Final = 1_000
"""Tables that share their keys at most: the sizes, one table a kind."""


@attrs.frozen
class RowKey:
    """The human key of a row: what stands in `columns`, the last in compared form where `compared`."""

    columns: tuple[str, ...]
    compared: bool = False

    def of(self, cells: Mapping[str, str]) -> Hashable:
        """Return the key of a row; columns that the file leaves out count as blank."""
        values = [cells.get(column, "").strip() for column in self.columns]
        if self.compared:
            with suppress(InvalidInput):  # a number that cannot be compared is a fault of its own
                values[-1] = normalise_number(values[-1])
        return tuple(values)


@attrs.frozen
class NumberKey(RowKey):
    """The key of a further number: a GTIN names one item of all, other numbers may name several."""

    compared: bool = True

    def of(self, cells: Mapping[str, str]) -> Hashable:
        """Return the 14 digits of a valid GTIN, else what stands in the columns."""
        if cells.get("scheme", "").strip() == "gtin":
            with suppress(InvalidInput):
                return ("gtin", check_gtin(cells.get("written", "")))
        return super().of(cells)


class TakenKeys:
    """Where each key was met first, in one table or in several that share their keys.

    A place is one whole number, line and table: of a million keys, texts would need more than the rows.
    """

    def __init__(self) -> None:
        self._places: dict[Hashable, int] = {}
        self._tables: list[str] = []

    def start(self, table: str) -> None:
        """Take what follows as the rows of this table."""
        self._tables.append(table)

    def take(self, key: Hashable, line: int) -> str | None:
        """Note a key of the table's row at `line`; return where it stood before, if it did."""
        place = line * _MOST_TABLES + len(self._tables) - 1
        before = self._places.setdefault(key, place)
        if before == place:
            return None
        line, table = divmod(before, _MOST_TABLES)
        return f"{self._tables[table]}:{line}"


def by(*columns: str, compared: bool = False) -> RowKey:
    """Return the key made of these columns."""
    return RowKey(columns, compared)
