"""The arrays of a kind, which may be mapped from a file: columns of its sizes, their groups and parts."""

from collections.abc import Sequence

import attrs
import numpy as np
from numpy.typing import NDArray

from api.matching.columns.size_columns import CodeArray, SizeColumns, encode_sizes
from api.matching.columns.text_column import TextColumn
from api.matching.model import KindModel
from api.matching.sizes.grouping import groups_and_blocks
from api.matching.sizes.size_table import IntArray, SizeTable

IdArray = NDArray[np.uint8]


@attrs.frozen(kw_only=True, eq=False)
class KindRows:
    """The current sizes of a kind in the order of their codes, and their current parts in theirs.

    `part_keys` say where each part stands among all, by maker and number; `parts_of` gives each the row of
    its size, `listings` how often it is listed.
    """

    table: SizeTable
    size_ids: Sequence[str]
    part_ids: Sequence[str]
    part_keys: Sequence[str]
    parts_of: IntArray
    listings: IntArray


@attrs.frozen(kw_only=True, eq=False)
class PartColumns:
    """The parts of the sizes, size by size: those of the stored size r are start[r] to start[r + 1].

    `rank` is a part's place in the order of makers and numbers, which `keys` holds, `listings` how often it
    is listed, and `greatest` the most that a part of each size is.
    """

    keys: TextColumn
    start: IntArray
    ids: IdArray
    rank: CodeArray
    listings: CodeArray
    greatest: CodeArray


@attrs.frozen(kw_only=True, eq=False)
class Bulk:
    """The arrays: `size_ids` by stored row, `names` by rank, `founder` the rank of each row's group.

    Sizes that overlap, or are joined by overlaps from one to the next, have the same `block`.
    """

    columns: SizeColumns
    size_ids: IdArray
    names: TextColumn
    founder: CodeArray
    block: CodeArray
    parts: PartColumns


def build_bulk(kind: KindModel, rows: KindRows) -> Bulk:
    """Return the arrays of a kind from its sizes and parts."""
    table, listings = rows.table, rows.listings
    columns, order = encode_sizes(kind, table)
    stored = np.empty(len(order), dtype=np.int64)
    stored[order] = np.arange(len(order))
    of_stored = stored[rows.parts_of]
    by_size = np.argsort(of_stored, kind="stable")
    start = np.zeros(len(order) + 1, dtype=np.int64)
    np.cumsum(np.bincount(of_stored, minlength=len(order)), out=start[1:])
    greatest = np.zeros(len(order), dtype=np.int32)
    np.maximum.at(greatest, of_stored, listings.astype(np.int32))
    founder, block = groups_and_blocks(kind, table)
    return Bulk(
        columns=columns,
        size_ids=id_bytes(rows.size_ids)[order],
        names=TextColumn.of(table.codes),
        founder=founder[order].astype(np.int32),
        block=block[order].astype(np.int32),
        parts=PartColumns(
            keys=TextColumn.of(rows.part_keys),
            start=start,
            ids=id_bytes(rows.part_ids)[by_size],
            rank=by_size.astype(np.int32),
            listings=listings[by_size].astype(np.int32),
            greatest=greatest,
        ),
    )


def id_texts(ids: NDArray[np.uint8]) -> list[str]:
    """Return UUIDs of 16 bytes each as texts."""
    digits = ids.tobytes().hex()
    each = (digits[at : at + 32] for at in range(0, len(digits), 32))
    return [f"{one[:8]}-{one[8:12]}-{one[12:16]}-{one[16:20]}-{one[20:]}" for one in each]


def id_bytes(ids: Sequence[str]) -> NDArray[np.uint8]:
    """Return UUIDs as 16 bytes each."""
    together = bytes.fromhex("".join(ids).replace("-", ""))
    return np.frombuffer(together, dtype=np.uint8).reshape(len(ids), 16)


def last_half(ids: NDArray[np.uint8]) -> NDArray[np.uint64]:
    """Return the random half of UUIDs of 16 bytes each, which tells them apart."""
    return np.ascontiguousarray(ids[:, 8:]).view(np.uint64).ravel()
