"""Sizes in blocks of near ones, with the least and greatest code of each block: what a search looks at first.

The sizes are halved again and again, by one after another of the dimensions that tell most apart, until a
block holds `BLOCK` of them. A search for sizes that pass enough of its tests compares the bounds of the
blocks and looks only into those that may hold one; the answer is that of a look at every size.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise

import attrs
import numpy as np
from numpy.typing import NDArray

CodeArray = NDArray[np.int32]
RowArray = NDArray[np.int64]

BLOCK = 512
"""Sizes in a block; 256 to 1,024 were measured to be alike (tests/benchmarks)."""
SPLIT_BY = 5
"""How many dimensions halve the blocks in turn."""


@attrs.frozen
class CodeRange:
    """A test that a size passes by its code: in [first, last), or 0 (not recorded)."""

    dimension: str
    first: int
    last: int


@attrs.frozen(kw_only=True, eq=False)
class BlockBounds:
    """Least and greatest code above 0 in each block, and whether the block holds a code 0."""

    least: CodeArray
    greatest: CodeArray
    is_open: NDArray[np.bool_]


@attrs.frozen(kw_only=True, eq=False)
class SizeBlocks:
    """The bounds of the blocks by dimension, and how many sizes there are."""

    bounds: Mapping[str, BlockBounds]
    sizes: int


def order_sizes(codes: Mapping[str, CodeArray], sizes: int) -> RowArray:
    """Return an order of the sizes in which each run of `BLOCK` holds near ones; ties by the order given."""
    order = np.arange(sizes)
    if sizes <= BLOCK:
        return order
    telling = sorted(codes, key=lambda code: -_spread(codes[code]))[:SPLIT_BY]
    bounds = [0, sizes]
    level = 0
    while max(np.diff(bounds)) > BLOCK:
        node = np.repeat(np.arange(len(bounds) - 1), np.diff(bounds))
        order = order[np.lexsort((order, codes[telling[level % len(telling)]][order], node))]
        bounds = sorted({*bounds, *(_halfway(low, high) for low, high in pairwise(bounds))})
        level += 1
    return order


def _halfway(low: int, high: int) -> int:
    """Return where a run is halved: at a whole number of blocks."""
    if high - low <= BLOCK:
        return low
    return low + BLOCK * ((high - low + BLOCK) // (2 * BLOCK))


def _spread(codes: CodeArray) -> float:
    """Return the entropy of a column's entries: how much the dimension tells apart."""
    counts = np.bincount(codes)
    shares = counts[counts > 0] / len(codes)
    return float(-(shares * np.log(shares)).sum())


def block_sizes(codes: Mapping[str, CodeArray], sizes: int) -> SizeBlocks:
    """Return the bounds of the blocks of sizes that stand in their stored order."""
    starts = np.arange(0, sizes, BLOCK)
    return SizeBlocks(bounds={code: _bound(column, starts) for code, column in codes.items()}, sizes=sizes)


def _bound(codes: CodeArray, starts: RowArray) -> BlockBounds:
    if not len(codes):
        nothing = np.zeros(0, dtype=np.int32)
        return BlockBounds(least=nothing, greatest=nothing, is_open=nothing > 0)
    beyond = np.iinfo(np.int32).max
    return BlockBounds(
        least=np.minimum.reduceat(np.where(codes > 0, codes, beyond).astype(np.int32), starts),
        greatest=np.maximum.reduceat(codes, starts),
        is_open=np.logical_or.reduceat(codes == 0, starts),
    )


def find_rows(
    blocks: SizeBlocks, codes: Mapping[str, CodeArray], tests: Sequence[CodeRange], at_least: int
) -> RowArray:
    """Return the rows, ascending, of the sizes that pass `at_least` of the tests."""
    if at_least <= 0:
        return np.arange(blocks.sizes)
    passed = np.zeros((blocks.sizes + BLOCK - 1) // BLOCK, dtype=np.int8)
    for test in tests:
        bound = blocks.bounds[test.dimension]
        passed += bound.is_open | ((bound.least < test.last) & (bound.greatest >= test.first))
    chosen = np.flatnonzero(passed >= at_least)
    if not chosen.size:
        return np.zeros(0, dtype=np.int64)
    whole = chosen[:-1] if chosen[-1] == len(passed) - 1 and blocks.sizes % BLOCK else chosen
    found = [_look(codes, tests, at_least, whole, blocks)] if whole.size else []
    if whole.size < chosen.size:
        start = int(chosen[-1]) * BLOCK
        last = {test.dimension: codes[test.dimension][start:] for test in tests}
        counts = _count(tests, [last[test.dimension] for test in tests], [True] * len(tests))
        found.append(np.flatnonzero(counts >= at_least) + start)
    rows: RowArray = np.concatenate(found)
    return rows


def _look(
    codes: Mapping[str, CodeArray],
    tests: Sequence[CodeRange],
    at_least: int,
    chosen: RowArray,
    blocks: SizeBlocks,
) -> RowArray:
    many = blocks.sizes // BLOCK
    columns = []
    for test in tests:
        by_block = codes[test.dimension][: many * BLOCK].reshape(many, BLOCK)
        columns.append(by_block if chosen.size == many else by_block[chosen])
    is_open = [bool(blocks.bounds[test.dimension].is_open[chosen].any()) for test in tests]
    block, place = np.nonzero(_count(tests, columns, is_open) >= at_least)
    rows: RowArray = chosen[block] * BLOCK + place
    return rows


def _count(
    tests: Sequence[CodeRange], columns: Sequence[CodeArray], is_open: Sequence[bool]
) -> NDArray[np.int8]:
    counts = np.zeros(columns[0].shape, dtype=np.int8)
    for test, column, opens in zip(tests, columns, is_open, strict=True):
        # One comparison for both ends: what lies below `first` wraps around to a great number.
        inside = (column - np.int32(test.first)).view(np.uint32) < np.uint32(max(test.last - test.first, 0))
        counts += inside
        if opens and test.first > 0:
            counts += column == 0
    return counts
