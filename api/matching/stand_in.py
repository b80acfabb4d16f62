"""How probable it is that parts of a size will do, whichever size the worn part was."""

import numpy as np

from api.matching.density import FloatArray
from api.matching.sizes import BoolArray, IntArray, SizeTable

_NEGLIGIBLE = 1e-12
"""Sizes less probable than this are not counted in: the figure can only be too low by their sum."""


def may_stand_in(table: SizeTable, row: int, for_rows: IntArray) -> BoolArray:
    """Return for which sizes the size at `row` may stand in, judged by dimensions alone.

    Conservative, and not a judgement of the seat: it has to record every dimension that the other
    records, with overlapping tolerance intervals and equal counts and choices, and must not have a
    feature that does not apply to the other, nor leave that open. Sizes stand in for themselves.
    Directed: the converse may be false.
    """
    stands = np.ones(len(for_rows), dtype=np.bool_)
    for column in table.columns.values():
        if column.is_recorded[row]:
            overlap = (column.lower[for_rows] <= column.upper[row]) & (
                column.upper[for_rows] >= column.lower[row]
            )
            stands &= ~column.does_not_apply[for_rows] & (overlap | ~column.is_recorded[for_rows])
        else:
            stands &= ~column.is_recorded[for_rows]
            if not column.does_not_apply[row]:
                stands &= ~column.does_not_apply[for_rows]
    stands |= for_rows == row
    return stands


def usable_probabilities(table: SizeTable, size_probability: FloatArray, rows: IntArray) -> FloatArray:
    """Return for each of `rows` the probability that its parts fit in place of the worn one."""
    likely = np.flatnonzero(size_probability > _NEGLIGIBLE)
    usable = [float(size_probability[likely][may_stand_in(table, int(row), likely)].sum()) for row in rows]
    return np.minimum(np.array(usable, dtype=np.float64), 1.0)
