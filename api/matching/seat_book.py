"""In which seats the sizes of a kind are listed, and which parts were judged to fit there so far."""

import math
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from typing import Final, Protocol

from api.fit.judging.reasons import grade_of
from api.interchange.judge_part import judge_in_place
from api.interchange.near_sizes import may_share_seat
from api.interchange.seat_features import PartFacts, SizeValues
from api.interchange.seats import Seat
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
        likely = likely_sizes(sizes)
        own = {size_id for size_id, _ in parts}
        if self._kept.are_full:
            self._kept = _Pages(self._kind)
        pages = self._kept  # one object throughout: another thread may begin anew meanwhile
        pages.read({*likely, *own}, source)
        near = {size_id: pages.near(size_id, likely) for size_id in own}
        return {
            part: min(math.fsum(sizes.get(one, 0.0) for one in near[part[0]] if pages.fits(part, one)), 1.0)
            for part in parts
        }


class _Pages:
    """What was read and judged; entries are only ever added."""

    def __init__(self, kind: str) -> None:
        self._kind = kind
        self._values: dict[str, SizeValues] = {}
        self._seats_of: dict[str, tuple[Seat, ...]] = {}
        self._goes_in: dict[tuple[str, PartFacts, Seat], bool] = {}
        self._judged: dict[tuple[str, PartFacts, str], bool] = {}
        self._may_share: dict[tuple[str, str], bool] = {}

    @property
    def are_full(self) -> bool:
        """Return whether so much is kept that it is better begun anew."""
        return len(self._values) > MOST_KEPT or len(self._may_share) > 50 * MOST_KEPT

    def near(self, size_id: str, likely: Iterable[str]) -> list[str]:
        """Return the likely sizes in whose seats a part of a size may fit, and the size itself."""
        found = [size_id]
        for other in likely:
            if other == size_id or not self._seats_of[other]:
                continue
            pair = (size_id, other)
            if pair not in self._may_share:
                self._may_share[pair] = may_share_seat(self._kind, self._values[size_id], self._values[other])
            if self._may_share[pair]:
                found.append(other)
        return found

    def read(self, size_ids: Collection[str], source: Source) -> None:
        """Read values and seats of the sizes that are not known yet."""
        missing = [size_id for size_id in size_ids if size_id not in self._seats_of]
        if not missing:
            return
        self._values.update(source.values(missing))
        seats: dict[str, dict[Seat, None]] = defaultdict(dict)
        for listed in source.seats(missing):
            seats[listed.size_id][listed.seat] = None
        self._seats_of.update((size_id, tuple(seats[size_id])) for size_id in missing)

    def fits(self, part: Candidate, of_size: str) -> bool:
        """Return whether a part fits in place of a size, which must have been read."""
        size_id, facts = part
        if size_id == of_size and not self._seats_of[size_id]:
            return True
        key = (size_id, facts, of_size)
        if key not in self._judged:
            self._judged[key] = self._judge(part, of_size)
        return self._judged[key]

    def _judge(self, part: Candidate, of_size: str) -> bool:
        """Judge as interchange does, once every seat that the size is listed for takes the part."""
        seats = self._seats_of[of_size]
        if not seats or not all(self._goes(part, seat) for seat in seats):
            return False
        sizes = (self._values[of_size], self._values[part[0]])
        return judge_in_place(self._kind, "look_alike", sizes, part[1], seats).grade == "fits"

    def _goes(self, part: Candidate, seat: Seat) -> bool:
        key = (*part, seat)
        if key not in self._goes_in:
            self._goes_in[key] = grade_of(seat.judge(self._values[part[0]], part[1])) == "fits"
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
