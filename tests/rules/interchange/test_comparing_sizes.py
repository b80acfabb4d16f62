"""One size in place of another: directed, exact where there is no tolerance, else unknown."""

from typing import Any

import pytest
from bench import BRUSH, BRUSH_SEAT, BUSH, DRIVE, Said, family, position, size

from api.fit.judging.reasons import GRADE_ORDER, Grade, Reason, grade_of
from api.interchange.compare_sizes import DECIDING, compare_sizes, missing_dimensions
from api.interchange.judge_part import check_grade, judge_in_place, with_part
from api.interchange.seat_features import ANY_PART
from api.interchange.seats import Seat, check_voltage

SIZES: dict[str, dict[str, Said]] = {"bushing": BUSH, "brush_set": BRUSH, "drive_clutch": DRIVE}


def compared_grade(kind: str, reference: dict[str, Said], candidate: dict[str, Said]) -> Grade:
    return grade_of(compare_sizes(kind, size(**reference), size(**candidate)))


def verdicts(kind: str, reference: dict[str, Said], candidate: dict[str, Said]) -> dict[str, Any]:
    compared = compare_sizes(kind, size(**reference), size(**candidate))
    return {reason.dimension: reason.verdict for reason in compared}


@pytest.mark.parametrize("kind", list(SIZES))
def test_a_size_stands_in_for_itself(kind: str) -> None:
    assert compared_grade(kind, SIZES[kind], SIZES[kind]) == "fits"


@pytest.mark.parametrize("kind", list(SIZES))
def test_a_deciding_dimension_left_out_is_never_a_pass(kind: str) -> None:
    for name in DECIDING[kind]:
        partial = {told: value for told, value in SIZES[kind].items() if told != name}
        for reference, candidate in ((SIZES[kind], partial), (partial, SIZES[kind]), (partial, partial)):
            assert compared_grade(kind, reference, candidate) == "unknown", name
        assert [reason.dimension for reason in missing_dimensions(kind, size(**partial))] == [name]


def test_the_narrower_range_stands_in_for_the_wider_and_not_the_other_way_round() -> None:
    narrow = {**BUSH, "length": (11.9, 12.0)}
    assert compared_grade("bushing", BUSH, narrow) == "fits"
    assert compared_grade("bushing", narrow, BUSH) == "unknown"
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
    reasons = compare_sizes(kind, size(**SIZES[kind]), size(**{**SIZES[kind], **change}))
    assert grade_of(reasons) == "does_not_fit"
    clash = next(reason for reason in reasons if reason.verdict == "does_not_fit")
    assert clash.dimension == next(iter(change))
    assert clash.exact


@pytest.mark.parametrize("change", [{"terminal": "eyelet"}, {"grade": "copper_medium_12v"}])
def test_another_terminal_or_grade_has_to_be_looked_into(change: dict[str, Said]) -> None:
    assert compared_grade("brush_set", BRUSH, {**BRUSH, **change}) == "unknown"


def test_a_flange_in_place_of_none_does_not_fit_either_way() -> None:
    flanged: dict[str, Said] = {**BUSH, "flange_diameter": (19.8, 20.2), "flange_thickness": (1.4, 1.55)}
    assert verdicts("bushing", BUSH, flanged)["flange_diameter"] == "does_not_fit"
    assert verdicts("bushing", flanged, BUSH)["flange_thickness"] == "does_not_fit"


def test_a_kind_that_no_rule_knows_is_compared_by_what_its_sizes_record() -> None:
    assert compared_grade("gasket", {"depth": (1.0, 2.0)}, {"depth": (1.0, 2.0)}) == "fits"
    assert compared_grade("gasket", {}, {}) == "unknown"


def test_the_worst_reason_decides_and_none_is_no_pass() -> None:
    reasons = [Reason("", grade, "") for grade in GRADE_ORDER]
    assert grade_of(reasons) == "does_not_fit"
    assert grade_of(reasons[:3]) == "unknown"
    assert grade_of(reasons[:2]) == "fits_with_rework"
    assert grade_of(reasons[:1]) == "fits"
    assert grade_of([]) == "unknown"


def test_what_a_part_adds_can_only_lower_its_grade() -> None:
    seat = Seat.of(family(), position("brush_set", "brush_set", **BRUSH_SEAT))
    judged = judge_in_place("brush_set", "same_size", (size(**BRUSH), size(**BRUSH)), ANY_PART, [seat])
    assert with_part(judged, *check_voltage(12, 12, "the part")).grade == "fits"
    assert with_part(judged, *check_voltage(24, 12, "the part")).grade == "does_not_fit"
    assert with_part(judged, *check_grade("KM412", {"KR412"})).grade == "unknown"
    assert with_part(judged, *check_voltage(None, 12, "the part")) == judged
    assert (
        check_grade(None, {"KR412"}) == check_grade("KR412", {"KR412"}) == check_grade("KR412", set()) == ()
    )
