"""Usable probability: the sizes that a part fits in place of, as interchange judges it."""

from collections.abc import Collection

import numpy as np
import pytest
from bench import BUSH, BUSH_SEAT, Said, family, position, size

from api.interchange.seat_features import ANY_PART, PartFacts, SizeValues
from api.interchange.seats import Seat
from api.interchange.stored_seats import ListedSeat
from api.matching.seat_book import SeatBook

SHORT: dict[str, Said] = {**BUSH, "length": (9.89, 9.99)}
SIZES = {0: size(**BUSH), 1: size(**SHORT), 2: size(**{**BUSH, "bore": (12.9, 12.92)})}
ROWS = {"deep": 0, "short": 1, "wide": 2}


def seat(depth: tuple[float, float]) -> Seat:
    told: dict[str, Said] = {**BUSH_SEAT, "housing_depth": depth}
    return Seat.of(family(), position("drive_end_bushing", "bushing", **told))


def book() -> SeatBook:
    listed = [ListedSeat("deep", "F-1", seat((12.2, 12.6))), ListedSeat("short", "F-2", seat((10.0, 10.4)))]
    return SeatBook("bushing", listed, ROWS)


def usable(probability: list[float], row: int, part: PartFacts = ANY_PART) -> float:
    told = book().usable_probabilities(np.array(probability), {(row, part)}, fetch)
    return told[row, part]


def fetch(rows: Collection[int]) -> dict[int, SizeValues]:
    return {row: SIZES[row] for row in rows}


def test_the_shorter_bush_serves_both_seats_and_the_longer_one_its_own() -> None:
    assert usable([0.6, 0.3, 0.05], 1) == pytest.approx(0.9)
    assert usable([0.6, 0.3, 0.05], 0) == pytest.approx(0.6)


def test_a_size_that_is_listed_nowhere_is_fit_by_itself_alone() -> None:
    assert usable([0.6, 0.3, 0.05], 2) == pytest.approx(0.05)


def test_a_part_of_another_voltage_is_usable_for_no_size_not_even_its_own() -> None:
    assert usable([0.6, 0.3, 0.05], 1, PartFacts(24, None)) == 0.0


def test_improbable_sizes_are_left_out_and_its_own_never_is() -> None:
    assert usable([1 - 1e-9, 1e-10, 0.0], 1) == pytest.approx(1.0)
    assert usable([1 - 1e-9, 1e-10, 0.0], 0) == pytest.approx(1.0)
    assert usable([0.0, 0.0, 0.0], 1) == 0.0


def test_what_is_known_is_read_and_judged_once() -> None:
    asked: list[int] = []

    def counting(rows: Collection[int]) -> dict[int, SizeValues]:
        asked.extend(rows)
        return fetch(rows)

    seats = book()
    for _ in range(3):
        seats.usable_probabilities(np.array([0.5, 0.4, 0.1]), {(1, ANY_PART)}, counting)
    assert sorted(asked) == [0, 1, 2]
