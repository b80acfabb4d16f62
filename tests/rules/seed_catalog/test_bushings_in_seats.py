"""Every listed bushing runs on its shaft, presses into its housing and is no longer than its seat."""

from collections import Counter

from seed_seats import Seat, of_kind

MM = 1_000_000
# Our judgement, wide of the 1.5 per mille of bore that a guide to self-lubricating bearings asks for:
# a free bush runs with 0.01 to 0.12 mm on its shaft, before pressing closes it in.
LEAST_CLEARANCE_NM = MM // 100
GREATEST_CLEARANCE_NM = 12 * MM // 100
# Our judgement: more than 0.08 mm crushes a thin bush rather than holding it.
GREATEST_INTERFERENCE_NM = 8 * MM // 100
# Lamé for a bush in aluminium as thick as a starter's end cap: the bore closes by at most 0.7 of the
# interference (46 to 67 per cent computed for walls of 2 mm in rings of 24 mm and more).
CLOSE_IN = 0.7


def test_bores_run_on_the_shafts_of_their_families(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "bushing"):
        shaft_lower, shaft_upper = seat.seat_nm("shaft_diameter")
        bore_lower, bore_upper = seat.size_nm("bore")
        assert bore_lower - shaft_upper >= LEAST_CLEARANCE_NM, seat
        assert bore_upper - shaft_lower <= GREATEST_CLEARANCE_NM, seat


def test_outside_diameters_press_into_the_housing_bores(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "bushing"):
        housing_lower, housing_upper = seat.seat_nm("housing_bore")
        outside_lower, outside_upper = seat.size_nm("outside_diameter")
        assert outside_lower > housing_upper, seat
        assert outside_upper - housing_lower <= GREATEST_INTERFERENCE_NM, seat


def test_a_bush_still_runs_after_pressing_closes_it_in(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "bushing"):
        _, shaft_upper = seat.seat_nm("shaft_diameter")
        housing_lower, _ = seat.seat_nm("housing_bore")
        bore_lower, _ = seat.size_nm("bore")
        _, outside_upper = seat.size_nm("outside_diameter")
        closed = bore_lower - CLOSE_IN * (outside_upper - housing_lower)
        assert closed > shaft_upper, seat


def test_bushes_are_no_longer_than_their_seats_and_fill_most_of_them(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "bushing"):
        depth_lower, _ = seat.seat_nm("housing_depth")
        length_lower, length_upper = seat.size_nm("length")
        assert length_upper <= depth_lower, seat
        assert length_lower >= depth_lower * 3 // 4, seat


def test_walls_have_thickness_and_flanges_stand_out(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "bushing"):
        _, bore_upper = seat.size_nm("bore")
        outside_lower, outside_upper = seat.size_nm("outside_diameter")
        assert outside_lower - bore_upper >= 2 * MM, seat
        if seat.applies("flange_diameter"):
            assert seat.size_nm("flange_diameter")[0] > outside_upper + MM, seat
            assert seat.size_nm("flange_thickness")[1] < seat.size_nm("length")[0], seat


def test_blind_seats_take_plain_bushes_only(seats: list[Seat]) -> None:
    blind = 0
    for seat in of_kind(seats, "bushing"):
        form = seat.position.feature("housing_bore_form").text
        assert form in {"through", "blind"}, seat
        if form == "blind":
            blind += 1
            assert not seat.applies("flange_diameter"), seat
    assert blind


def test_journals_step_down_towards_the_end_that_is_pressed_in_first(seats: list[Seat]) -> None:
    # A drive goes onto the shaft over the drive-end journal, which therefore is no thicker.
    drives = {seat.family.code: seat for seat in of_kind(seats, "drive_clutch")}
    compared = 0
    for seat in of_kind(seats, "bushing"):
        if seat.position.code == "drive_end_bushing" and seat.family.code in drives:
            compared += 1
            drive = drives[seat.family.code]
            assert drive.size_nm("shaft_bore")[0] > seat.seat_nm("shaft_diameter")[1], seat
    assert compared


def test_families_come_in_millimetres_and_in_inches(seats: list[Seat]) -> None:
    inch_nm = 25_400_000
    thirds = Counter(seat.size_nm("length")[0] % (inch_nm // 1000) == 0 for seat in of_kind(seats, "bushing"))
    assert thirds[True] >= 20
    assert thirds[False] >= 20
