"""In which seats the sizes of a kind are listed, and which parts were judged to fit there so far."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping

import numpy as np

from api.interchange.judge_part import judge_in_place
from api.interchange.seat_features import PartFacts, SizeValues
from api.interchange.seats import Seat
from api.interchange.stored_seats import ListedSeat
from api.matching.density import FloatArray

LEFT_OUT = 1e-6
"""The least probable sizes, of this much together, are not looked at: the figure is too low by it at most."""

Candidate = tuple[int, PartFacts]
"""A part as far as fits go: the row of its size, and what it states itself."""

FetchValues = Callable[[Collection[int]], Mapping[int, SizeValues]]
"""Returns what sizes record, by row."""


class SeatBook:
    """The seats of every size of a kind, as of one version of the catalogue; every thread may use it.

    What was read or judged once is kept: neither changes within a version.
    """

    def __init__(self, kind: str, listed: Iterable[ListedSeat], row_of_size: Mapping[str, int]) -> None:
        of_row: dict[int, dict[Seat, None]] = defaultdict(dict)
        for one in listed:
            of_row[row_of_size[one.size_id]][one.seat] = None
        self._kind = kind
        self._seats = {row: tuple(seats) for row, seats in of_row.items()}
        self._values: dict[int, SizeValues] = {}
        self._judged: dict[tuple[int, PartFacts, int], bool] = {}

    def usable_probabilities(
        self, size_probability: FloatArray, parts: Collection[Candidate], fetch: FetchValues
    ) -> dict[Candidate, float]:
        """Return for each part the sum of the probabilities of the sizes that it fits in place of.

        It fits where interchange grades it `fits`, in every seat that the size is listed for; a size stands
        in for itself, and one that is listed nowhere has no seat that anything else could fit.
        """
        likely = _likely_rows(size_probability)
        self._read({*likely, *(row for row, _ in parts)}, fetch)
        return {
            part: min(
                sum(float(size_probability[row]) for row in {*likely, part[0]} if self._fits(part, row)), 1.0
            )
            for part in parts
        }

    def _read(self, rows: Collection[int], fetch: FetchValues) -> None:
        missing = [row for row in rows if row not in self._values]
        if missing:
            self._values.update(fetch(missing))

    def _fits(self, part: Candidate, of_row: int) -> bool:
        row, facts = part
        if row == of_row:
            return True
        key = (row, facts, of_row)
        if key not in self._judged:
            seats = self._seats.get(of_row, ())
            sizes = (self._values[of_row], self._values[row])
            grade = judge_in_place(self._kind, "look_alike", sizes, facts, seats).grade if seats else None
            self._judged[key] = grade == "fits"
        return self._judged[key]


def _likely_rows(size_probability: FloatArray) -> tuple[int, ...]:
    """Return the most probable sizes, all but `LEFT_OUT` of the mass of the listed ones."""
    if not len(size_probability):
        return ()
    order = np.argsort(-size_probability, kind="stable")
    held = np.cumsum(size_probability[order])
    count = int(np.searchsorted(held, held[-1] - LEFT_OUT)) + 1
    return tuple(int(row) for row in order[:count])
