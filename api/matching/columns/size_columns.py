"""All sizes of a kind as small columns: each dimension is a list of distinct entries and a code per size.

Sizes share standard dimensions, so a column of codes (32 bits) and a sorted list of distinct entries says
the same as two limits and a state for every size, in less memory, and a reading is compared with each entry
once instead of with each size. The sizes stand in an order that keeps near ones together (see
`size_blocks`); `rank` gives each its place in the order of codes, in which every `SizeTable` stands.
"""

from collections.abc import Mapping

import attrs
import numpy as np
from numpy.typing import NDArray

from api.matching.columns.size_blocks import SizeBlocks, block_sizes, order_sizes
from api.matching.likelihoods.likelihood import two_point_factors
from api.matching.model import DimensionModel, KindModel
from api.matching.sizes.size_table import Column, IntArray, Recorded, SizeTable

CodeArray = NDArray[np.int32]

NOT_RECORDED = 0
"""Code of the entry for sizes that do not record a dimension."""
ABSENT = 1
"""Code of the entry for sizes that do not have the feature."""
FIRST_RECORDED = 2


@attrs.frozen(kw_only=True, eq=False)
class Entries:
    """The distinct entries of one dimension: not recorded, does not apply, then limits in ascending order.

    `table` holds them as if each were a size, with the dimension itself and, where a reading between two
    faces depends on a count, that count. `weight` is the sum of (listings + 1) over the sizes of an entry,
    `widest` the width of the widest limits. Across an odd number of teeth a reading is low by no less than
    `least_factor`.
    """

    dimension: str
    table: SizeTable
    weight: NDArray[np.float64]
    widest: int
    least_factor: float = 1.0

    def __len__(self) -> int:
        return len(self.weight)

    @property
    def lower(self) -> IntArray:
        """Return the lower limits of the recorded entries, ascending."""
        return self.table.columns[self.dimension].lower[FIRST_RECORDED:]


@attrs.frozen(kw_only=True, eq=False)
class SizeColumns:
    """The sizes of a kind: a code for each dimension, listings, and where each stands by its code.

    `codes[d]` are the codes of dimension d in the stored order of the sizes, whose `rank` is the place in
    the order of their names; `listings` how often the parts of each are listed.
    """

    codes: Mapping[str, CodeArray]
    entries: Mapping[str, Entries]
    listings: CodeArray
    rank: CodeArray
    blocks: SizeBlocks
    total_weight: float

    def __len__(self) -> int:
        return len(self.listings)

    def take(self, rows: IntArray) -> SizeTable:
        """Return those sizes as a table without their codes; `rows` are in the order of rank."""
        columns = {}
        for code, coded in self.codes.items():
            entry = self.entries[code].table.columns[code]
            chosen = coded[rows]
            columns[code] = Column(
                lower=entry.lower[chosen], upper=entry.upper[chosen], state=entry.state[chosen]
            )
        return SizeTable(codes=(), listings=self.listings[rows].astype(np.int64), columns=columns)


def encode_sizes(kind: KindModel, table: SizeTable) -> tuple[SizeColumns, IntArray]:
    """Return the sizes of a table as columns, and the row of the table that each stored size had."""
    coded: dict[str, CodeArray] = {}
    distinct: dict[str, SizeTable] = {}
    for dimension in kind.dimensions:
        coded[dimension.code], distinct[dimension.code] = _encode(dimension, table)
    order = order_sizes(coded, len(table))
    weight = (table.listings + 1).astype(np.float64)
    stored = {code: np.ascontiguousarray(codes[order]) for code, codes in coded.items()}
    columns = SizeColumns(
        codes=stored,
        entries={
            one.code: make_entries(
                one, distinct[one.code], _weigh(coded[one.code], weight, len(distinct[one.code]))
            )
            for one in kind.dimensions
        },
        listings=table.listings[order].astype(np.int32),
        rank=order.astype(np.int32),
        blocks=block_sizes(stored, len(table)),
        total_weight=float(weight.sum()),
    )
    return columns, order


def make_entries(dimension: DimensionModel, table: SizeTable, weight: NDArray[np.float64]) -> Entries:
    """Return the entries of a dimension from their table and weights."""
    column = table.columns[dimension.code]
    recorded = np.arange(FIRST_RECORDED, len(table))
    least, _, _ = two_point_factors(dimension, True, table, recorded)
    return Entries(
        dimension=dimension.code,
        table=table,
        weight=weight,
        widest=int((column.upper - column.lower).max(initial=0)),
        least_factor=float(least.min(initial=1.0)),
    )


def _weigh(codes: CodeArray, weight: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    return np.bincount(codes, weights=weight, minlength=count).astype(np.float64)


def _encode(dimension: DimensionModel, table: SizeTable) -> tuple[CodeArray, SizeTable]:
    """Return the code of every size and the distinct entries, two of them for what is not a value.

    A diameter across teeth whose number is not recorded tells as little as one that is not recorded.
    """
    names = [dimension.code]
    if dimension.two_point_over is not None:
        names.append(dimension.two_point_over)
    columns = [table.columns[name] for name in names]
    keys: list[IntArray] = [
        part
        for column in columns
        for part in (column.lower.astype(np.int64), column.upper, column.state.astype(np.int64))
    ]
    recorded = np.flatnonzero(np.logical_and.reduce([column.is_recorded for column in columns]))
    order = recorded[np.lexsort([key[recorded] for key in reversed(keys)])]
    fresh = np.zeros(len(order), dtype=np.bool_)
    fresh[:1] = True
    for key in keys:
        fresh[1:] |= np.diff(key[order]) != 0
    codes = np.full(len(table), NOT_RECORDED, dtype=np.int32)
    codes[columns[0].does_not_apply] = ABSENT
    codes[order] = (np.cumsum(fresh) + FIRST_RECORDED - 1).astype(np.int32)
    firsts = order[fresh]
    return codes, SizeTable(
        codes=(),
        listings=np.zeros(len(firsts) + FIRST_RECORDED, dtype=np.int64),
        columns={
            name: _with_two_more(column, firsts, own=name == dimension.code)
            for name, column in zip(names, columns, strict=True)
        },
    )


def _with_two_more(column: Column, rows: IntArray, *, own: bool) -> Column:
    absent = Recorded.DOES_NOT_APPLY if own else Recorded.NOT_RECORDED
    state = np.array([Recorded.NOT_RECORDED, absent], dtype=np.int8)
    nothing = np.zeros(FIRST_RECORDED, dtype=np.int64)
    return Column(
        lower=np.concatenate([nothing, column.lower[rows]]),
        upper=np.concatenate([nothing, column.upper[rows]]),
        state=np.concatenate([state, column.state[rows]]),
    )
