"""The candidate index: the sizes of every kind in memory, derived from the database.

The database owns everything; this only follows it. Every search compares the catalogue's version, one
small read. What a few changes touched is read anew inside the same transaction, so that an answer never
mixes two states of the catalogue. A great kind whose tail has grown long is built anew beside the searches.
After a load, which is not noted, or a change that touches more than a thousand sizes, searches of a great
kind are answered by the state before until it is built.
"""

import threading
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import structlog

from api.database import Database, ReadSession
from api.errors import UnknownCode
from api.matching.columns.bulk import build_bulk
from api.matching.index.changed_sizes import UNCHANGED, ChangedRows, changed_since
from api.matching.index.index_rows import read_kind
from api.matching.index.kind_index import KindIndex
from api.matching.index.seat_book import SeatBook
from api.matching.index.shelf import Shelf
from api.matching.index.shelf_rows import read_shelf
from api.matching.index.snapshot import open_snapshot, save_snapshot, state_of
from api.matching.index.tail import LONG_TAIL, with_tail
from api.matching.index.turns import Turns
from api.matching.kind_models import kind_model
from api.matching.model import KindModel
from api.matching.store import StoredKind, catalogue_version, kind_codes, stored_kind
from api.measurement.refusals import nearest_name
from api.wire.refusals import NotReady

BESIDE: Final = "index"
"""How the names of the threads begin that read kinds in beside the searches."""
GREAT: Final = 20_000
"""Sizes and parts of a kind from which it is not read anew within a search: some tenths of a second."""
LONGEST_WAIT_SECONDS: Final = 5.0
"""How long a search waits while another builds its kind: those that wait keep others from being answered."""
MOST_PRICED: Final = 2_000
"""Parts with changed offers from which a great kind is better read anew: each costs a search microseconds."""
_KEPT: Final = 3
"""States of a kind that are kept: a search that began a moment ago asks for the one before."""

_log = structlog.get_logger("startwright")


@dataclass(frozen=True, slots=True)
class IndexedKind:
    """Everything a search over one kind needs, as of one version of the catalogue.

    `bulk_version` is that of the bulk and the shelf, after which sizes are in the tail and `changed` tells
    of which other parts the rows are not those of the shelf.
    """

    version: int
    stored: StoredKind
    model: KindModel
    index: KindIndex
    shelf: Shelf
    seats: SeatBook
    bulk_version: int
    changed: ChangedRows = UNCHANGED

    @property
    def is_great(self) -> bool:
        """Return whether reading it anew takes long."""
        return len(self.index.bulk.columns) + len(self.index.bulk.parts.ids) > GREAT


class CandidateIndex:
    """The kinds as last read. One process holds one; every thread may use it. Who searches takes a
    turn in `turns` for it.

    `folder` is where snapshots of great kinds are kept, nowhere if there is none; `database` is what a
    great kind is built anew from beside the searches.
    """

    def __init__(self, database: Database, folder: Path | None = None) -> None:
        self._database, self._folder = database, folder
        self._kinds: dict[str, tuple[IndexedKind, ...]] = {}
        self._lock = threading.Lock()
        self._building: set[str] = set()
        self._builds: dict[str, threading.Lock] = {}
        self._closed = False
        self.turns = Turns()

    def of(self, reads: ReadSession, kind: str) -> IndexedKind:
        """Return one kind as of the version that `reads` sees; raises `UnknownCode` and `NotReady`."""
        version = catalogue_version(reads)
        kept = self._kinds.get(kind, ())
        for held in kept:
            if held.version == version:
                return held
        latest = next((one for one in kept if one.version < version), None)
        fresh = None if latest is None else _follow(reads, latest, version)
        if latest is not None and (fresh is None or _should_be_built(fresh)):
            if latest.is_great:
                self._build_beside(kind)
                fresh = fresh or latest
            else:
                fresh = None
        return self._keep(fresh) if fresh is not None else self._build_once(reads, kind, version)

    def warm_beside(self) -> None:
        """Begin to read every kind in, so that the first searches wait less."""
        threading.Thread(target=self._warm, name=BESIDE, daemon=True).start()

    def close(self) -> None:
        """Say nothing more of what cannot be built: the database is about to close."""
        self._closed = True

    def _warm(self) -> None:
        try:
            with self._database.read() as reads:
                for kind in kind_codes(reads):
                    self.of(reads, kind)
        except Exception as error:  # the first search finds the same and answers it
            self._not_built("", error)

    def _build_once(self, reads: ReadSession, kind: str, version: int) -> IndexedKind:
        """Build a kind, or take what another thread built meanwhile; raises `NotReady` if that takes long."""
        stored = stored_kind(reads, kind)
        if stored is None:
            raise UnknownCode("kind", kind, nearest_name(kind[:100], kind_codes(reads)))
        with self._lock:
            build = self._builds.setdefault(kind, threading.Lock())
        if not build.acquire(timeout=LONGEST_WAIT_SECONDS):
            raise NotReady("the catalogue is being read in; a large one takes a while")
        try:
            for held in self._kinds.get(kind, ()):
                if held.version == version:
                    return held
            return self._keep(self._build(reads, stored, version))
        finally:
            build.release()

    def _keep(self, fresh: IndexedKind) -> IndexedKind:
        with self._lock:
            kept = (fresh, *self._kinds.get(fresh.model.kind, ()))
            latest_first = sorted(kept, key=lambda one: (one.bulk_version, one.version), reverse=True)
            self._kinds[fresh.model.kind] = tuple(latest_first[:_KEPT])
        return fresh

    def _build(self, reads: ReadSession, stored: StoredKind, version: int) -> IndexedKind:
        model = kind_model(stored)
        state = state_of(reads, model)
        folder = None if state is None else self._folder
        opened = None if folder is None or state is None else open_snapshot(folder, model, state)
        if opened is None:
            bulk = build_bulk(model, read_kind(reads, model))
            shelf = read_shelf(reads, model, bulk)
        else:
            bulk, shelf = opened
        seats = SeatBook(model.kind)
        built = IndexedKind(version, stored, model, KindIndex(bulk=bulk), shelf, seats, version)
        if opened is None and folder is not None and state is not None and built.is_great:
            self._save(folder, state, built)
        return built

    def _save(self, folder: Path, state: str, built: IndexedKind) -> None:
        try:
            save_snapshot(folder, built.model, state, built.index.bulk, built.shelf)
        except OSError as error:  # the snapshot only saves time
            _log.warning("snapshot_not_kept", kind=built.model.kind, error=str(error))

    def _build_beside(self, kind: str) -> None:
        with self._lock:
            if kind in self._building:
                return
            self._building.add(kind)
        threading.Thread(target=self._build_now, args=(kind,), name=f"{BESIDE} {kind}", daemon=True).start()

    def _build_now(self, kind: str) -> None:
        try:
            with self._database.read() as reads:
                stored = stored_kind(reads, kind)
                if stored is not None:
                    self._keep(self._build(reads, stored, catalogue_version(reads)))
        except Exception as error:  # the searches go on with the one before, and ask again
            self._not_built(kind, error)
        finally:
            with self._lock:
                self._building.discard(kind)

    def _not_built(self, kind: str, error: Exception) -> None:
        if not self._closed:
            _log.error("index_not_built", kind=kind, exc_info=error)


def _should_be_built(kind: IndexedKind) -> bool:
    tail, changed = kind.index.tail, kind.changed
    if kind.is_great and (changed.offers or changed.successors or len(changed.priced) > MOST_PRICED):
        return True
    return tail is not None and (len(tail.table) + len(tail.hidden) > LONG_TAIL or not tail.settled)


def _follow(reads: ReadSession, held: IndexedKind, version: int) -> IndexedKind | None:
    """Return a kind with what changed since it was read, or nothing where it has to be built anew."""
    touched = changed_since(reads, held.model.kind, held.version, version)
    if touched is None:
        return None
    seats = SeatBook(held.model.kind) if touched.seats else held.seats
    changed = held.changed.and_then(touched.rows)
    if not touched.sizes:
        return replace(held, version=version, seats=seats, changed=changed)
    rows = read_kind(reads, held.model, touched.sizes)
    index = with_tail(held.index, held.model, rows, sorted(touched.sizes))
    return replace(held, version=version, index=index, seats=seats, changed=changed)
