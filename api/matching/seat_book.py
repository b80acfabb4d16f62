"""In which seats the sizes of a kind are listed, and which parts were judged to fit there so far."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping

import numpy as np

from api.fit.reasons import grade_of
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
        number: dict[Seat, int] = {}
        of_row: dict[int, dict[int, None]] = defaultdict(dict)
        for one in listed:
            of_row[row_of_size[one.size_id]][number.setdefault(one.seat, len(number))] = None
        self._kind = kind
        self._seats = tuple(number)
        self._seats_of = {row: tuple(seats) for row, seats in of_row.items()}
        self._goes_in: dict[tuple[int, PartFacts, int], bool] = {}
        self._values: dict[int, SizeValues] = {}
        self._judged: dict[tuple[int, PartFacts, int], bool] = {}

    def usable_probabilities(
        self, size_probability: FloatArray, parts: Collection[Candidate], fetch: FetchValues
    ) -> dict[Candidate, float]:
        """Return for each part the sum of the probabilities of the sizes that it fits in place of.

        It fits where interchange grades it `fits`, in every seat that the size is listed for, its own size
        included: a porous iron bush may come loose where the bronze one of its size holds. A size that is
        listed nowhere has no seat; it stands in for itself alone.
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
        if row == of_row and row not in self._seats_of:
            return True
        key = (row, facts, of_row)
        if key not in self._judged:
            self._judged[key] = self._judge(part, of_row)
        return self._judged[key]

    def _judge(self, part: Candidate, of_row: int) -> bool:
        """Judge as interchange does, once every seat that the size is listed for takes the part."""
        numbers = self._seats_of.get(of_row, ())
        if not numbers or not all(self._goes(part, number) for number in numbers):
            return False
        sizes = (self._values[of_row], self._values[part[0]])
        seats = [self._seats[number] for number in numbers]
        return judge_in_place(self._kind, "look_alike", sizes, part[1], seats).grade == "fits"

    def _goes(self, part: Candidate, number: int) -> bool:
        key = (*part, number)
        if key not in self._goes_in:
            reasons = self._seats[number].judge(self._values[part[0]], part[1])
            self._goes_in[key] = grade_of(reasons) == "fits"
        return self._goes_in[key]


def _likely_rows(size_probability: FloatArray) -> tuple[int, ...]:
    """Return the most probable sizes, all but `LEFT_OUT` of the mass of the listed ones."""
    if not len(size_probability):
        return ()
    order = np.argsort(-size_probability, kind="stable")
    held = np.cumsum(size_probability[order])
    count = int(np.searchsorted(held, held[-1] - LEFT_OUT)) + 1
    return tuple(int(row) for row in order[:count])
