"""What sizes of the index record, one value an entry, as the fit checks take them. Pure."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import attrs

from api.matching.model import DimensionModel, KindModel
from api.matching.sizes.size_table import Recorded, SizeTable

_KEPT: Final = 65_536
"""Distinct limits kept: sizes share most of theirs (our judgement)."""


@attrs.frozen
class ColumnValue:
    """What a size records of one dimension: a range (nm), a count, a choice, or that it does not apply."""

    applies: bool = True
    lower_nm: int | None = None
    upper_nm: int | None = None
    count: int | None = None
    choice: str | None = None


def values_at(kind: KindModel, table: SizeTable, places: Sequence[int]) -> list[dict[str, ColumnValue]]:
    """Return what the sizes at some places of a table record, by dimension, in the order of the kind."""
    found: list[dict[str, ColumnValue]] = [{} for _ in places]
    for dimension in kind.dimensions:
        column = table.columns[dimension.code]
        told = (one[list(places)].tolist() for one in (column.state, column.lower, column.upper))
        for values, state, lower, upper in zip(found, *told, strict=True):
            if state == Recorded.RECORDED:
                values[dimension.code] = _recorded(dimension, lower, upper)
            elif state == Recorded.DOES_NOT_APPLY:
                values[dimension.code] = _ABSENT
    return found


_ABSENT: Final = ColumnValue(applies=False)


def _recorded(dimension: DimensionModel, lower: int, upper: int) -> ColumnValue:
    if dimension.measure == "length":
        return _length(lower, upper)
    if dimension.measure == "count":
        return ColumnValue(count=lower)
    return ColumnValue(choice=dimension.choices[lower])


@lru_cache(maxsize=_KEPT)
def _length(lower: int, upper: int) -> ColumnValue:
    return ColumnValue(lower_nm=lower, upper_nm=upper)
