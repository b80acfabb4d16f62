"""From the body of an inspection to what was read: instruments, diameters, repeats, numbers, limits."""

from typing import Any, get_args

import pytest
from inspection_bench import BOOK

from api.errors import InvalidInput
from api.inspection import shapes
from api.inspection.bench_readings import BenchPlace
from api.inspection.read_request import read_inspection
from api.inspection.shapes import BenchReadingsRequest, InspectionRequest, PlaceName
from api.inspection.vocabulary import FEATURES, LOOKED_OF, PLACES
from api.measurement.instrument_data import read_instruments
from api.travelling import travelling

INSTRUMENTS = read_instruments((travelling("seed_catalog") / "instruments.toml").read_text("utf-8"))


def read(position: str, readings: dict[str, Any], **more: Any) -> BenchPlace:
    body = {"positions": [{"position": position, "readings": readings}], **more}
    (place,) = read_inspection(InspectionRequest.model_validate(body), None, BOOK, INSTRUMENTS)
    return place


def refused(position: str, readings: dict[str, Any], **more: Any) -> dict[tuple[str | int, ...], str]:
    with pytest.raises(InvalidInput) as found:
        read(position, readings, **more)
    return {one.path: one.code for one in found.value.faults}


def test_the_wire_knows_every_place_feature_and_choice() -> None:
    assert get_args(PlaceName) == PLACES
    assert set(BenchReadingsRequest.model_fields) == set(FEATURES)
    for code, looked in LOOKED_OF.items():
        named = getattr(shapes, code.capitalize())
        assert get_args(named) == tuple(one.code for one in looked.choices)


def test_a_bare_length_is_read_by_the_usual_instrument() -> None:
    """Digital caliper outside, DIN 862: 20 um and steps of 0.01 mm give 11.9 um (JCGM 100). The dial
    indicator's 17 um are from memory."""
    length = read("brush_set", {"length": "11 mm"}).readings[0].pieces[0]
    assert length.known.u == pytest.approx(11_902, abs=1)
    run_out = read("commutator", {"run_out": "0.05 mm"}).readings[0].pieces[0]
    assert run_out.known.u == pytest.approx((17_000**2 / 3 + 10_000**2 / 12) ** 0.5)


def test_two_diameters_of_a_bore_give_the_greatest_and_how_oval_it_is() -> None:
    place = read(
        "drive_end_bushing", {"bore": ["12.60 mm", "12.66 mm"], "journal_diameter": ["12.45 mm", "12.44 mm"]}
    )
    bore, journal, oval = place.reading("bore"), place.reading("journal_diameter"), place.reading("oval")
    assert bore is not None and journal is not None and oval is not None
    assert (bore.pieces[0].known.middle, bore.diameters) == (12_660_000, 2)
    assert journal.pieces[0].known.middle == 12_440_000
    assert oval.pieces[0].known.middle == 60_000
    assert oval.pieces[0].known.u == pytest.approx(bore.pieces[0].known.u * 2**0.5)


def test_repeats_that_agree_are_averaged_and_others_are_diameters() -> None:
    close = read("drive_end_bushing", {"bore": {"text": "12.60 mm", "repeats": ["12.62 mm"]}})
    assert close.readings[0].pieces[0].known.middle == 12_610_000
    assert close.reading("oval") is None
    apart = read("drive_end_bushing", {"bore": {"text": "12.60 mm", "repeats": ["12.80 mm"]}})
    assert apart.readings[0].pieces[0].known.middle == 12_800_000
    assert apart.readings[0].repeats_disagree
    assert apart.reading("oval") is not None


def test_a_stated_ovality_stands() -> None:
    place = read("drive_end_bushing", {"bore": ["12.6 mm", "12.7 mm"], "oval": "0.02 mm"})
    assert [one.feature for one in place.readings] == ["bore", "oval"]
    assert place.readings[1].pieces[0].known.middle == 20_000


def test_none_is_nothing_and_as_uncertain_as_its_instrument() -> None:
    undercut = read("commutator", {"undercut": "None"}).readings[0].pieces[0]
    assert undercut.known.middle == 0
    assert undercut.known.u > 10_000
    assert refused("brush_set", {"length": "none"}) == {("positions", 0, "readings", "length"): "unreadable"}


def test_limits_are_taken_as_a_range() -> None:
    piece = read("brush_set", {"length": "11.0..11.4 mm"}).readings[0].pieces[0]
    assert (piece.known.middle, piece.known.widths, piece.known.u) == (11_200_000, (400_000.0,), 0.0)


def test_each_piece_of_a_list_is_read() -> None:
    place = read("brush_set", {"length": ["11 mm", {"text": "12 mm", "instrument": "outside_micrometer"}]})
    assert len(place.readings[0].pieces) == 2
    found = refused("brush_set", {"length": ["11 mm", "12 N", {"text": "1 mm", "instrument": "bore_gauge"}]})
    assert found == {
        ("positions", 0, "readings", "length", 1): "unknown_unit",
        ("positions", 0, "readings", "length", 2, "instrument"): "cannot_measure",
    }


def test_numbers_take_the_error_of_their_instrument_or_the_callers() -> None:
    """A spring balance's 5 % is our judgement: 0.05 x 20 / sqrt(3) = 0.577 N."""
    plain = read("brush_set", {"spring_force_newtons": 20}).readings[0].pieces[0]
    assert plain.known.u == pytest.approx(0.57735, abs=1e-5)
    repeated = (
        read("brush_set", {"spring_force_newtons": {"value": 19.0, "repeats": [21.0]}}).readings[0].pieces[0]
    )
    assert repeated.known.middle == 20.0
    assert repeated.known.u == pytest.approx((0.57735**2 + 1.0) ** 0.5, abs=1e-4)
    own = (
        read("brush_set", {"spring_force_newtons": {"value": 20.0, "uncertainty": 0.2}}).readings[0].pieces[0]
    )
    assert own.known.u == 0.2
    only_repeats = (
        read("brush_set", {"spring_force_newtons": {"repeats": [20.0, 20.0]}}).readings[0].pieces[0]
    )
    assert only_repeats.known.middle == 20.0


@pytest.mark.parametrize(
    ("number", "place", "code"),
    [
        ({}, (), "missing"),
        ({"value": 3.0, "above": 2.0}, (), "missing"),
        ({"above": -1.0}, ("above",), "negative"),
        ({"value": 3.0, "repeats": [-1.0]}, ("repeats", 0), "negative"),
        ({"value": 3.0, "uncertainty": -0.1}, ("uncertainty",), "negative"),
        ({"value": 1e9}, ("value",), "out_of_range"),
    ],
)
def test_a_faulty_number_is_named(number: dict[str, Any], place: tuple[str | int, ...], code: str) -> None:
    found = refused("brush_set", {"spring_force_newtons": number})
    assert found == {("positions", 0, "readings", "spring_force_newtons", *place): code}


def test_values_when_new_may_be_exact_ranged_or_read() -> None:
    def new(value: Any) -> Any:
        body = {
            "positions": [
                {"position": "brush_set", "readings": {"length": "11 mm"}, "new": {"length": value}}
            ]
        }
        (place,) = read_inspection(InspectionRequest.model_validate(body), None, BOOK, INSTRUMENTS)
        return place.new["length"].known

    assert new("16 mm").u == 0
    assert new("15.7..16.3 mm").widths == (600_000.0,)
    assert new({"text": "16 mm", "instrument": "digital_caliper"}).u > 0


def test_faulty_values_when_new_are_named() -> None:
    body = {
        "positions": [
            {
                "position": "brush_set",
                "readings": {"length": "11 mm"},
                "new": {"length": "16", "bore": "12 mm", "spring_force_newtons": -1.0},
            }
        ]
    }
    with pytest.raises(InvalidInput) as found:
        read_inspection(InspectionRequest.model_validate(body), None, BOOK, INSTRUMENTS)
    at = ("positions", 0, "new")
    assert {one.path: one.code for one in found.value.faults} == {
        (*at, "length"): "no_unit",
        (*at, "bore"): "not_here",
        (*at, "spring_force_newtons"): "negative",
    }


@pytest.mark.parametrize(
    ("limit", "place", "code"),
    [
        ({"feature": "length", "least": 10.0}, ("least",), "wrong_type"),
        ({"feature": "length", "least": "10"}, ("least",), "no_unit"),
        ({"feature": "spring_force_newtons", "least": "18 N"}, ("least",), "wrong_type"),
        ({"feature": "spring_force_newtons", "least": -1.0}, ("least",), "negative"),
        ({"feature": "spring_force_newtons", "least": 24.0, "most": 18.0}, ("least",), "reversed"),
        ({"feature": "condition", "least": "1 mm"}, ("feature",), "not_here"),
        ({"feature": "length"}, (), "missing"),
    ],
)
def test_a_faulty_limit_of_the_caller_is_named(
    limit: dict[str, Any], place: tuple[str | int, ...], code: str
) -> None:
    found = refused("brush_set", {"length": "11 mm"}, limits=[{"position": "brush_set", **limit}])
    assert found == {("limits", 0, *place): code}


def test_a_limit_is_stated_once() -> None:
    limit = {"position": "brush_set", "feature": "length", "least": "10 mm"}
    assert refused("brush_set", {"length": "11 mm"}, limits=[limit, limit]) == {
        ("limits", 1, "feature"): "repeated"
    }


def test_a_bare_number_and_one_over_the_range_of_the_meter_are_taken() -> None:
    place = read("armature", {"resistance_to_ground_ohms": {"above": 2e7}})
    (piece,) = place.readings[0].pieces
    assert piece.above
    assert piece.known.middle == 2e7


def test_a_length_told_as_limits_or_none_is_taken() -> None:
    ranged = read("brush_set", {"length": "10..12 mm"}).readings[0].pieces[0]
    assert (ranged.known.middle, ranged.known.widths) == (11_000_000.0, (2_000_000.0,))
    step = read("battery_side_contact", {"step": "none"}).readings[0].pieces[0]
    assert step.known.middle == 0.0
    assert step.known.u > 0


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("12..10 mm", "reversed_range"),
        ("none", "unreadable"),
        ("1e3 mm", "exponent"),
        ("11 N", "unknown_unit"),
    ],
)
def test_a_faulty_length_is_named(value: str, code: str) -> None:
    assert refused("brush_set", {"length": value}) == {("positions", 0, "readings", "length"): code}
    assert refused("brush_set", {"length": ["11 mm", value]}) == {
        ("positions", 0, "readings", "length", 1): code
    }


def test_what_cannot_be_is_named() -> None:
    """A worn piece is no longer than when new, a bush's bore is less than the bore it sits in."""
    found = refused("drive_end_bushing", {"bore": "16.2 mm", "housing_bore": "16.0 mm"})
    assert found == {("positions", 0, "readings", "bore"): "impossible"}
    body = {
        "positions": [
            {"position": "commutator", "readings": {"diameter": "38 mm"}, "new": {"diameter": "32 mm"}}
        ]
    }
    with pytest.raises(InvalidInput) as caught:
        read_inspection(InspectionRequest.model_validate(body), None, BOOK, INSTRUMENTS)
    (fault,) = caught.value.faults
    assert (fault.path, fault.code) == (("positions", 0, "readings", "diameter"), "impossible")
    assert fault.expected == "no more than when new, 32.000 mm"


def test_a_feature_that_a_place_has_not_and_a_place_told_twice_are_named() -> None:
    found = refused("brush_set", {"bore": "12 mm"})
    assert found == {("positions", 0, "readings", "bore"): "not_here"}
    twice = {"positions": [{"position": "plunger", "readings": {"movement": "free"}}] * 2}
    with pytest.raises(InvalidInput) as caught:
        read_inspection(InspectionRequest.model_validate(twice), None, BOOK, INSTRUMENTS)
    assert [one.code for one in caught.value.faults] == ["repeated"]
