"""Brush sets match the count, voltage and holders of the families that they are listed for."""

from collections import defaultdict

from seed_seats import Seat, of_kind

from api.exchange.catalogue import Catalogue
from api.wear_parts.entries import PartEntry, SizeEntry


def test_a_set_holds_as_many_brushes_as_the_family(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "brush_set"):
        assert seat.count("brush_count") == seat.family.brush_count, seat


def test_the_voltage_of_a_set_is_that_of_the_family(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "brush_set"):
        assert seat.count("rated_voltage") == seat.family.voltage, seat


def test_no_grade_serves_both_voltages(sizes: dict[str, SizeEntry]) -> None:
    voltages = defaultdict(set)
    for size in sizes.values():
        if size.kind == "brush_set":
            voltages[size.value("grade").choice].add(size.value("rated_voltage").count)
    assert set().union(*voltages.values()) == {12, 24}
    assert all(len(found) == 1 for found in voltages.values()), voltages


def test_one_size_of_brush_comes_in_a_12_v_and_a_24_v_grade(sizes: dict[str, SizeEntry]) -> None:
    voltages = defaultdict(set)
    for size in sizes.values():
        if size.kind == "brush_set":
            bounds = tuple(size.value(name).lower_nm for name in ("thickness", "width", "length"))
            voltages[bounds].add(size.value("rated_voltage").count)
    assert sum(found == {12, 24} for found in voltages.values()) >= 2


def test_parts_state_the_voltage_of_their_size(catalogue: Catalogue, sizes: dict[str, SizeEntry]) -> None:
    brushes: list[PartEntry] = [entry for entry in catalogue.parts if entry.kind == "brush_set"]
    assert brushes
    for part in brushes:
        assert part.voltage == sizes[part.size].value("rated_voltage").count, part.key
        assert part.grade, part.key


def test_brushes_slide_in_their_holders(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "brush_set"):
        for dimension in ("thickness", "width"):
            assert seat.size_nm(dimension)[1] < seat.seat_nm(f"holder_{dimension}")[0], seat
