"""What makes two rows of a file say the same thing twice."""

from collections.abc import Hashable, Mapping
from contextlib import suppress

import attrs

from api.errors import InvalidInput
from api.wear_parts.numbers import check_gtin, normalise_number


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


def by(*columns: str, compared: bool = False) -> RowKey:
    """Return the key made of these columns."""
    return RowKey(columns, compared)
