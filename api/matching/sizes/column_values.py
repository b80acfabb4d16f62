"""What sizes of the index record, one value an entry, as the fit checks take them. Pure."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from api.matching.model import DimensionModel, KindModel
from api.matching.sizes.size_table import Recorded, SizeTable
from api.wear_parts.entries import SizeValue

_KEPT: Final = 65_536
"""Distinct limits kept: sizes share most of theirs (our judgement)."""


_RECORDED, _DOES_NOT_APPLY = int(Recorded.RECORDED), int(Recorded.DOES_NOT_APPLY)
_ABSENT: Final = SizeValue(applies=False)


def values_at(kind: KindModel, table: SizeTable, places: Sequence[int]) -> list[dict[str, SizeValue]]:
    """Return what the sizes at some places of a table record, by dimension, in the order of the kind."""
    found: list[dict[str, SizeValue]] = [{} for _ in places]
    for dimension in kind.dimensions:
        column = table.columns[dimension.code]
        told = (one[list(places)].tolist() for one in (column.state, column.lower, column.upper))
        for values, state, lower, upper in zip(found, *told, strict=True):
            if state == _RECORDED:
                values[dimension.code] = _recorded(dimension, lower, upper)
            elif state == _DOES_NOT_APPLY:
                values[dimension.code] = _ABSENT
    return found


def _recorded(dimension: DimensionModel, lower: int, upper: int) -> SizeValue:
    if dimension.measure == "length":
        return _length(lower, upper)
    if dimension.measure == "count":
        return SizeValue(count=lower)
    return SizeValue(choice=dimension.choices[lower])


@lru_cache(maxsize=_KEPT)
def _length(lower: int, upper: int) -> SizeValue:
    return SizeValue(lower_nm=lower, upper_nm=upper)
