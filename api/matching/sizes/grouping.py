"""Groups of sizes that a measurement of a new part could not tell apart.

Sizes belong together when their tolerance intervals overlap pairwise in every dimension and their
counts and choices are equal. A dimension that a size does not record overlaps with anything; one that
does not apply overlaps only with another that does not apply, or is not recorded.

Every size is a box (an interval for each dimension; a count, a choice or `does not apply` is a point).
Boxes that overlap pairwise have a common point, so a size may join a group exactly when it overlaps the
intersection of the group's boxes. In a canonical order (by the limits of the dimensions in the model's
order, then by code) each size joins the first group that takes it, or founds one and gives it its code.
Sizes are split beforehand into blocks that no overlap crosses: that saves work and changes nothing, for
a size can only join a group in its own block.
"""

from collections.abc import Iterator, Sequence

import attrs
import numpy as np

from api.matching.model import KindModel
from api.matching.sizes.size_table import IntArray, SizeTable

_ANY_LOWER = np.iinfo(np.int64).min
_ANY_UPPER = np.iinfo(np.int64).max
_ABSENT = -1
"""The point that stands for `does not apply`: below every length, count and choice."""
_TIDY_EVERY = 32


@attrs.frozen(kw_only=True, eq=False)
class Grouping:
    """Disjoint groups: `number` gives each size (row) its group, `ids` each group its first size's code."""

    number: IntArray
    ids: Sequence[str]

    def group_of(self, row: int) -> str:
        """Return the id of a size's group."""
        return self.ids[int(self.number[row])]


def founders_of_groups(kind: KindModel, table: SizeTable) -> IntArray:
    """Return for each size the row of the size that founded its group."""
    return groups_and_blocks(kind, table)[0]


def groups_and_blocks(kind: KindModel, table: SizeTable) -> tuple[IntArray, IntArray]:
    """Return for each size the row of the size that founded its group, and the number of its block."""
    count = len(table)
    lower, upper = _boxes(kind, table)
    keys = [limits[:, d] for d in reversed(range(lower.shape[1])) for limits in (upper, lower)]
    order = np.lexsort([np.arange(count), *keys])
    lower, upper = lower[order], upper[order]
    label = _blocks(lower, upper)
    founder = np.arange(count)
    for block in _of_two_and_more(label):
        founder[block] = block[_join_first_fit(lower[block], upper[block])]
    founder_row, block_number = np.empty(count, dtype=np.int64), np.empty(count, dtype=np.int64)
    founder_row[order], block_number[order] = order[founder], label
    return founder_row, block_number


def _boxes(kind: KindModel, table: SizeTable) -> tuple[IntArray, IntArray]:
    """Return lower and upper limits by size and dimension."""
    columns = [table.columns[one.code] for one in kind.dimensions]
    lower = np.full((len(table), len(columns)), _ANY_LOWER)
    upper = np.full((len(table), len(columns)), _ANY_UPPER)
    for place, column in enumerate(columns):
        for box, limits in ((lower, column.lower), (upper, column.upper)):
            box[column.is_recorded, place] = limits[column.is_recorded]
            box[column.does_not_apply, place] = _ABSENT
    return lower, upper


def _blocks(lower: IntArray, upper: IntArray) -> IntArray:
    """Return the number of the block of each place: no overlap crosses from one to another.

    In each dimension in turn, every block is cut where no interval reaches across, until nothing more
    can be cut.
    """
    count, dimensions = lower.shape
    label = np.zeros(count, dtype=np.int64)
    uncut = 0
    while uncut < dimensions:
        for d in range(dimensions):
            refined = _cut(label, lower[:, d], upper[:, d])
            uncut = uncut + 1 if refined.max(initial=0) == label.max(initial=0) else 0
            label = refined
    return label


def _of_two_and_more(label: IntArray) -> Iterator[IntArray]:
    """Yield the places of each block of two and more, in ascending order."""
    places = np.argsort(label, kind="stable")
    edges = np.flatnonzero(np.diff(label[places])) + 1
    for block in np.split(places, edges):
        if block.size > 1:
            yield block


def _cut(label: IntArray, lower: IntArray, upper: IntArray) -> IntArray:
    _, ranks = np.unique(np.concatenate([lower, upper]), return_inverse=True)
    low, high = np.split(ranks, 2)
    places = np.lexsort([low, label])
    stride = len(ranks) + 1
    reach = np.maximum.accumulate(label[places] * stride + high[places])
    starts = label[places][1:] * stride + low[places][1:] > reach[:-1]
    refined = np.zeros_like(label)
    refined[places[1:]] = np.cumsum(starts)
    return refined


def _join_first_fit(lower: IntArray, upper: IntArray) -> IntArray:
    """Return for each box of a block, in canonical order, the place of the founder of its group.

    A group whose intersection ends below the current box in the first dimension takes no more boxes, as
    the boxes come in ascending order there; such groups are dropped now and then.
    """
    count = len(lower)
    low, high = np.empty_like(lower), np.empty_like(upper)
    founder = np.empty(count, dtype=np.int64)
    answer = np.empty(count, dtype=np.int64)
    open_groups = 0
    for place in range(count):
        if place % _TIDY_EVERY == 0:
            stay = np.flatnonzero(high[:open_groups, 0] >= lower[place, 0])
            open_groups = len(stay)
            low[:open_groups], high[:open_groups] = low[stay], high[stay]
            founder[:open_groups] = founder[stay]
        fits = (low[:open_groups] <= upper[place]) & (high[:open_groups] >= lower[place])
        taking = np.flatnonzero(fits.all(axis=1))
        if taking.size:
            group = taking[0]
            np.maximum(low[group], lower[place], out=low[group])
            np.minimum(high[group], upper[place], out=high[group])
        else:
            group = open_groups
            low[group], high[group], founder[group] = lower[place], upper[place], place
            open_groups += 1
        answer[place] = founder[group]
    return answer
