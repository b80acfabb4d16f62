"""The tail of an index: what changed since its bulk was built, and the groups that this makes or moves.

A changed size can only move groups in its neighbourhood: the blocks of the bulk that it overlaps or left. No
overlap leaves these blocks, so grouping them anew with the tail gives the groups of a grouping of all sizes.
"""

from collections.abc import Sequence
from itertools import groupby
from typing import Final

import attrs
import numpy as np

from api.matching.columns.bulk import Bulk, KindRows, id_bytes, last_half
from api.matching.columns.overlaps import overlapping_rows
from api.matching.columns.text_column import TextColumn
from api.matching.index.kind_index import IndexedPart, KindIndex, Tail
from api.matching.likelihoods.density import FloatArray
from api.matching.model import KindModel
from api.matching.sizes.grouping import founders_of_groups
from api.matching.sizes.size_table import IntArray, SizeTable, join_tables

LONG_TAIL: Final = 200
"""Sizes from which the bulk is better built anew: each costs a search a microsecond (our judgement)."""
LARGEST_NEIGHBOURHOOD: Final = 4_000
"""Sizes up to which a neighbourhood is grouped anew at once, in some tenths of a second (our judgement)."""


def with_tail(index: KindIndex, kind: KindModel, changed: KindRows, touched: Sequence[str]) -> KindIndex:
    """Return an index in which the `touched` sizes (ids) are as `changed` has them; the others are gone.

    Where the neighbourhood is too large, the sizes of the tail make groups among themselves for the time
    being: the tail is then not `settled`, and the bulk has to be built anew.
    """
    bulk, former = index.bulk, index.tail
    gone = np.flatnonzero(np.isin(last_half(bulk.size_ids), last_half(id_bytes(touched))))
    hidden = gone if former is None else np.union1d(former.hidden, gone)
    tail = Tail(
        table=changed.table,
        size_ids=tuple(changed.size_ids),
        parts=_parts(bulk, changed),
        blocks=_blocks(kind, bulk, changed.table),
        hidden=hidden,
    )
    if former is not None:
        tail = _merged(former, tail, frozenset(touched))
    tail = attrs.evolve(tail, ranks=_ranks(bulk.names, tail.table.codes))
    return KindIndex(bulk=bulk, tail=_regrouped(kind, bulk, tail))


def _merged(former: Tail, fresh: Tail, touched: frozenset[str]) -> Tail:
    """Return what stays of the former tail with the fresh one, in the order of codes."""
    stay = [place for place, size_id in enumerate(former.size_ids) if size_id not in touched]
    codes = [*(former.table.codes[place] for place in stay), *fresh.table.codes]
    ids = [*(former.size_ids[place] for place in stay), *fresh.size_ids]
    parts = [*(former.parts[place] for place in stay), *fresh.parts]
    blocks = [*(former.blocks[place] for place in stay), *fresh.blocks]
    order = sorted(range(len(codes)), key=codes.__getitem__)
    table = join_tables(
        former.table.take(np.array(stay, dtype=np.int64)), fresh.table, np.array(order, dtype=np.int64)
    )
    return attrs.evolve(
        fresh,
        table=attrs.evolve(table, codes=tuple(codes[place] for place in order)),
        size_ids=tuple(ids[place] for place in order),
        parts=tuple(parts[place] for place in order),
        blocks=tuple(blocks[place] for place in order),
    )


def _ranks(known: TextColumn, texts: Sequence[str]) -> FloatArray:
    """Return a place between the known ones for each text, never a whole number, in their order."""
    before = [known.place_of(text) for text in texts]
    ranks: list[float] = []
    for place, run in groupby(before):
        many = len(list(run))
        ranks.extend(place - 1.0 + one / (many + 1.0) for one in range(1, many + 1))
    return np.array(ranks)


def _parts(bulk: Bulk, changed: KindRows) -> tuple[tuple[IndexedPart, ...], ...]:
    """Return the parts of each size, ranked among those of the bulk."""
    parts: list[list[IndexedPart]] = [[] for _ in changed.size_ids]
    ranks = _ranks(bulk.parts.keys, changed.part_keys).tolist()
    told = zip(changed.part_ids, changed.parts_of.tolist(), changed.listings.tolist(), ranks, strict=True)
    for part_id, row, listings, rank in told:
        parts[row].append(IndexedPart(part_id, listings, rank))
    return tuple(tuple(one) for one in parts)


def _blocks(kind: KindModel, bulk: Bulk, table: SizeTable) -> tuple[frozenset[int], ...]:
    """Return for each size the blocks of the bulk that it overlaps."""
    return tuple(
        frozenset(bulk.block[overlapping_rows(kind, bulk.columns, table, row)].tolist())
        for row in range(len(table))
    )


def _regrouped(kind: KindModel, bulk: Bulk, tail: Tail) -> Tail:
    """Return the tail with the founders of its sizes, and of the rows of the bulk in their neighbourhood."""
    blocks = frozenset(bulk.block[tail.hidden].tolist()).union(*tail.blocks)
    rows = np.flatnonzero(np.isin(bulk.block, np.array(sorted(blocks), dtype=np.int32)))
    rows = np.setdiff1d(rows, tail.hidden, assume_unique=True)
    settled = len(rows) <= LARGEST_NEIGHBOURHOOD
    moved = {} if settled else _orphans(bulk, tail.hidden, rows)
    rows = rows if settled else rows[:0]
    both = np.concatenate([bulk.columns.rank[rows].astype(np.float64), tail.ranks])
    order = np.argsort(both)
    joined = join_tables(bulk.columns.take(rows), tail.table, order)
    founder = np.empty(len(both))
    founder[order] = both[order][founders_of_groups(kind, joined)]
    of_bulk = founder[: len(rows)]
    moved |= {int(rows[one]): float(of_bulk[one]) for one in np.flatnonzero(of_bulk != bulk.founder[rows])}
    return attrs.evolve(tail, founders=founder[len(rows) :], regrouped=moved, settled=settled)


def _orphans(bulk: Bulk, hidden: IntArray, rows: IntArray) -> dict[int, float]:
    """Return the least of its rows as founder for each group of `rows` whose founder is hidden."""
    founders = np.isin(bulk.founder[rows], bulk.columns.rank[hidden])
    left: dict[int, list[int]] = {}
    for row in rows[founders].tolist():
        left.setdefault(int(bulk.founder[row]), []).append(row)
    return {
        row: float(min(int(bulk.columns.rank[one]) for one in members))
        for members in left.values()
        for row in members
    }
