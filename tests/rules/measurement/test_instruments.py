"""The instruments' data file, what it says, and what is said when it is wrong."""

from pathlib import Path

import pytest

from api.errors import InvalidInput
from api.measurement.instrument_data import read_instruments
from api.measurement.instruments import WAYS, Instrument
from api.measurement.refusals import UnsuitableInstrument

DATA_FILE = Path(__file__).parents[3] / "seed_catalog" / "instruments.toml"

SOUND = """
[rule]
name = "rule"
ways = ["outside"]
resolution = { size = "0.5 mm", source = "here" }
permissible_error = [
    { up_to = "100 mm", error = "0.1 mm", source = "here" },
    { up_to = "200 mm", error = "0.2 mm", source = "here" },
]
extra_error = [{ way = "depth", error = "0.1 mm", source = "here" }]
"""


@pytest.fixture(scope="module")
def instruments() -> dict[str, Instrument]:
    return read_instruments(DATA_FILE.read_text(encoding="utf-8"))


def test_the_eight_instruments_of_a_bench_are_known(instruments: dict[str, Instrument]) -> None:
    assert set(instruments) == {
        "steel_rule",
        "vernier_caliper",
        "digital_caliper",
        "outside_micrometer",
        "bore_gauge",
        "plug_gauge",
        "tooth_span_micrometer",
        "dial_indicator",
    }


def test_every_figure_has_a_source(instruments: dict[str, Instrument]) -> None:
    for code, instrument in instruments.items():
        assert instrument.code == code
        rows = [*instrument.steps, *instrument.extra]
        assert all(row.source for row in rows)
        assert instrument.resolution_source


def test_every_way_of_measuring_has_an_instrument(instruments: dict[str, Instrument]) -> None:
    assert {way for instrument in instruments.values() for way in instrument.ways} == set(WAYS)


def test_a_way_that_an_instrument_lacks_is_refused(instruments: dict[str, Instrument]) -> None:
    with pytest.raises(UnsuitableInstrument) as refused:
        instruments["outside_micrometer"].permissible_error_nm("inside", 12_000_000)
    assert (refused.value.value, refused.value.code) == ("outside_micrometer", "cannot_measure")
    assert "measures inside" in refused.value.expected


def test_a_length_beyond_the_range_is_refused(instruments: dict[str, Instrument]) -> None:
    micrometer = instruments["outside_micrometer"]
    assert micrometer.permissible_error_nm("outside", micrometer.greatest_length_nm) == 6_000
    with pytest.raises(UnsuitableInstrument) as refused:
        micrometer.permissible_error_nm("outside", micrometer.greatest_length_nm + 1)
    assert (refused.value.value, refused.value.code) == ("150.000001 mm", "beyond_range")


def faults_of(text: str) -> list[tuple[tuple[str | int, ...], str]]:
    with pytest.raises(InvalidInput) as refused:
        read_instruments(text)
    return [(fault.path, fault.code) for fault in refused.value.faults]


def test_the_sound_example_is_sound() -> None:
    assert read_instruments(SOUND)["rule"].resolution_nm == 500_000


@pytest.mark.parametrize(
    ("was", "becomes", "path", "code"),
    [
        (SOUND, "", (), "missing"),
        (SOUND, "[rule", (), "not_toml"),
        pytest.param(SOUND, f"rule = 1{'0' * 5_000}", (), "not_toml", id="5001 digits"),
        (SOUND, "rule = 5", ("rule",), "wrong_type"),
        ('name = "rule"', "", ("rule", "name"), "missing"),
        ('name = "rule"', 'name = " "', ("rule", "name"), "wrong_type"),
        ('name = "rule"', 'name = "rule"\nnmae = "x"', ("rule", "nmae"), "unknown"),
        ('ways = ["outside"]', "ways = []", ("rule", "ways"), "wrong_type"),
        ('ways = ["outside"]', 'ways = ["outside", "outsid"]', ("rule", "ways", 1), "unknown_way"),
        ('ways = ["outside"]', 'ways = ["outside", "outside"]', ("rule", "ways"), "repeated_way"),
        ('size = "0.5 mm"', "size = 0.5", ("rule", "resolution", "size"), "wrong_type"),
        ('size = "0.5 mm"', 'size = "0.5"', ("rule", "resolution", "size"), "no_unit"),
        ('"200 mm"', '"100 mm"', ("rule", "permissible_error"), "not_ascending"),
        ('error = "0.2 mm"', 'error = "0 mm"', ("rule", "permissible_error", 1, "error"), "zero"),
        ('way = "depth"', 'way = "dept"', ("rule", "extra_error", 0, "way"), "unknown_way"),
    ],
)
def test_each_fault_of_the_data_is_named_where_it_stands(
    was: str, becomes: str, path: tuple[str | int, ...], code: str
) -> None:
    assert was in SOUND
    assert faults_of(SOUND.replace(was, becomes)) == [(path, code)]


def test_all_faults_of_the_data_are_named_at_once() -> None:
    text = SOUND.replace('"rule"', "7").replace('"0.2 mm"', '"x"').replace("extra_error", "extra")
    assert faults_of(text) == [
        (("rule", "name"), "wrong_type"),
        (("rule", "permissible_error", 1, "error"), "unreadable"),
        (("rule", "extra"), "unknown"),
        (("rule", "extra_error"), "missing"),
    ]
