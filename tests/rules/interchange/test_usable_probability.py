"""Usable probability: the sizes that a part fits in place of, as interchange judges it."""

from collections.abc import Collection
from concurrent.futures import ThreadPoolExecutor

import pytest
from bench import BUSH, BUSH_SEAT, Said, family, position, size

from api.interchange.seat_features import ANY_PART, PartFacts, SizeValues
from api.interchange.seats import Seat
from api.interchange.stored_seats import ListedSeat
from api.matching.index.seat_book import MOST_SIZES, SeatBook, likely_sizes

SHORT: dict[str, Said] = {**BUSH, "length": (9.89, 9.99)}
SIZES = {"deep": size(**BUSH), "short": size(**SHORT), "wide": size(**{**BUSH, "bore": (12.9, 12.92)})}


def seat(depth: tuple[float, float]) -> Seat:
    told: dict[str, Said] = {**BUSH_SEAT, "housing_depth": depth}
    return Seat.of(family(), position("drive_end_bushing", "bushing", **told))


class Book:
    """What the seats are read from; it notes what it was asked for."""

    def __init__(self) -> None:
        self.asked: list[str] = []

    def values(self, size_ids: Collection[str]) -> dict[str, SizeValues]:
        self.asked.extend(size_ids)
        return {size_id: SIZES[size_id] for size_id in size_ids}

    def seats(self, size_ids: Collection[str]) -> list[ListedSeat]:
        listed = [
            ListedSeat("deep", "F-1", seat((12.2, 12.6))),
            ListedSeat("short", "F-2", seat((10.0, 10.4))),
        ]
        return [one for one in listed if one.size_id in size_ids]


def usable(probability: list[float], size_id: str, part: PartFacts = ANY_PART) -> float:
    sizes = dict(zip(SIZES, probability, strict=True))
    return SeatBook("bushing").usable_probabilities(sizes, {(size_id, part)}, Book())[size_id, part]


def test_the_shorter_bush_serves_both_seats_and_the_longer_one_its_own() -> None:
    assert usable([0.6, 0.3, 0.05], "short") == pytest.approx(0.9)
    assert usable([0.6, 0.3, 0.05], "deep") == pytest.approx(0.6)


def test_a_size_that_is_listed_nowhere_is_fit_by_itself_alone() -> None:
    assert usable([0.6, 0.3, 0.05], "wide") == pytest.approx(0.05)


def test_a_part_of_another_voltage_is_usable_for_no_size_not_even_its_own() -> None:
    assert usable([0.6, 0.3, 0.05], "short", PartFacts(24, None)) == 0.0


def test_improbable_sizes_are_left_out_and_its_own_never_is() -> None:
    assert usable([1 - 1e-9, 1e-10, 0.0], "short") == pytest.approx(1.0)
    assert usable([1 - 1e-9, 1e-10, 0.0], "deep") == pytest.approx(1.0)
    assert usable([0.0, 0.0, 0.0], "short") == 0.0


def test_what_is_known_is_read_and_judged_once() -> None:
    seats, book = SeatBook("bushing"), Book()
    for _ in range(3):
        seats.usable_probabilities({"deep": 0.5, "short": 0.4, "wide": 0.1}, {("short", ANY_PART)}, book)
    assert sorted(book.asked) == ["deep", "short", "wide"]


def test_of_many_sizes_the_most_probable_are_looked_at() -> None:
    sizes = {f"size {place}": 1.0 / (place + 10) ** 2 for place in range(200)}
    assert likely_sizes(sizes) == tuple(f"size {place}" for place in range(MOST_SIZES))


def test_threads_may_use_one_book_while_it_is_begun_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("api.matching.index.seat_book.MOST_KEPT", 1)
    seats, book = SeatBook("bushing"), Book()
    sizes = dict(zip(SIZES, (0.6, 0.3, 0.05), strict=True))

    def ask(place: int) -> float:
        size_id = ("deep", "short", "wide")[place % 3]
        return seats.usable_probabilities(sizes, {(size_id, ANY_PART)}, book)[size_id, ANY_PART]

    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(ask, range(300)))
    assert found == pytest.approx([0.6, 0.9, 0.05] * 100)
