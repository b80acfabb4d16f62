"""The candidate index: the sizes of every kind as columns in memory, derived from the database.

The database owns everything; this only follows it. Every search compares the catalogue's version, one
small read, and a kind that has fallen behind is read anew inside the same transaction, so that an
answer never mixes two states of the catalogue.
"""

import threading
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from api.database import ReadSession
from api.errors import UnknownCode
from api.interchange.stored_seats import ListedSeat, seats_of_kind
from api.matching.grouping import Grouping, group_sizes
from api.matching.kind_models import kind_model
from api.matching.model import KindModel
from api.matching.seat_book import SeatBook
from api.matching.sizes import DOES_NOT_APPLY, IntArray, SizeRow, SizeTable, SizeValue, build_size_table
from api.matching.store import (
    StoredKind,
    StoredSizes,
    catalogue_version,
    kind_codes,
    stored_kind,
    stored_sizes,
)
from api.measurement.refusals import nearest_name


@dataclass(frozen=True, slots=True)
class IndexedKind:
    """Everything a search over one kind needs, as of one version of the catalogue.

    `part_ids` are the current parts in order of maker and number; `part_size` gives each the row of its
    size in `table`, `part_listings` how often it is listed, `part_share` its share of its size;
    `size_ids` are the sizes by row, `seats` what they are listed for.
    """

    version: int
    stored: StoredKind
    model: KindModel
    table: SizeTable
    grouping: Grouping
    part_ids: tuple[str, ...]
    part_size: IntArray
    part_listings: IntArray
    part_share: np.ndarray[tuple[int], np.dtype[np.float64]]
    size_ids: tuple[str, ...]
    seats: SeatBook


class CandidateIndex:
    """The kinds as last read. One process holds one; every thread may use it."""

    def __init__(self) -> None:
        self._kinds: dict[str, IndexedKind] = {}
        self._lock = threading.Lock()

    def of(self, reads: ReadSession, kind: str) -> IndexedKind:
        """Return one kind as of the version that `reads` sees; raises `UnknownCode`."""
        version = catalogue_version(reads)
        held = self._kinds.get(kind)
        if held is not None and held.version == version:
            return held
        stored = stored_kind(reads, kind)
        if stored is None:
            raise UnknownCode("kind", kind, nearest_name(kind[:100], kind_codes(reads)))
        fresh = index_kind(version, stored, stored_sizes(reads, kind), seats_of_kind(reads, kind))
        with self._lock:
            held = self._kinds.get(kind)
            if held is None or held.version < version:
                self._kinds[kind] = fresh
        return fresh


def index_kind(
    version: int, stored: StoredKind, sizes: StoredSizes, seats: Iterable[ListedSeat]
) -> IndexedKind:
    """Build the columns of one kind from its stored rows."""
    model = kind_model(stored)
    values: dict[str, dict[str, SizeValue]] = defaultdict(dict)
    for row in sizes.values:
        values[row.size_id][row.dimension_code] = _value(
            row.applies, row.lower_nm, row.upper_nm, row.count_value, row.choice_value
        )
    listed: dict[str, int] = defaultdict(int)
    for part in sizes.parts:
        listed[part.size_id] += part.listings
    table = build_size_table(
        model,
        (
            SizeRow(code=size.code, values=values.get(size.id, {}), listings=listed[size.id])
            for size in sizes.sizes
        ),
    )
    row_of_code = {code: row for row, code in enumerate(table.codes)}
    row_of_id = {size.id: row_of_code[size.code] for size in sizes.sizes}
    part_size = np.array([row_of_id[part.size_id] for part in sizes.parts], dtype=np.int64)
    listings = np.array([part.listings for part in sizes.parts], dtype=np.int64)
    weight = listings + 1.0
    of_size = np.bincount(part_size, weights=weight, minlength=len(table))
    return IndexedKind(
        version=version,
        stored=stored,
        model=model,
        table=table,
        grouping=group_sizes(model, table),
        part_ids=tuple(part.id for part in sizes.parts),
        part_size=part_size,
        part_listings=listings,
        part_share=weight / of_size[part_size],
        size_ids=tuple(sorted(row_of_id, key=row_of_id.__getitem__)),
        seats=SeatBook(model.kind, seats, row_of_id),
    )


def _value(
    applies: int, lower: int | None, upper: int | None, count: int | None, choice: str | None
) -> SizeValue:
    if not applies:
        return DOES_NOT_APPLY
    if lower is not None and upper is not None:
        return (lower, upper)
    if count is not None:
        return count
    if choice is not None:
        return choice
    raise ValueError("a recorded dimension holds no value; the database's own check forbids that")
