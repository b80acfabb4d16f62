"""Sizes as tests write them, row by row, and the table of a kind that they make."""

from collections.abc import Iterable, Iterator, Mapping
from enum import Enum
from typing import Literal

import attrs
import numpy as np

from api.errors import FieldFault, InvalidInput
from api.matching.model import DimensionModel, KindModel
from api.matching.sizes.size_table import Column, Recorded, SizeTable


class Absent(Enum):
    """The mark in a row for a dimension that does not apply."""

    DOES_NOT_APPLY = "does_not_apply"


DOES_NOT_APPLY: Literal[Absent.DOES_NOT_APPLY] = Absent.DOES_NOT_APPLY

SizeValue = tuple[int, int] | int | str | Literal[Absent.DOES_NOT_APPLY]
"""Bounds of a length in nm, a count, a choice, or `DOES_NOT_APPLY`."""


@attrs.frozen(kw_only=True)
class SizeRow:
    """One size: its code, how often its parts are listed, and its values by dimension code.

    A dimension without a value is not recorded.
    """

    code: str
    values: Mapping[str, SizeValue]
    listings: int = 0


def build_size_table(kind: KindModel, rows: Iterable[SizeRow]) -> SizeTable:
    """Return the rows as columns, sorted by code.

    Raises `InvalidInput` with every fault, each at (size code, dimension or field): a code given twice,
    listings below 0, an unknown dimension or choice, a value of another measure, limits that are not
    positive whole numbers in order.
    """
    ordered = sorted(rows, key=lambda row: row.code)
    known = {one.code: one for one in kind.dimensions}
    faults: list[FieldFault] = []
    for place, row in enumerate(ordered):
        if place and ordered[place - 1].code == row.code:
            faults.append(FieldFault((row.code, "code"), row.code, "each code once", "duplicate"))
        if row.listings < 0:
            faults.append(FieldFault((row.code, "listings"), str(row.listings), "0 or more", "negative"))
        faults.extend(_faults(known, row))
    if faults:
        raise InvalidInput.of(faults)
    return SizeTable(
        codes=tuple(row.code for row in ordered),
        listings=np.array([row.listings for row in ordered], dtype=np.int64),
        columns={one.code: _column(one, ordered) for one in kind.dimensions},
    )


def _column(dimension: DimensionModel, rows: list[SizeRow]) -> Column:
    lower = np.zeros(len(rows), dtype=np.int64)
    upper = np.zeros(len(rows), dtype=np.int64)
    state = np.zeros(len(rows), dtype=np.int8)
    for place, row in enumerate(rows):
        value = row.values.get(dimension.code)
        if value is None:
            continue
        if isinstance(value, Absent):
            state[place] = Recorded.DOES_NOT_APPLY
            continue
        state[place] = Recorded.RECORDED
        if isinstance(value, tuple):
            lower[place], upper[place] = value
        else:
            lower[place] = upper[place] = dimension.choices.index(value) if isinstance(value, str) else value
    return Column(lower=lower, upper=upper, state=state)


def _faults(known: Mapping[str, DimensionModel], row: SizeRow) -> Iterator[FieldFault]:
    for code, value in row.values.items():
        path = (row.code, code)
        dimension = known.get(code)
        if dimension is None:
            yield FieldFault(path, code, "a dimension of this kind", "unknown")
        elif isinstance(value, Absent):
            continue
        elif dimension.measure == "length":
            if not isinstance(value, tuple) or not 0 < value[0] <= value[1]:
                yield FieldFault(path, str(value), "two limits in nm, the lower first", "bad_limits")
        elif dimension.measure == "count":
            if not isinstance(value, int) or value < 0:
                yield FieldFault(path, str(value), "a count, 0 or more", "bad_count")
        elif value not in dimension.choices:
            yield FieldFault(path, str(value), "one of " + ", ".join(dimension.choices), "unknown")
