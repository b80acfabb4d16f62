"""The sizes of one kind as columns of numbers, in an order that no input order can change."""

from collections.abc import Mapping
from enum import IntEnum

import attrs
import numpy as np
from numpy.typing import NDArray

IntArray = NDArray[np.int64]
FlagArray = NDArray[np.int8]
BoolArray = NDArray[np.bool_]


class Recorded(IntEnum):
    """What a size says of a dimension: nothing, a value, or that it has no such feature."""

    NOT_RECORDED = 0
    RECORDED = 1
    DOES_NOT_APPLY = 2


_RECORDED, _DOES_NOT_APPLY = int(Recorded.RECORDED), int(Recorded.DOES_NOT_APPLY)
"""As plain numbers: looking a member up takes longer than comparing a column."""


@attrs.frozen(kw_only=True, eq=False)
class Column:
    """One dimension over all sizes: lower and upper limit, and what each size says of it.

    Lengths in nm; counts and choices (by their place in the model's list) have equal limits. Limits
    are 0 where nothing is recorded.
    """

    lower: IntArray
    upper: IntArray
    state: FlagArray

    @property
    def is_recorded(self) -> BoolArray:
        """Return which sizes give a value."""
        return np.asarray(self.state == _RECORDED)

    @property
    def does_not_apply(self) -> BoolArray:
        """Return which sizes have no such feature."""
        return np.asarray(self.state == _DOES_NOT_APPLY)


@attrs.frozen(kw_only=True, eq=False)
class SizeTable:
    """All sizes of a kind in the order of their codes; `columns` has every dimension of the model."""

    codes: tuple[str, ...]
    listings: IntArray
    columns: Mapping[str, Column]

    def __len__(self) -> int:
        return len(self.listings)

    def take(self, rows: IntArray) -> "SizeTable":
        """Return those sizes, without their codes."""
        columns = {
            code: Column(lower=one.lower[rows], upper=one.upper[rows], state=one.state[rows])
            for code, one in self.columns.items()
        }
        return SizeTable(codes=(), listings=self.listings[rows], columns=columns)


def join_tables(one: SizeTable, other: SizeTable, order: IntArray) -> SizeTable:
    """Return the sizes of two tables in that order of both together; without their codes."""

    def joined(first: Column, second: Column) -> Column:
        return Column(
            lower=np.concatenate([first.lower, second.lower])[order],
            upper=np.concatenate([first.upper, second.upper])[order],
            state=np.concatenate([first.state, second.state])[order],
        )

    return SizeTable(
        codes=(),
        listings=np.concatenate([one.listings, other.listings])[order],
        columns={code: joined(column, other.columns[code]) for code, column in one.columns.items()},
    )
