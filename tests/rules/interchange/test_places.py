"""Seats and parts as a search takes them: the same grades as with words, judged only as far as needed."""

from collections.abc import Iterator, Mapping

import pytest
from bench import (
    BRUSH,
    BRUSH_SEAT,
    BUSH,
    BUSH_SEAT,
    CAP,
    DISC,
    DISC_SEAT,
    DRIVE,
    DRIVE_SEAT,
    PLATE,
    Said,
    family,
    position,
    size,
)

from api.fit.judging.reasons import grade_of
from api.interchange.compare_sizes import agrees, compare_sizes, missing_dimensions
from api.interchange.judge_part import judge_in_place
from api.interchange.near_sizes import may_share_seat
from api.interchange.places import Piece, Place, goes_in, judged_dimensions, told_of
from api.interchange.seat_features import PartFacts
from api.interchange.seats import Seat
from api.interchange.stored_seats import ListedSeat
from api.matching.index.seat_book import SeatBook, likely_sizes

KINDS: dict[str, tuple[str, str, dict[str, Said], dict[str, Said]]] = {
    "bush": ("bushing", "drive_end_bushing", BUSH, BUSH_SEAT),
    "brush": ("brush_set", "brush_set", BRUSH, BRUSH_SEAT),
    "brush with a lead to reach": (
        "brush_set",
        "brush_set",
        BRUSH,
        {**BRUSH_SEAT, "lead_reach": (27.0, 27.5)},
    ),
    "plate": ("contact", "battery_side_contact", PLATE, CAP),
    "disc": ("contact", "contact_disc", DISC, DISC_SEAT),
    "drive": ("drive_clutch", "drive_clutch", DRIVE, DRIVE_SEAT),
}
PARTS = (PartFacts(), PartFacts(12, "tin bronze, porous"), PartFacts(24, "iron and graphite, porous"))


def variants(said: dict[str, Said]) -> Iterator[dict[str, Said]]:
    """Yield what is said, and the same with each thing left out, not applying, or a little or much other."""
    yield said
    for name, told in said.items():
        yield {other: value for other, value in said.items() if other != name}
        if isinstance(told, tuple):
            for shift in (-1.0, -0.05, -0.01, 0.01, 0.05, 1.0):
                yield {**said, name: (told[0] + shift, told[1] + shift)}
            yield {**said, name: (told[0] + 0.001, told[1] - 0.001)}
        elif isinstance(told, int):
            yield {**said, name: told + 1}
        elif isinstance(told, str):
            yield {**said, name: {"blind": "through", "M8x1.25": "5/16-18"}.get(told, told)}


def seats_of(kind: str, code: str, said: dict[str, Said]) -> list[Seat]:
    return [Seat.of(family(), position(code, kind, **told)) for told in variants(said)]


@pytest.mark.parametrize("which", KINDS)
def test_a_part_goes_into_a_place_where_every_reason_of_its_seat_fits(which: str) -> None:
    kind, code, said, stated = KINDS[which]
    sizes = [size(**told) for told in variants(said)]
    whole = Seat.of(family(), position(code, kind, **stated))
    pairs = [(whole, one) for one in sizes] + [(seat, sizes[0]) for seat in seats_of(kind, code, stated)]
    found = set()
    for seat, one in pairs:
        for part in PARTS:
            reasons = seat.judge(one, part)
            piece, place = Piece.of(kind, one, part), Place.of(seat)
            found.add(grade_of(reasons) == "fits")
            assert goes_in(kind, piece, place) == (grade_of(reasons) == "fits")
            told = {reason.dimension for reason in reasons} - {"voltage"}
            assert told_of(kind, piece, place) == told <= judged_dimensions(kind)
    assert found == {True, False}


@pytest.mark.parametrize("which", KINDS)
def test_sizes_agree_where_every_reason_of_their_comparison_fits(which: str) -> None:
    kind, _, said, _ = KINDS[which]
    one = size(**said)
    for other in (size(**told) for told in variants(said)):
        for reference, candidate in ((one, other), (other, one)):
            reasons = compare_sizes(kind, reference, candidate)
            assert agrees(kind, reference, candidate) == (grade_of(reasons) == "fits")
            left = [reason for reason in reasons if reason.dimension not in judged_dimensions(kind)]
            fits = all(reason.verdict == "fits" for reason in left)
            assert agrees(kind, reference, candidate, judged_dimensions(kind)) == fits
        assert agrees(kind, other, other) == (not missing_dimensions(kind, other))


@pytest.mark.parametrize("which", KINDS)
def test_a_search_sums_the_sizes_in_whose_seats_interchange_grades_the_part_fits(which: str) -> None:
    kind, code, said, stated = KINDS[which]
    sizes = {f"size {place}": size(**told) for place, told in enumerate(variants(said))}
    seats = seats_of(kind, code, stated)
    listed = {
        size_id: [seats[0], seats[place % len(seats)]][: 1 + place % 2] for place, size_id in enumerate(sizes)
    }

    class Book:
        def values(self, size_ids: object) -> Mapping[str, object]:
            return sizes

        def seats(self, size_ids: object) -> list[ListedSeat]:
            return [ListedSeat(one, "F", seat) for one in size_ids for seat in listed[one]]  # type: ignore[attr-defined]  # a list

    share = 1 / len(sizes)
    for part in PARTS:
        asked = [(size_id, part) for size_id in sizes]
        usable = SeatBook(kind).usable_probabilities(dict.fromkeys(sizes, share), asked, Book())  # type: ignore[arg-type]  # as typed
        for size_id, values in sizes.items():
            graded = [
                judge_in_place(kind, "look_alike", (sizes[other], values), part, listed[other]).grade
                for other in {*likely_sizes(dict.fromkeys(sizes, share)), size_id}
                if may_share_seat(kind, values, sizes[other])
            ]
            assert usable[size_id, part] == pytest.approx(share * graded.count("fits"))
