"""Which sizes overlap one size in every dimension: found in the blocks as a search is."""

import numpy as np

from api.matching.columns.size_blocks import CodeRange, find_rows
from api.matching.columns.size_columns import ABSENT, FIRST_RECORDED, SizeColumns
from api.matching.model import KindModel
from api.matching.sizes.size_table import IntArray, Recorded, SizeTable


def overlapping_rows(kind: KindModel, columns: SizeColumns, table: SizeTable, row: int) -> IntArray:
    """Return the rows of the columns whose limits overlap those of a size of `table` in every dimension.

    What either does not record overlaps with anything; what does not apply only with the like.
    """
    tests = []
    for dimension in kind.dimensions:
        column = table.columns[dimension.code]
        state = column.state[row]
        if state == Recorded.NOT_RECORDED:
            continue
        if state == Recorded.DOES_NOT_APPLY:
            tests.append(CodeRange(dimension.code, 0, ABSENT + 1))
            continue
        entries = columns.entries[dimension.code]
        least = int(column.lower[row]) - entries.widest
        first, last = np.searchsorted(entries.lower, [least, int(column.upper[row]) + 1])
        tests.append(CodeRange(dimension.code, FIRST_RECORDED + int(first), FIRST_RECORDED + int(last)))
    rows = find_rows(columns.blocks, columns.codes, tests, len(tests))
    near = columns.take(rows)
    holds = np.ones(len(rows), dtype=np.bool_)
    for dimension in kind.dimensions:
        one, other = table.columns[dimension.code], near.columns[dimension.code]
        if one.state[row] == Recorded.RECORDED:
            meets = (other.lower <= one.upper[row]) & (other.upper >= one.lower[row])
            holds &= (other.state == Recorded.NOT_RECORDED) | ((other.state == Recorded.RECORDED) & meets)
    overlapping: IntArray = rows[holds]
    return overlapping
