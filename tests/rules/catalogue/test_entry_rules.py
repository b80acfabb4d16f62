"""The rules of a catalogue's entries, on entries as a request or a file may state them."""

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from api.errors import InvalidInput
from api.offers.check_offer import CONDITIONS, check_supplier
from api.offers.tables import CONDITIONS as STORED_CONDITIONS
from api.starters import tables as starter_tables
from api.starters import vocabulary as starter_words
from api.starters.check_family import check_family
from api.starters.check_position import check_position
from api.starters.check_starter import check_listing
from api.wear_parts import tables as part_tables
from api.wear_parts import vocabulary as part_words
from api.wear_parts.check_dimension import check_dimension
from api.wear_parts.check_kind import check_kind
from api.wear_parts.check_part import check_number
from api.wear_parts.check_size import check_size
from api.wear_parts.entries import ItemKey, KindEntry
from api.wear_parts.entry_fields import EntryFields

LENGTH: dict[str, object] = {
    "code": "depth",
    "name": "Depth",
    "measure": "length",
    "how": "depth",
    "place": "At the middle.",
    "wear_sense": "none",
    "span": "1 mm..9 mm",
    "slip_chance": 0.02,
    "miscount_chance": "0.01",
    "origin": "our judgement",
}
KIND: dict[str, object] = {
    "code": "spring",
    "name": "Spring",
    "description": "Any.",
    "model_version": "1",
    "unlisted_prior": {"value": 0.1, "origin": "our judgement"},
    "dimension": [LENGTH],
}


def faults(check: Callable[..., object], *given: object) -> list[tuple[tuple[str | int, ...], str]]:
    with pytest.raises(InvalidInput) as refused:
        check(*given)
    return [(fault.path, fault.code) for fault in refused.value.faults]


def without(entry: Mapping[str, object], *names: str, **changed: object) -> dict[str, object]:
    return {**{name: value for name, value in entry.items() if name not in names}, **changed}


@pytest.mark.parametrize(
    ("rules", "stored"),
    [
        (part_words.MEASURES, part_tables.MEASURES),
        (part_words.WAYS, part_tables.WAYS),
        (part_words.WEAR_SENSES, part_tables.WEAR_SENSES),
        (part_words.PROVENANCES, part_tables.PROVENANCES),
        (part_words.SCHEMES, part_tables.SCHEMES),
        (str(part_words.VOLTAGES), part_tables.VOLTAGES),
        (starter_words.CONSTRUCTIONS, starter_tables.CONSTRUCTIONS),
        (starter_words.FIELDS, starter_tables.FIELDS),
        (starter_words.ROTATIONS, starter_tables.ROTATIONS),
        (starter_words.ACCESS_CLASSES, starter_tables.ACCESS_CLASSES),
        (tuple(starter_words.POSITION_KINDS), starter_tables.POSITIONS),
        (CONDITIONS, STORED_CONDITIONS),
    ],
)
def test_words_of_the_rules_are_those_that_the_tables_take(rules: Any, stored: Any) -> None:
    assert sorted(rules) == sorted(stored)


def test_sound_kind_is_taken() -> None:
    kind = check_kind(KIND)
    assert (kind.code, kind.unlisted_prior, kind.dimensions[0].miscount_chance) == ("spring", 0.1, 0.01)


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (without(KIND, "dimension"), [(("dimension",), "missing")]),
        (without(KIND, dimension=[]), [(("dimension",), "missing")]),
        (without(KIND, dimension="depth"), [(("dimension",), "not_list")]),
        (without(KIND, dimension=[1]), [(("dimension",), "not_list")]),
        (without(KIND, dimension=[LENGTH, LENGTH]), [(("dimension", 1, "code"), "duplicate")]),
        (without(KIND, "unlisted_prior"), [(("unlisted_prior",), "missing")]),
        (
            without(KIND, code="Spring", name=" ", colour="red"),
            [(("colour",), "unknown_field"), (("code",), "malformed_code"), (("name",), "missing")],
        ),
        (
            without(KIND, dimension=[without(LENGTH, two_point_over="turns")]),
            [(("dimension", 0, "two_point_over"), "unknown_dimension")],
        ),
    ],
)
def test_faulty_kind_is_refused(entry: dict[str, object], expected: list[Any]) -> None:
    assert faults(check_kind, entry) == expected


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (without(LENGTH, measure="weight"), [(("measure",), "unknown_choice")]),
        (without(LENGTH, wear_sense="swells"), [(("wear_sense",), "unknown_choice")]),
        (without(LENGTH, wear_sense="shrinks"), [(("wear_scale",), "missing")]),
        (without(LENGTH, span=[1, 9]), [(("span",), "bad_span")]),
        (without(LENGTH, measure="count"), [(("span",), "bad_span")]),
        (without(LENGTH, measure="count", span=[1, 2, 3]), [(("span",), "bad_span")]),
        (without(LENGTH, measure="count", span=[False, True]), [(("span",), "bad_span")]),
        (without(LENGTH, measure="count", span=[1, 1000]), [(("span",), "bad_span")]),
        (without(LENGTH, "span", measure="count"), [(("span",), "missing")]),
        (
            without(LENGTH, measure="count", span=[1, 9], two_point_over="teeth"),
            [(("two_point_over",), "not_applicable")],
        ),
        (without(LENGTH, slip_chance=0), [(("slip_chance",), "out_of_range")]),
        (without(LENGTH, slip_chance="often"), [(("slip_chance",), "not_a_decimal")]),
        (without(LENGTH, slip_chance=True), [(("slip_chance",), "not_a_decimal")]),
        (without(LENGTH, "slip_chance"), [(("slip_chance",), "missing")]),
        (without(LENGTH, place="x" * 2001), [(("place",), "too_long")]),
        (without(LENGTH, place=3), [(("place",), "not_text")]),
    ],
)
def test_faulty_dimension_is_refused(entry: dict[str, object], expected: list[Any]) -> None:
    assert faults(check_dimension, entry) == expected


def test_prose_may_have_line_breaks_and_a_name_may_not() -> None:
    assert check_dimension(without(LENGTH, place="one\ntwo")).place == "one\ntwo"
    assert faults(check_dimension, without(LENGTH, name="one\ntwo")) == [(("name",), "control_character")]


@pytest.fixture
def spring() -> KindEntry:
    count = without(LENGTH, code="turns", measure="count", span=[1, 99])
    return check_kind(without(KIND, dimension=[LENGTH, count]))


def test_size_of_a_kind_without_rules_of_its_own_needs_one_dimension(spring: KindEntry) -> None:
    size = {"code": "s-1", "provenance": "drawing", "dimensions": {"turns": 7}}
    assert check_size(spring, size).values[0].count == 7
    empty = {"code": "s-1", "provenance": "drawing", "dimensions": {"turns": "n/a"}}
    assert faults(check_size, spring, empty) == [(("dimensions", "code"), "missing")]


@pytest.mark.parametrize(
    ("dimensions", "expected"),
    [
        ({"depth": 5}, [(("dimensions", "depth"), "not_text")]),
        ({"depth": "5 mm", "turns": [7]}, [(("dimensions", "turns"), "not_whole")]),
        ({"depth": "5 mm", "turns": "-7"}, [(("dimensions", "turns"), "negative")]),
        ({"dept": "5 mm"}, [(("dimensions", "dept"), "unknown_field")]),
        (
            {"depth": "nan mm", "turns": 1000},
            [(("dimensions", "depth"), "not_finite"), (("dimensions", "turns"), "too_large")],
        ),
        ({"depth": "1/0 in..5 mm"}, [(("dimensions", "depth"), "zero_denominator")]),
        ({"depth": "4..5 mm", "turns": "100"}, [(("dimensions", "turns"), "out_of_span")]),
        ("depth", [(("dimensions",), "not_table")]),
        (None, [(("dimensions",), "missing")]),
    ],
)
def test_faulty_size_is_refused(spring: KindEntry, dimensions: object, expected: list[Any]) -> None:
    entry = {"code": "s-1", "provenance": "drawing", "dimensions": dimensions}
    assert faults(check_size, spring, entry) == expected


def test_both_ends_of_a_range_may_have_their_own_unit(spring: KindEntry) -> None:
    entry = {"code": "s-1", "provenance": "drawing", "dimensions": {"depth": '5/16" .. 0,85 cm'}}
    value = check_size(spring, entry).values[0]
    assert (value.lower_nm, value.upper_nm) == (7_937_500, 8_500_000)


def test_drive_clutch_is_ordered_and_bushing_flange_is_optional_as_a_whole() -> None:
    tangents = [
        without(LENGTH, code=code, span="1 mm..90 mm")
        for code in ("tip_diameter", "base_tangent_2", "base_tangent_3")
    ]
    teeth = without(LENGTH, code="teeth", measure="count", span=[6, 20])
    turning = without(
        LENGTH,
        "span",
        code="rotation",
        measure="choice",
        choices=[
            {"value": "clockwise", "label": "Clockwise"},
            {"value": "counter_clockwise", "label": "Counter-clockwise"},
        ],
    )
    drive = check_kind(without(KIND, code="drive_clutch", dimension=[teeth, turning, *tangents]))
    sound = {"teeth": "9", "rotation": "clockwise", "tip_diameter": "29.6 mm", "base_tangent_2": "12.4 mm"}
    entry = {"code": "d", "provenance": "drawing", "dimensions": {**sound, "base_tangent_3": "12.4 mm"}}
    assert faults(check_size, drive, entry) == [(("dimensions", "base_tangent_2"), "out_of_order")]
    check_size(drive, {**entry, "dimensions": {**sound, "base_tangent_3": "19.9 mm"}})


def test_position_of_a_kind_not_fixed_may_state_a_known_one() -> None:
    assert check_position({"code": "plunger", "kind": "spring", "quantity": "1"}, ["spring"]).kind == "spring"
    assert faults(check_position, {"code": "plunger", "kind": "sprung", "quantity": 1}, ["spring"]) == [
        (("kind",), "unknown_kind")
    ]
    assert faults(check_position, {"code": "brush_set", "kind": "spring", "quantity": 1}, ["spring"]) == [
        (("kind",), "other_kind")
    ]


@pytest.mark.parametrize("thread", ["M8x1.25", "M6", "M10x1", "5/16-18", "#10-32"])
def test_threads_in_common_forms_are_taken(thread: str) -> None:
    seat = {"stud_thread": thread}
    entry = {"code": "contact_disc", "kind": "contact", "quantity": 1, "seat": seat}
    assert check_position(entry, ["contact"]).seat[0].text == thread


def test_family_without_positions_or_reduction_is_refused() -> None:
    found = faults(check_family, {"construction": "offset_gear_reduction", "pole_count": 4}, ())
    assert (("position",), "missing") in found
    assert (("pinion",), "missing") in found
    assert (("internal_reduction",), "missing") in found
    assert not [code for path, code in found if code == "contradicts_construction"]


def test_gear_reduction_turns_its_pinion_slower() -> None:
    found = faults(
        check_family, {"construction": "planetary_gear_reduction", "internal_reduction": "1.0"}, ()
    )
    assert (("internal_reduction",), "contradicts_construction") in found


def test_listing_of_blanks_is_refused_once_for_each() -> None:
    assert faults(check_listing, {}, {}, {}) == [
        (("family",), "missing"),
        (("maker",), "missing"),
        (("number",), "missing"),
        (("position",), "missing"),
    ]


def test_number_of_an_item_that_cannot_be_compared_is_told_once() -> None:
    item = ItemKey("part", "alpha", "--")
    entry = {
        "owner": "part",
        "maker": "alpha",
        "number": "--",
        "scheme": "maker",
        "issuer": "alpha",
        "written": "A1",
    }
    assert check_number(entry, [item]).normalised == "A1"


def test_amount_of_an_unknown_currency_is_told_by_the_currency_alone() -> None:
    entry = {
        "code": "x",
        "name": "X",
        "place": "Y",
        "currency": "ABC",
        "shipping": "1.23456",
        "free_shipping_from": "1",
    }
    assert faults(check_supplier, entry) == [(("currency",), "unknown_currency")]
    assert faults(check_supplier, without(entry, "currency")) == [(("currency",), "missing")]


def test_truth_values_may_be_stated_as_such() -> None:
    fields = EntryFields({"included": True, "whole": True, "many": 10**40}, ("included", "whole", "many"))
    assert fields.flag("included") is True
    assert (
        fields.whole("whole", 0, 9),
        fields.whole("many", 0, 9),
        fields.whole("none", 2, 9, default=5),
    ) == (0, 0, 5)
    with pytest.raises(InvalidInput) as refused:
        fields.settle()
    assert [fault.code for fault in refused.value.faults] == ["not_whole", "out_of_range"]
