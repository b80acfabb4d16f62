"""A part in place of another: judged in every seat that the other is listed for, and so directed."""

import pytest
from bench import BUSH, BUSH_SEAT, DRIVE, DRIVE_SEAT, Said, family, position, size

from api.interchange.judge_part import judge_in_place
from api.interchange.reasons import Judgement
from api.interchange.seat_features import ANY_PART, PartFacts
from api.interchange.seats import Seat

ALUMINIUM: dict[str, Said] = {**BUSH_SEAT, "housing_material": "aluminium"}
DEEP: dict[str, Said] = {**BUSH_SEAT, "housing_depth": (12.2, 12.6)}
SHALLOW: dict[str, Said] = {**BUSH_SEAT, "housing_depth": (10.0, 10.4)}
SHORT: dict[str, Said] = {**BUSH, "length": (9.89, 9.99)}


def bush_seat(**changes: Said) -> Seat:
    return Seat.of(family(), position("drive_end_bushing", "bushing", **{**BUSH_SEAT, **changes}))


def in_place(
    reference: dict[str, Said], candidate: dict[str, Said], *seats: Seat, part: PartFacts = ANY_PART
) -> Judgement:
    return judge_in_place("bushing", "look_alike", (size(**reference), size(**candidate)), part, seats)


def test_a_shorter_bush_stands_in_for_a_longer_one_and_not_the_other_way_round() -> None:
    """The longer stands out of a shallow blind seat; the shorter fills four fifths of a deep one."""
    deep = Seat.of(family(), position("drive_end_bushing", "bushing", **DEEP))
    assert in_place(BUSH, SHORT, deep).grade == "fits"
    shallow = Seat.of(family(), position("drive_end_bushing", "bushing", **SHALLOW))
    assert in_place(SHORT, BUSH, shallow).grade == "does_not_fit"


def test_nothing_fits_where_no_seat_is_known() -> None:
    judged = in_place(BUSH, BUSH)
    assert judged.grade == "unknown"
    assert judged.reasons[0].dimension == "seat"


def test_the_worst_seat_decides() -> None:
    wide = bush_seat(shaft_diameter=(12.300, 12.318))
    judged = in_place(BUSH, BUSH, bush_seat(), wide)
    assert judged.grade == "unknown"
    assert "1 of the 2" in judged.reasons[0].text


@pytest.mark.parametrize(
    ("material", "grade"),
    [
        ("tin bronze, porous", "fits"),
        ("Tin bronze, porous", "fits"),
        ("iron and graphite, porous", "unknown"),  # grows half as much as the aluminium around it
        (None, "unknown"),  # it may be either
        ("brass of some sort", "unknown"),
    ],
)
def test_what_a_bush_is_made_of_decides_whether_it_holds_hot_in_aluminium(
    material: str | None, grade: str
) -> None:
    tight = {**BUSH, "outside_diameter": (16.026, 16.034)}
    seat = bush_seat(housing_material="aluminium")
    assert in_place(tight, tight, seat, part=PartFacts(None, material)).grade == grade


def test_a_drive_for_the_other_rotation_never_stands_in() -> None:
    other: dict[str, Said] = {**DRIVE, "rotation": "counter_clockwise", "helix_hand": "left"}
    seats = [Seat.of(family(), position("drive_clutch", "drive_clutch", **DRIVE_SEAT))]
    judged = judge_in_place("drive_clutch", "look_alike", (size(**DRIVE), size(**other)), ANY_PART, seats)
    assert judged.grade == "does_not_fit"


@pytest.mark.parametrize(
    "feature", ["shaft_diameter", "travel", "rest_clearance", "spline_count", "helix_lead"]
)
def test_a_drive_fits_only_where_shaft_and_travel_are_known(feature: str) -> None:
    known = {name: told for name, told in DRIVE_SEAT.items() if name != feature}
    whole = Seat.of(family(), position("drive_clutch", "drive_clutch", **DRIVE_SEAT))
    partly = Seat.of(family(), position("drive_clutch", "drive_clutch", **known))
    pair = (size(**DRIVE), size(**DRIVE))
    assert judge_in_place("drive_clutch", "same_size", pair, ANY_PART, [whole]).grade == "fits"
    assert judge_in_place("drive_clutch", "same_size", pair, ANY_PART, [partly]).grade == "unknown"


def test_seats_of_families_that_differ_in_what_decides_no_fit_are_one() -> None:
    place = position("drive_end_bushing", "bushing", **BUSH_SEAT)
    one, other = family(code="T12-01", rated_power_w=900), family(code="T12-02", rated_power_w=1400)
    assert Seat.of(one, place) == Seat.of(other, place)
    assert Seat.of(one, place) != Seat.of(family(voltage=24), place)


def test_the_part_s_own_voltage_counts_in_every_seat() -> None:
    judged = in_place(BUSH, BUSH, bush_seat(), part=PartFacts(24, None))
    assert judged.grade == "does_not_fit"
