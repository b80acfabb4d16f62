"""What a measurement record cannot be is told with its place, its value and what was expected."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from bench_bodies import RECORDS, SCOPE, kept, new_bush, record
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS

NO_PART = "01890a5d-ac96-774b-bcce-b302099a8057"
SIZE = {"size": "bush-12.5x16x12"}
SEAT = {"family": "D12-01", "position": "drive_end_bushing"}
BORE = {"bore": "12.51 mm"}


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


BAD: dict[str, tuple[dict[str, Any], dict[str, str]]] = {
    "no subject": (record("a", BORE), {"#/size": "missing"}),
    "two subjects": (
        record("a", BORE, **SIZE, **SEAT),
        {"#/family": "second_subject", "#/position": "not_applicable"},
    ),
    "a part and a size": (record("a", BORE, part=NO_PART, **SIZE), {"#/size": "second_subject"}),
    "an unknown part": (record("a", BORE, part=NO_PART), {"#/part": "unknown_part"}),
    "an unknown size": (record("a", BORE, size="bush-12.5x16x2"), {"#/size": "unknown_size"}),
    "another kind than the size's": (
        record("a", BORE, **SIZE, kind="contact"),
        {"#/kind": "other_kind"},
    ),
    "an unknown kind": (record("a", BORE, size="new", kind="bushings"), {"#/kind": "unknown_kind"}),
    "a kind of a seat": (
        record("a", {"housing_bore": "16 mm"}, **SEAT, kind="bushing"),
        {"#/kind": "not_applicable"},
    ),
    "a position without a family": (
        record("a", BORE, position="drive_end_bushing"),
        {"#/size": "missing", "#/position": "not_applicable"},
    ),
    "a family without a position": (record("a", BORE, family="D12-01"), {"#/position": "missing"}),
    "an unknown family": (
        record("a", BORE, family="D12-0l", position="drive_end_bushing"),
        {"#/family": "unknown_family"},
    ),
    "a position that the family has not": (
        record("a", {"housing_bore": "16 mm"}, family="D12-01", position="planet_gears"),
        {"#/position": "unknown_position"},
    ),
    "a word that is no position": (
        record("a", {"housing_bore": "16 mm"}, family="D12-01", position="drive_end_bushings"),
        {"#/position": "literal_error"},
    ),
    "an unknown dimension": (record("a", {"boar": "12.51 mm"}, **SIZE), {"#/readings/boar": "unknown"}),
    "a seat's feature of a part": (
        record("a", {"housing_bore": "16 mm"}, **SIZE),
        {"#/readings/housing_bore": "unknown"},
    ),
    "a holder in the seat of a bush": (
        record("a", {"holder_width": "12.6 mm"}, family="D12-01", position="drive_end_bushing"),
        {"#/readings/holder_width": "unknown"},
    ),
    "a length without its unit": (record("a", {"bore": 12.51}, **SIZE), {"#/readings/bore": "string_type"}),
    "no reading": (record("a", {}, **SIZE), {"#/readings": "too_short"}),
    "no specimen": (record(" ", BORE, **SIZE), {"#/specimen": "string_pattern_mismatch"}),
    "a length without a unit": (record("a", {"bore": "12.51"}, **SIZE), {"#/readings/bore": "no_unit"}),
    "an implausible length": (record("a", {"bore": "412 mm"}, **SIZE), {"#/readings/bore": "implausible"}),
    "an unknown instrument": (
        record("a", BORE, **SIZE, instrument="digital_calliper"),
        {"#/instrument": "unknown"},
    ),
    "an instrument that does not reach": (
        record("a", {"bore": {"text": "12.51 mm", "instrument": "outside_micrometer"}}, **SIZE),
        {"#/readings/bore/instrument": "cannot_measure"},
    ),
    "a count by an instrument": (
        record(
            "a",
            {"brush_count": {"text": "4", "instrument": "digital_caliper"}},
            size="brush-5x12.5x12.5-4-12v",
        ),
        {"#/readings/brush_count/instrument": "not_a_length"},
    ),
    "a count with repeats": (
        record("a", {"brush_count": {"text": "4", "repeats": ["4"]}}, size="brush-5x12.5x12.5-4-12v"),
        {"#/readings/brush_count/repeats": "not_a_length"},
    ),
    "an unknown choice": (
        record("a", {"construction": "porus"}, **SIZE),
        {"#/readings/construction": "unknown"},
    ),
    "a surface that is none": (record("a", BORE, **SIZE, surface="shiny"), {"#/surface": "literal_error"}),
    "a day that is none": (
        record("a", BORE, **SIZE, measured_on="2026-02-30"),
        {"#/measured_on": "not_a_day"},
    ),
    "an unknown member": (record("a", BORE, **SIZE, note="greasy"), {"#/note": "unknown"}),
    "a new size that lacks what its kind records": (
        record("a", BORE, size="bush-lacking", kind="bushing"),
        {"#/readings/outside_diameter": "missing", "#/readings/length": "missing"},
    ),
    "a new size of worn surfaces": (
        record(
            "a",
            {**new_bush("12.9 mm"), "bore": {"text": "12.9 mm", "surface": "worn"}},
            size="bush-worn",
            kind="bushing",
        ),
        {"#/readings/bore": "missing"},
    ),
    "a new size whose bore is outside its outside": (
        record("a", new_bush("39 mm", outside="38 mm"), size="bush-turned", kind="bushing"),
        {"#/readings/bore": "out_of_order"},
    ),
}


@pytest.mark.parametrize("case", BAD)
def test_what_cannot_be_is_refused_at_its_place(writer: Writer, case: str) -> None:
    body, faults = BAD[case]
    problem = refused(writer.post(RECORDS, body, SCOPE), 400)
    assert pointers(problem) == faults
    assert all(fault["expected"] for fault in problem["errors"])
    assert writer.read(RECORDS, specimen=body["specimen"].strip() or "none")["total"] == 0


def test_a_worn_reading_of_a_new_size_says_what_to_read(writer: Writer) -> None:
    body, _ = BAD["a new size of worn surfaces"]
    (fault,) = refused(writer.post(RECORDS, body, SCOPE), 400)["errors"]
    assert fault["value"] == "12.9 mm"
    assert "read unworn and free" in fault["expected"]


def test_a_day_to_come_is_refused(writer: Writer) -> None:
    day = (datetime.now(UTC).date() + timedelta(days=3)).isoformat()
    problem = refused(writer.post(RECORDS, record("a", BORE, **SIZE, measured_on=day), SCOPE), 400)
    assert pointers(problem) == {"#/measured_on": "in_future"}


def test_every_fault_is_told_at_once(writer: Writer) -> None:
    readings = {"boar": "12 mm", "length": "12", "bore": {"text": "12.5 mm", "surface": "shiny"}}
    body = record("a", readings, **SIZE, instrument="ruler", measured_on="soon")
    told = pointers(refused(writer.post(RECORDS, body, SCOPE), 400))
    assert set(told) == {
        "#/instrument",
        "#/measured_on",
        "#/readings/boar",
        "#/readings/length",
        "#/readings/bore/surface",
    }


@pytest.mark.parametrize(
    ("patch", "faults"),
    [
        ({"specimen": "b"}, {"#/specimen": "unknown"}),
        ({"withdrawn_on": "2126-01-01"}, {"#/withdrawn_on": "future_day"}),
        ({"withdrawn_on": "soon"}, {"#/withdrawn_on": "string_pattern_mismatch"}),
        ({"withdrawn_on": "2026-02-30"}, {"#/withdrawn_on": "not_a_day"}),
    ],
)
def test_what_was_measured_does_not_change(
    writer: Writer, patch: dict[str, Any], faults: dict[str, str]
) -> None:
    if writer.read(RECORDS, specimen="fixed")["total"] == 0:
        kept(writer, record("fixed", {"length": "12.0 mm"}, **SIZE))
    (one,) = writer.read(RECORDS, specimen="fixed")["items"]
    path = f"{RECORDS}/{one['id']}"
    assert pointers(refused(writer.patch(path, patch, SCOPE), 400)) == faults
    assert writer.read(path) == one


@pytest.mark.parametrize(
    ("query", "status"),
    [
        ({"size": "bush-none"}, 404),
        ({"family": "D12-99"}, 404),
        ({"part": NO_PART}, 404),
        ({"part": "12"}, 400),
        ({"colour": "red"}, 400),
        ({"position": "nose"}, 400),
    ],
)
def test_a_list_of_what_is_not_known_is_refused(writer: Writer, query: dict[str, str], status: int) -> None:
    refused(writer.client.get(RECORDS, params=query), status)


def test_a_record_that_is_not_there_cannot_be_withdrawn(writer: Writer) -> None:
    body = {"withdrawn_on": "2026-11-25"}
    refused(writer.patch(f"{RECORDS}/{NO_PART}", body, SCOPE, tag='"any"'), 404)
    assert done(writer.client.get(RECORDS))["total"] >= 0


def test_what_is_expected_is_told_in_words_that_help(writer: Writer) -> None:
    bare = refused(writer.post(RECORDS, record("a", {"bore": 12.51}, **SIZE), SCOPE), 400)
    assert [one["expected"] for one in bare["errors"]] == ["a text such as '12.51 mm'"]
    body = record("a", {"housing_bore": "16 mm"}, family="D12-01", position="planet_gears")
    absent = refused(writer.post(RECORDS, body, SCOPE), 400)
    assert [one["expected"] for one in absent["errors"]] == ["a position of family D12-01"]
