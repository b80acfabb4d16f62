"""One kind as a search needs it: the columns of its sizes, their groups, and the parts of each.

The bulk stands in arrays that may be mapped from a file and are shared by every process that maps it; what
changed since they were built stands beside them, in a small tail, and hides what it replaces.
"""

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import overload

import attrs
import numpy as np
from numpy.typing import NDArray

from api.matching.columns.bulk import Bulk, id_texts
from api.matching.columns.find_sizes import find_sizes, find_without
from api.matching.likelihoods.likelihood import log_likelihood
from api.matching.likelihoods.posterior import Looked, Posterior, weigh_looked
from api.matching.likelihoods.sums import lay_stretches
from api.matching.model import KindModel
from api.matching.readings import Reading, settle_readings
from api.matching.sizes.grouping import Grouping
from api.matching.sizes.size_table import IntArray, SizeTable, join_tables

IdArray = NDArray[np.uint8]
FloatArray = NDArray[np.float64]


@attrs.frozen
class IndexedPart:
    """A part of a size: its id, how often it is listed, its place among all parts."""

    id: str
    listings: int
    rank: float


@attrs.frozen(kw_only=True, eq=False)
class Tail:
    """Sizes that changed since the bulk was built, and the rows of the bulk that no longer count.

    `blocks` are the blocks of the bulk that each overlaps. `ranks` are their places between those of the
    bulk, `founders` those of their groups; `regrouped` gives rows of the bulk another founder. It is
    `settled` where the groups are those that a grouping of all sizes makes.
    """

    table: SizeTable
    size_ids: tuple[str, ...]
    parts: tuple[tuple[IndexedPart, ...], ...]
    blocks: tuple[frozenset[int], ...]
    hidden: IntArray
    ranks: FloatArray = attrs.field(factory=lambda: np.zeros(0))
    founders: FloatArray = attrs.field(factory=lambda: np.zeros(0))
    regrouped: Mapping[int, float] = attrs.field(factory=dict)
    settled: bool = True


@attrs.frozen(kw_only=True, eq=False)
class PartRows:
    """Parts of some sizes: which of them each is of, its listings and its place among all parts."""

    bulk: Bulk
    size: IntArray
    listings: FloatArray
    rank: FloatArray
    place: IntArray
    of_tail: tuple[str, ...]

    def shelf_places(self, chosen: IntArray) -> list[int | None]:
        """Return where some of the parts stand on the shelf, if they do."""
        many = len(self.place)
        return [int(self.place[one]) if one < many else None for one in chosen.tolist()]

    def ids(self, chosen: IntArray) -> list[str]:
        """Return the ids of some of the parts."""
        many = len(self.place)
        of_bulk = iter(id_texts(self.bulk.parts.ids[self.place[chosen[chosen < many]]]))
        return [next(of_bulk) if one < many else self.of_tail[one - many] for one in chosen.tolist()]


class Names(Sequence[str]):
    """The codes of groups, read when one is asked for."""

    def __init__(self, bulk: Bulk, tail: Tail | None, ranks: FloatArray) -> None:
        self._bulk, self._tail, self._ranks = bulk, tail, ranks

    def __len__(self) -> int:
        return len(self._ranks)

    @overload
    def __getitem__(self, place: int) -> str: ...
    @overload
    def __getitem__(self, place: slice) -> list[str]: ...
    def __getitem__(self, place: int | slice) -> str | list[str]:
        if isinstance(place, slice):
            return [self._name(float(rank)) for rank in self._ranks[place]]
        return self._name(float(self._ranks[place]))

    def _name(self, rank: float) -> str:
        if rank.is_integer() or self._tail is None:
            return self._bulk.names.at(int(rank))
        return self._tail.table.codes[int(np.flatnonzero(self._tail.ranks == rank)[0])]


@attrs.frozen(kw_only=True, eq=False)
class Looking:
    """The sizes that one search looks at, as a table of their own in the order of codes, and the posterior.

    `rows` are those of the bulk, or beyond its end those of the tail.
    """

    index: "KindIndex"
    rows: IntArray
    table: SizeTable
    posterior: Posterior
    grouping: Grouping

    def size_ids(self, places: Sequence[int]) -> list[str]:
        """Return the ids of some of the sizes."""
        rows = self.rows[list(places)]
        many, tail = len(self.index.bulk.columns), self.index.tail
        of_bulk = iter(id_texts(self.index.bulk.size_ids[rows[rows < many]]))
        return [
            tail.size_ids[row - many] if tail is not None and row >= many else next(of_bulk)
            for row in rows.tolist()
        ]

    def parts(self, places: IntArray) -> "PartRows":
        """Return the parts of some of the sizes, whose `size` is a place among them."""
        return self.index.parts(self.rows[places])

    def _tail_parts(self, place: int) -> tuple[IndexedPart, ...]:
        tail, beyond = self.index.tail, int(self.rows[place]) - len(self.index.bulk.columns)
        return () if tail is None else tail.parts[beyond]

    @cached_property
    def part_counts(self) -> IntArray:
        """Return how many parts each size has."""
        counts = np.zeros(len(self.rows), dtype=np.int64)
        of_bulk = self.rows < len(self.index.bulk.columns)
        start = self.index.bulk.parts.start
        counts[of_bulk] = start[self.rows[of_bulk] + 1] - start[self.rows[of_bulk]]
        for place in np.flatnonzero(~of_bulk):
            counts[place] = len(self._tail_parts(int(place)))
        return counts

    @cached_property
    def greatest_part_weight(self) -> IntArray:
        """Return the greatest (listings + 1) of the parts of each size; 0 where it has none."""
        greatest = np.zeros(len(self.rows), dtype=np.int64)
        of_bulk = self.rows < len(self.index.bulk.columns)
        greatest[of_bulk] = self.index.bulk.parts.greatest[self.rows[of_bulk]] + 1
        for place in np.flatnonzero(~of_bulk):
            greatest[place] = max((part.listings + 1 for part in self._tail_parts(int(place))), default=0)
        return greatest


@attrs.frozen(kw_only=True, eq=False)
class KindIndex:
    """The bulk of a kind and its tail, as of one version of the catalogue."""

    bulk: Bulk
    tail: Tail | None = None

    def __len__(self) -> int:
        tail = self.tail
        return len(self.bulk.columns) + (0 if tail is None else len(tail.table) - len(tail.hidden))

    def parts(self, rows: IntArray) -> "PartRows":
        """Return the parts of the sizes of some rows."""
        bulk, beyond = self.bulk.parts, rows - len(self.bulk.columns)
        of_bulk = np.flatnonzero(beyond < 0)
        place, starts = lay_stretches(bulk.start[rows[of_bulk]], bulk.start[rows[of_bulk] + 1])
        of_place = np.repeat(of_bulk, np.diff(starts))
        of_tail = [
            (which, part)
            for which in np.flatnonzero(beyond >= 0).tolist()
            for part in (() if self.tail is None else self.tail.parts[int(beyond[which])])
        ]
        return PartRows(
            bulk=self.bulk,
            size=np.concatenate([of_place, np.array([one for one, _ in of_tail], np.int64)]),
            listings=np.concatenate([bulk.listings[place], np.array([p.listings for _, p in of_tail])]),
            rank=np.concatenate([bulk.rank[place], np.array([part.rank for _, part in of_tail])]),
            place=place,
            of_tail=tuple(part.id for _, part in of_tail),
        )

    def look(self, kind: KindModel, readings: Sequence[Reading]) -> Looking:
        """Return the sizes that readings call for, and how probable each is.

        Raises `InvalidInput` as `settle_readings`.
        """
        settled = settle_readings(kind, readings)
        columns, tail = self.bulk.columns, self.tail
        if tail is None:
            found = find_sizes(kind, columns, settled.readings)
            table, rows, logs = columns.take(found.rows), found.rows, found.log_likelihoods
            founders = self.bulk.founder[rows].astype(np.float64)
            total = found.total_weight
        else:
            found = find_without(kind, columns, settled.readings, tail.hidden)
            beside = {
                one.dimension: log_likelihood(kind.dimension(one.dimension), one, tail.table)
                for one in settled.readings
            }
            ranks = np.concatenate([columns.rank[found.rows].astype(np.float64), tail.ranks])
            order = np.argsort(ranks)
            rows = np.concatenate([found.rows, len(columns) + np.arange(len(tail.table))])[order]
            table = join_tables(columns.take(found.rows), tail.table, order)
            logs = {
                code: np.concatenate([log, beside[code]])[order]
                for code, log in found.log_likelihoods.items()
            }
            of_bulk = (
                [
                    tail.regrouped.get(row, float(founder))
                    for row, founder in zip(found.rows.tolist(), self.bulk.founder[found.rows], strict=True)
                ]
                if tail.regrouped
                else self.bulk.founder[found.rows]
            )
            founders = np.concatenate([np.asarray(of_bulk, dtype=np.float64), tail.founders])[order]
            total = found.total_weight + float((tail.table.listings + 1).sum())
        looked = Looked(log_likelihoods=logs, total_weight=total, log_elsewhere=found.log_elsewhere)
        groups, number = np.unique(founders, return_inverse=True)
        return Looking(
            index=self,
            rows=rows,
            table=table,
            posterior=weigh_looked(kind, table, settled, looked),
            grouping=Grouping(number=number.astype(np.int64), ids=Names(self.bulk, tail, groups)),
        )
