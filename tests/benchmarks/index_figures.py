"""The candidate index in one process: memory, opening, rebuilding, and its time beside other finders."""

import gc
import time
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import attrs
import numpy as np

from api.database import Database
from api.matching.answers.read_search import read_search
from api.matching.columns.find_sizes import find_sizes
from api.matching.index.candidate_index import CandidateIndex, IndexedKind
from api.matching.readings import Reading
from api.matching.routes import asked_in_query
from api.matching.store import kind_codes
from api.measurement.instruments import Instrument
from tests.benchmarks.drawn_searches import DrawnSearch, KindOfDatabase
from tests.benchmarks.other_finders import (
    Finder,
    PartLimits,
    PartTree,
    Rows,
    WholeMask,
    numpy_scan,
    pandas_mask,
)

Searches = Sequence[tuple[str, tuple[Reading, ...]]]
"""Kinds and readings, as the service reads them."""
REPEATS = 3


@attrs.frozen
class Built:
    """What the index of a database takes: seconds to open a snapshot and to build anew, bytes of arrays."""

    open_seconds: float
    rebuild_seconds: float
    rebuild_cpu_seconds: float
    array_bytes: int
    snapshot_bytes: int


@attrs.frozen
class Beside:
    """Times of the same searches (ms) by the index and by another finder, each the best of a few."""

    name: str
    index_ms: np.ndarray[tuple[int], np.dtype[np.float64]]
    other_ms: np.ndarray[tuple[int], np.dtype[np.float64]]

    @property
    def ratio(self) -> float:
        """Return how many times the index's median the other's is."""
        return float(np.median(self.other_ms) / np.median(self.index_ms))


def measure_built(database: Database, folder: Path) -> tuple[Built, CandidateIndex]:
    """Return what the index takes, and the index: built anew, saved in `folder`, opened from there."""
    began, cpu_began = time.perf_counter(), time.process_time()
    indexed_kinds(database, CandidateIndex(database))
    rebuild, cpu = time.perf_counter() - began, time.process_time() - cpu_began
    indexed_kinds(database, CandidateIndex(database, folder))
    seconds = []
    for _ in range(REPEATS):
        gc.collect()
        began = time.perf_counter()
        index = CandidateIndex(database, folder)
        indexed_kinds(database, index)
        seconds.append(time.perf_counter() - began)
    built = Built(
        open_seconds=min(seconds),
        rebuild_seconds=rebuild,
        rebuild_cpu_seconds=cpu,
        array_bytes=array_bytes(list(indexed_kinds(database, index).values())),
        snapshot_bytes=sum(file.stat().st_size for file in folder.rglob("*.npy")),
    )
    return built, index


def indexed_kinds(database: Database, index: CandidateIndex) -> dict[str, IndexedKind]:
    """Return every kind of an index as of now."""
    with database.read() as reads:
        return {code: index.of(reads, code) for code in kind_codes(reads)}


def array_bytes(root: Any) -> int:
    """Return the bytes of all arrays that can be reached from an object, each counted once."""
    met: set[int] = set()
    found = 0
    left = [root]
    while left:
        one = left.pop()
        if id(one) in met or isinstance(one, str | int | float | bytes | type(None)):
            continue
        met.add(id(one))
        if isinstance(one, np.ndarray):
            found += one.nbytes
        elif isinstance(one, Mapping):
            left += one.values()
        elif isinstance(one, list | tuple | set | frozenset):
            left += one
        elif type(one).__module__.startswith("api.matching"):
            names = [name for each in type(one).__mro__ for name in getattr(each, "__slots__", ())]
            left += [getattr(one, name) for name in names if hasattr(one, name) and name != "__weakref__"]
            left += vars(one).values() if hasattr(one, "__dict__") else ()
    return found


def as_read(
    searches: Sequence[DrawnSearch],
    kinds: Mapping[str, KindOfDatabase],
    instruments: Mapping[str, Instrument],
) -> Searches:
    """Return searches as the service reads them."""
    return [
        (
            one.kind,
            read_search(asked_in_query(one.query.encode()), kinds[one.kind].model, instruments).readings,
        )
        for one in searches
    ]


def time_index(indexed: Mapping[str, IndexedKind], searches: Searches) -> Callable[[int], float]:
    """Return what takes the time (ms) of the index for one of the searches: found, and weighed."""

    def measure(place: int) -> float:
        kind, readings = searches[place]
        held = indexed[kind]
        return milliseconds(lambda: held.index.look(held.model, readings))

    return measure


def measure_beside(
    indexed: Mapping[str, IndexedKind], kinds: Mapping[str, KindOfDatabase], searches: Searches
) -> list[Beside]:
    """Return the times of the index beside those of every other finder, over one row a part."""
    parts = {code: PartLimits.of(kind.model, kind.table, kind.parts_of) for code, kind in kinds.items()}
    sizes = {
        code: PartLimits.of(kind.model, kind.table, np.arange(len(kind.table)))
        for code, kind in kinds.items()
    }
    every = range(len(searches))
    ours = time_index(indexed, searches)
    index_ms = np.array([ours(place) for place in every])
    found = []
    alone = _times({code: _finding_alone(one) for code, one in indexed.items()}, searches)
    found.append(Beside("the index's finding alone", index_ms, alone))
    for name, make, limits in (
        ("pandas mask over the parts of the kind", pandas_mask, parts),
        ("NumPy scan over the parts of the kind", numpy_scan, parts),
        ("NumPy scan over the sizes of the kind", numpy_scan, sizes),
    ):
        found.append(
            Beside(name, index_ms, _times({code: make(one) for code, one in limits.items()}, searches))
        )
    whole = WholeMask(parts)
    found.append(
        Beside(
            "pandas mask over all parts",
            index_ms,
            _times({code: whole.finder(code) for code in parts}, searches),
        )
    )
    del whole
    trees = {code: PartTree(one) for code, one in parts.items()}
    taken = [place for place in every if trees[searches[place][0]].takes(searches[place][1])]
    tree_ms = _times({code: one.find for code, one in trees.items()}, [searches[place] for place in taken])
    found.append(Beside("SQLite R*Tree over the parts of the kind", index_ms[taken], tree_ms))
    return found


def _finding_alone(held: IndexedKind) -> Finder:
    """Return what finds by the index without weighing; the tail of changed sizes is left out."""

    def find(readings: Sequence[Reading]) -> Rows:
        return find_sizes(held.model, held.index.bulk.columns, readings).rows

    return find


def _times(finders: Mapping[str, Finder], searches: Searches) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([milliseconds(partial(finders[kind], readings)) for kind, readings in searches])


def milliseconds(call: Callable[[], object]) -> float:
    """Return the shortest of a few times of a call, in milliseconds."""
    best = float("inf")
    for _ in range(REPEATS):
        began = time.perf_counter()
        call()
        best = min(best, time.perf_counter() - began)
    return 1000 * best
