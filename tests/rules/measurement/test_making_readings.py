"""Readings are made whole, or every fault in them is named."""

from pathlib import Path

import pytest

from api.errors import InvalidInput
from api.measurement.instrument_data import read_instruments
from api.measurement.raw_readings import RawReading, RawSetup
from api.measurement.readings import Reading, make_reading, make_readings

INSTRUMENTS = read_instruments(
    (Path(__file__).parents[3] / "seed_catalog" / "instruments.toml").read_text(encoding="utf-8")
)
SETUP = RawSetup()


def bore(raw: RawReading | str, setup: RawSetup = SETUP) -> Reading:
    reading = RawReading.of_text(raw) if isinstance(raw, str) else raw
    return make_reading("bore", "inside", reading, setup, INSTRUMENTS)


def faults_of(raw: RawReading | str, setup: RawSetup = SETUP) -> list[tuple[tuple[str | int, ...], str]]:
    with pytest.raises(InvalidInput) as refused:
        bore(raw, setup)
    return [(fault.path, fault.code) for fault in refused.value.faults]


def test_a_bare_text_is_read_by_the_assumed_digital_caliper() -> None:
    reading = bore("12.62 mm")
    assert reading == Reading(
        dimension="bore",
        nm=12_620_000,
        u_nm=pytest.approx(23_274, abs=1),
        text="12.62 mm",
        instrument="digital_caliper",
        single_u_nm=reading.u_nm,
        explained_nm=90_000,
    )


def test_a_reading_overrides_what_holds_for_all() -> None:
    setup = RawSetup(instrument="bore_gauge", unit="mm", surface="worn", state="free")
    raw = RawReading("12,62", instrument="plug_gauge", surface="unworn", state="installed")
    reading = bore(raw, setup)
    assert (reading.nm, reading.instrument, reading.surface, reading.state) == (
        12_620_000,
        "plug_gauge",
        "unworn",
        "installed",
    )
    assert bore("12,62", setup).instrument == "bore_gauge"
    assert bore("12,62", setup).instrument_named


def test_a_fraction_is_known_to_its_denominator_unless_an_instrument_is_named() -> None:
    assert bore("31/64 in").u_nm == pytest.approx(116_865, abs=20)  # 0.04 mm/sqrt(3) and 1/64 in/sqrt(12)
    assert bore("31/64 in", RawSetup(instrument="digital_caliper")).u_nm == pytest.approx(23_274, abs=1)


def test_repeats_beside_the_text_make_a_mean_with_it() -> None:
    reading = bore(RawReading("12.60 mm", repeats=("12.62 mm", "12.64 mm")))
    assert reading.nm == 12_620_000
    assert reading.repeats_nm == (12_600_000, 12_620_000, 12_640_000)
    assert reading.text == "12.60 mm"
    assert not reading.repeats_disagree
    assert reading.u_nm == pytest.approx(25_981, abs=1)  # hypot(23 274, 20 000/sqrt(3))
    assert reading.single_u_nm == pytest.approx(23_274, abs=1)  # sqrt(40 000**2/3 + 10 000**2/12)
    assert reading.explained_nm == 90_000  # twice the error and one step


def test_repeats_alone_are_read_too() -> None:
    reading = bore(RawReading(None, repeats=("12.60 mm", "12.64 mm")))
    assert (reading.nm, reading.text) == (12_620_000, "12.620 mm")


def test_an_oval_bore_is_reported_and_not_refused() -> None:
    assert bore(RawReading("12.60 mm", repeats=("12.80 mm",))).repeats_disagree


def test_a_stated_uncertainty_replaces_the_computed_one() -> None:
    reading = bore(RawReading("12.62 mm", uncertainty="0.005 mm", repeats=("12.66 mm",)))
    assert (reading.u_nm, reading.uncertainty_stated, reading.repeats_disagree) == (5_000.0, True, True)


def test_a_stated_uncertainty_also_holds_beyond_the_instruments_range() -> None:
    setup = RawSetup(instrument="plug_gauge")
    assert faults_of("60 mm", setup) == [(("readings", "bore"), "beyond_range")]
    assert bore(RawReading("60 mm", uncertainty="0.02 mm"), setup).u_nm == 20_000


@pytest.mark.parametrize(
    ("uncertainty", "code"),
    [
        ("0 mm", "zero"),
        ("-0.1 mm", "negative"),
        ("0.1", "no_unit"),
        ("10.000001 mm", "uncertainty_too_large"),
    ],
)
def test_an_uncertainty_is_above_zero_and_at_most_ten_millimetres(uncertainty: str, code: str) -> None:
    assert bore(RawReading("12.62 mm", uncertainty="10 mm")).u_nm == 10_000_000
    assert faults_of(RawReading("12.62 mm", uncertainty=uncertainty)) == [
        (("readings", "bore", "uncertainty"), code)
    ]


def test_an_instrument_that_cannot_measure_inside_is_a_fault_where_it_was_named() -> None:
    own = RawReading("12.62 mm", instrument="outside_micrometer")
    assert faults_of(own) == [(("readings", "bore", "instrument"), "cannot_measure")]
    for_all = RawSetup(instrument="outside_micrometer")
    assert faults_of("12.62 mm", for_all) == [(("readings", "bore"), "cannot_measure")]
    stated = RawReading("12.62 mm", uncertainty="0.01 mm")
    assert faults_of(stated, for_all) == [(("readings", "bore", "text"), "cannot_measure")]


def test_every_fault_of_a_reading_is_named_at_once() -> None:
    raw = RawReading(
        "12.62",
        instrument="digital_calliper",
        uncertainty="x",
        repeats=("12.6 mm", '12 mm"'),
        surface="wron",
        state="",
    )
    assert faults_of(raw) == [
        (("readings", "bore", "text"), "no_unit"),
        (("readings", "bore", "repeats", 1), "two_units"),
        (("readings", "bore", "uncertainty"), "unreadable"),
        (("readings", "bore", "surface"), "unknown"),
        (("readings", "bore", "state"), "unknown"),
        (("readings", "bore", "instrument"), "unknown"),
    ]


def test_a_faulty_value_does_not_hide_an_unsuitable_instrument() -> None:
    raw = RawReading("12.62", instrument="outside_micrometer")
    assert [code for _, code in faults_of(raw)] == ["no_unit", "cannot_measure"]


def test_a_reading_without_a_value_and_one_with_too_many_are_refused() -> None:
    assert faults_of(RawReading(None)) == [(("readings", "bore", "text"), "missing")]
    many = RawReading("12.6 mm", repeats=("12.6 mm",) * 21)
    assert faults_of(many) == [(("readings", "bore", "repeats"), "too_many")]


def test_unknown_words_are_answered_with_the_nearest_one() -> None:
    with pytest.raises(InvalidInput) as refused:
        bore(RawReading("12.62 mm", instrument="digital calliper"))
    assert refused.value.faults[0].nearest == "digital_caliper"


def test_the_readings_of_a_search_come_in_the_order_given() -> None:
    raws = {"length": RawReading.of_text("11.9"), "bore": RawReading.of_text("12.62")}
    readings = make_readings(raws, {"bore": "inside", "length": "outside"}, RawSetup(unit="mm"), INSTRUMENTS)
    assert [reading.dimension for reading in readings] == ["length", "bore"]


def test_the_faults_of_a_search_and_of_its_readings_are_named_together() -> None:
    raws = {"bore": RawReading.of_text("-1"), "length": RawReading("1/2 in", surface="x")}
    setup = RawSetup(instrument="digital", unit="mn", surface="y", state="z")
    ways = {"bore": "inside", "length": "outside"}
    with pytest.raises(InvalidInput) as refused:
        make_readings(raws, ways, setup, INSTRUMENTS, root=("searches", 3))
    assert [(fault.path[2:], fault.code) for fault in refused.value.faults] == [
        (("surface",), "unknown"),
        (("state",), "unknown"),
        (("instrument",), "unknown"),
        (("unit",), "unknown_unit"),
        (("readings", "bore"), "negative"),
        (("readings", "length", "surface"), "unknown"),
    ]
    assert {fault.path[:2] for fault in refused.value.faults} == {("searches", 3)}


def test_the_faults_of_a_query_stand_at_its_parameters() -> None:
    with pytest.raises(InvalidInput) as refused:
        make_readings(
            {"bore": RawReading.of_text("12.62")}, {"bore": "inside"}, RawSetup(), INSTRUMENTS, under=()
        )
    assert [fault.path for fault in refused.value.faults] == [("bore",)]
