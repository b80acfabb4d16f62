"""In which seats the sizes of a kind are listed, and which parts were judged to fit there so far."""

import math
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from typing import Final, Protocol

from api.interchange.compare_sizes import agrees
from api.interchange.near_sizes import may_share_seat
from api.interchange.places import Piece, Place, goes_in, judged_dimensions, told_of
from api.interchange.seat_features import PartFacts, SizeValues
from api.interchange.stored_seats import ListedSeat

LEFT_OUT: Final = 1e-4
"""The least probable sizes, of this much together, are not looked at: the figure is too low by it at most."""
MOST_SIZES: Final = 64
"""How many of the most probable sizes are looked at; beyond, the figure is too low by what the rest hold."""
MOST_KEPT: Final = 20_000
"""Sizes read and kept, and fifty times as many pairs, before all are begun anew (our judgement)."""

Candidate = tuple[str, PartFacts]
"""A part as far as fits go: the id of its size, and what it states itself."""


class Source(Protocol):
    """Where sizes and seats come from."""

    def values(self, size_ids: Collection[str]) -> Mapping[str, SizeValues]:
        """Return what sizes record, by id."""

    def seats(self, size_ids: Collection[str]) -> Iterable[ListedSeat]:
        """Return every seat that a current part of one of the sizes is listed for."""


class SeatBook:
    """The seats of the sizes of a kind, as of one version of the catalogue; every thread may use it.

    What was read or judged once is kept: neither changes within a version.
    """

    def __init__(self, kind: str) -> None:
        self._kind = kind
        self._kept = _Pages(kind)

    def usable_probabilities(
        self, sizes: Mapping[str, float], parts: Collection[Candidate], source: Source
    ) -> dict[Candidate, float]:
        """Return for each part the sum of the probabilities of the sizes that it fits in place of.

        `sizes` are probabilities by the size's id; a part's own size may be missing. It fits where
        interchange grades it `fits`, in every seat that the size is listed for, its own size included: a
        porous iron bush may come loose where the bronze one of its size holds. A size that is listed
        nowhere has no seat; it stands in for itself alone.
        """
        likely = frozenset(likely_sizes(sizes))
        own = {size_id for size_id, _ in parts}
        if self._kept.are_full:
            self._kept = _Pages(self._kind)
        pages = self._kept  # one object throughout: another thread may begin anew meanwhile
        pages.read_values(likely | own, source)
        alike = {size_id: pages.alike(size_id, likely) for size_id in own}
        pages.read_seats(own.union(*alike.values()), source)
        return {
            part: min(math.fsum(sizes.get(one, 0.0) for one in alike[part[0]] if pages.fits(part, one)), 1.0)
            for part in parts
        }


class _Pages:
    """What was read and judged; entries are only ever added or replaced by fuller ones."""

    def __init__(self, kind: str) -> None:
        self._kind = kind
        self._judged_in_seats = judged_dimensions(kind)
        self._values: dict[str, SizeValues] = {}
        self._places_of: dict[str, tuple[Place, ...]] = {}
        self._alike: dict[str, tuple[frozenset[str], frozenset[str]]] = {}
        self._pairs = 0
        self._pieces: dict[Candidate, Piece] = {}
        self._goes_in: dict[tuple[Piece, Place], bool] = {}
        self._fits: dict[tuple[Candidate, str], bool] = {}

    @property
    def are_full(self) -> bool:
        """Return whether so much is kept that it is better begun anew."""
        return len(self._values) > MOST_KEPT or self._pairs > 50 * MOST_KEPT

    def read_values(self, size_ids: Collection[str], source: Source) -> None:
        """Read what the sizes record that are not known yet."""
        missing = [size_id for size_id in size_ids if size_id not in self._values]
        if missing:
            self._values.update(source.values(missing))

    def read_seats(self, size_ids: Collection[str], source: Source) -> None:
        """Read the seats of the sizes that are not known yet."""
        missing = [size_id for size_id in size_ids if size_id not in self._places_of]
        if not missing:
            return
        places: dict[str, dict[Place, None]] = defaultdict(dict)
        for listed in source.seats(missing):
            places[listed.size_id][Place.of(listed.seat)] = None
        self._places_of.update((size_id, tuple(places[size_id])) for size_id in missing)

    def alike(self, size_id: str, likely: frozenset[str]) -> frozenset[str]:
        """Return the size itself, and those likely ones that it may replace by what no seat decides."""
        looked_at, found = self._alike.get(size_id, (frozenset(), frozenset()))
        fresh = likely - looked_at
        if fresh:
            found |= {other for other in fresh if self._is_alike(size_id, other)}
            self._alike[size_id] = (looked_at | fresh, found)
            self._pairs += len(fresh)
        return found & likely | {size_id}

    def fits(self, part: Candidate, of_size: str) -> bool:
        """Return whether a part fits in place of a size alike, both of which must have been read."""
        if part[0] == of_size and not self._places_of[of_size]:
            return True
        key = (part, of_size)
        if key not in self._fits:
            self._fits[key] = self._judge(part, of_size)
        return self._fits[key]

    def _is_alike(self, size_id: str, other: str) -> bool:
        mine, its = self._values[size_id], self._values[other]
        return agrees(self._kind, its, mine, self._judged_in_seats) and may_share_seat(self._kind, mine, its)

    def _judge(self, part: Candidate, of_size: str) -> bool:
        """Judge as `judge_in_place` does: every seat takes the part, the sizes agree in all that the first
        seat says nothing of."""
        places = self._places_of[of_size]
        if part not in self._pieces:
            self._pieces[part] = Piece.of(self._kind, self._values[part[0]], part[1])
        piece = self._pieces[part]
        if not places or not all(self._goes(piece, place) for place in places):
            return False
        replaced, values = self._values[of_size], self._values[part[0]]
        return agrees(self._kind, replaced, values) or agrees(
            self._kind, replaced, values, told_of(self._kind, piece, places[0])
        )

    def _goes(self, piece: Piece, place: Place) -> bool:
        key = (piece, place)
        if key not in self._goes_in:
            self._goes_in[key] = goes_in(self._kind, piece, place)
        return self._goes_in[key]


def likely_sizes(sizes: Mapping[str, float]) -> tuple[str, ...]:
    """Return the most probable sizes, all but `LEFT_OUT` of the mass, but `MOST_SIZES` at most."""
    ordered = sorted(sizes, key=lambda size_id: -sizes[size_id])[:MOST_SIZES]
    left = sum(sizes.values())
    for count, size_id in enumerate(ordered):
        if left <= LEFT_OUT:
            return tuple(ordered[:count])
        left -= sizes[size_id]
    return tuple(ordered)
