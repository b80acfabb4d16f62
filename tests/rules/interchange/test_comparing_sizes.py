"""One size in place of another: directed, exact where there is no tolerance, else unknown."""

from typing import Any

import pytest
from bench import BRUSH, BUSH, DRIVE, Said, size

from api.fit.reasons import GRADE_ORDER, Reason, grade_of
from api.interchange.compare_sizes import DECIDING, compare_sizes, missing_dimensions
from api.interchange.judge_part import check_grade, check_voltage, judge_stand_in, with_part

SIZES: dict[str, dict[str, Said]] = {"bushing": BUSH, "brush_set": BRUSH, "drive_clutch": DRIVE}


def verdicts(kind: str, reference: dict[str, Said], candidate: dict[str, Said]) -> dict[str, Any]:
    compared = compare_sizes(kind, size(**reference), size(**candidate))
    return {reason.dimension: reason.verdict for reason in compared}


@pytest.mark.parametrize("kind", list(SIZES))
def test_a_size_stands_in_for_itself(kind: str) -> None:
    one = size(**SIZES[kind])
    assert judge_stand_in(kind, "same_size", one, one).grade == "fits"


@pytest.mark.parametrize("kind", list(SIZES))
def test_a_deciding_dimension_left_out_is_never_a_pass(kind: str) -> None:
    for name in DECIDING[kind]:
        partial = {told: value for told, value in SIZES[kind].items() if told != name}
        for pair in ((SIZES[kind], partial), (partial, SIZES[kind]), (partial, partial)):
            reference, candidate = (size(**one) for one in pair)
            assert judge_stand_in(kind, "same_size", reference, candidate).grade == "unknown", name
        assert [reason.dimension for reason in missing_dimensions(kind, size(**partial))] == [name]


def test_the_narrower_range_stands_in_for_the_wider_and_not_the_other_way_round() -> None:
    narrow = {**BUSH, "length": (11.9, 12.0)}
    assert judge_stand_in("bushing", "overlapping_size", size(**BUSH), size(**narrow)).grade == "fits"
    back = judge_stand_in("bushing", "overlapping_size", size(**narrow), size(**BUSH))
    assert back.grade == "unknown"
    assert verdicts("bushing", narrow, BUSH)["length"] == "unknown"


def test_ranges_that_do_not_meet_do_not_fit_and_those_that_touch_are_unknown() -> None:
    beyond = {**BUSH, "bore": (12.5241, 12.54)}
    assert verdicts("bushing", BUSH, beyond)["bore"] == "does_not_fit"
    touching = {**BUSH, "bore": (12.524, 12.54)}
    assert verdicts("bushing", BUSH, touching)["bore"] == "unknown"


@pytest.mark.parametrize(
    ("kind", "change"),
    [
        ("brush_set", {"rated_voltage": 24}),
        ("brush_set", {"brush_count": 2}),
        ("drive_clutch", {"teeth": 10}),
        ("drive_clutch", {"rotation": "counter_clockwise"}),
        ("drive_clutch", {"spline_count": 8}),
        ("drive_clutch", {"helix_hand": "left"}),
    ],
)
def test_another_voltage_count_hand_or_rotation_does_not_fit(kind: str, change: dict[str, Said]) -> None:
    judged = judge_stand_in(kind, "look_alike", size(**SIZES[kind]), size(**{**SIZES[kind], **change}))
    assert judged.grade == "does_not_fit"
    clash = next(reason for reason in judged.reasons if reason.verdict == "does_not_fit")
    assert clash.dimension == next(iter(change))
    assert clash.exact


@pytest.mark.parametrize("change", [{"terminal": "eyelet"}, {"grade": "copper_medium_12v"}])
def test_another_terminal_or_grade_has_to_be_looked_into(change: dict[str, Said]) -> None:
    judged = judge_stand_in("brush_set", "look_alike", size(**BRUSH), size(**{**BRUSH, **change}))
    assert judged.grade == "unknown"


def test_a_flange_in_place_of_none_does_not_fit_either_way() -> None:
    flanged: dict[str, Said] = {**BUSH, "flange_diameter": (19.8, 20.2), "flange_thickness": (1.4, 1.55)}
    assert verdicts("bushing", BUSH, flanged)["flange_diameter"] == "does_not_fit"
    assert verdicts("bushing", flanged, BUSH)["flange_thickness"] == "does_not_fit"


def test_a_kind_that_no_rule_knows_is_compared_by_what_its_sizes_record() -> None:
    one = size(depth=(1.0, 2.0))
    assert judge_stand_in("gasket", "same_size", one, one).grade == "fits"
    assert judge_stand_in("gasket", "same_size", {}, {}).grade == "unknown"


def test_the_worst_reason_decides_and_none_is_no_pass() -> None:
    reasons = [Reason("", grade, "") for grade in GRADE_ORDER]
    assert grade_of(reasons) == "does_not_fit"
    assert grade_of(reasons[:3]) == "unknown"
    assert grade_of(reasons[:2]) == "fits_with_rework"
    assert grade_of(reasons[:1]) == "fits"
    assert grade_of([]) == "unknown"


def test_what_a_part_adds_can_only_lower_its_grade() -> None:
    judged = judge_stand_in("brush_set", "same_size", size(**BRUSH), size(**BRUSH))
    assert with_part(judged, *check_voltage(12, 12, "the part")).grade == "fits"
    assert with_part(judged, *check_voltage(24, 12, "the part")).grade == "does_not_fit"
    assert with_part(judged, *check_grade("KM412", {"KR412"})).grade == "unknown"
    assert with_part(judged, *check_voltage(None, 12, "the part")) == judged
    assert (
        check_grade(None, {"KR412"}) == check_grade("KR412", {"KR412"}) == check_grade("KR412", set()) == ()
    )
