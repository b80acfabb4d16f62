"""Tolerance classes as written, sizes outside the tables, and what a fit's limits say of it."""

import pytest

from api.fit.limits.limits_and_fits import LimitsAndFits, describe_fit
from api.fit.limits.tolerance_classes import (
    HOLE_CLASSES,
    SHAFT_CLASSES,
    FeatureKind,
    SizeOutsideTables,
    UnknownToleranceClass,
    limits_of,
    read_class,
)

MM = 1_000_000

ASKED_FOR_HOLES = (
    "H6 H7 H8 H9 H10 H11 F7 F8 G6 G7 E8 E9 E10 D9 D10 K7 N7 P7 R7"  # what bushings, shafts and seats use
)
ASKED_FOR_SHAFTS = "g6 f7 e8 d9 h5 h6 h7 h8 h9 js6 js7 k6 m5 m6 n6 p6 r6 s6 s7 u6 r7 s8 js13"


def test_the_classes_that_bushes_shafts_and_seats_use_are_there() -> None:
    assert set(ASKED_FOR_HOLES.split()) <= set(HOLE_CLASSES)
    assert set(ASKED_FOR_SHAFTS.split()) <= set(SHAFT_CLASSES)


def test_case_decides_between_hole_and_shaft() -> None:
    assert limits_of(25 * MM, "H7", "hole") == (25_000_000, 25_021_000)
    assert limits_of(25 * MM, "h7", "shaft") == (24_979_000, 25_000_000)


def test_js_lies_evenly_to_half_a_micrometre() -> None:
    assert limits_of(8 * MM, "js7", "shaft") == (7_992_500, 8_007_500)
    assert limits_of(8 * MM, "JS7", "hole") == (7_992_500, 8_007_500)


def test_up_to_3_mm_holes_follow_no_delta() -> None:
    assert limits_of(3 * MM, "P7", "hole") == (2_984_000, 2_994_000)
    assert limits_of(3 * MM + 1, "P7", "hole") == (2_980_001, 2_992_001)


@pytest.mark.parametrize(
    ("written", "feature", "code", "nearest"),
    [
        ("H7", "shaft", "hole_class_for_shaft", "h7"),
        ("p6", "hole", "shaft_class_for_hole", "P6"),
        ("s8", "hole", "shaft_class_for_hole", "S7"),
        ("JS7", "shaft", "hole_class_for_shaft", "js7"),
        ("H5", "hole", "unknown_class", "H6"),
        ("H99", "hole", "unknown_class", "H13"),
        ("p7", "shaft", "unknown_class", "p6"),
        ("Js6", "shaft", "unknown_class", "js6"),
        ("hs7", "shaft", "unknown_class", "h7"),
        ("H 7", "hole", "unknown_class", "H7"),
        ("", "hole", "unknown_class", None),
        ("H７", "hole", "unknown_class", "H7"),
        ("H7 ", "hole", "unknown_class", "H7"),
        ("tight", "shaft", "unknown_class", None),
    ],
)
def test_an_unknown_class_is_told_the_nearest(
    written: str, feature: FeatureKind, code: str, nearest: str | None
) -> None:
    with pytest.raises(UnknownToleranceClass) as caught:
        read_class(written, feature)
    assert (caught.value.code, caught.value.nearest) == (code, nearest)
    fault = caught.value.as_fault("shaft")
    assert fault.path == ("shaft",)
    assert ("in capitals" in fault.expected) == (feature == "hole")
    assert ("H6-H13" if feature == "hole" else "js5-js13") in fault.expected


@pytest.mark.parametrize("size_nm", [-MM, 0, 80 * MM + 1, 10_000 * MM])
def test_sizes_outside_the_tables_are_said_and_not_extrapolated(size_nm: int) -> None:
    with pytest.raises(SizeOutsideTables, match=r"up to 80 mm") as caught:
        limits_of(size_nm, "H7", "hole")
    assert caught.value.code == "size_outside_tables"


def test_80_mm_itself_is_inside() -> None:
    assert limits_of(80 * MM, "u6", "shaft") == (80_102_000, 80_121_000)


def test_a_size_whose_lower_limit_would_not_stay_above_zero_is_refused() -> None:
    assert limits_of(45_001, "d9", "shaft") == (1, 25_001)
    with pytest.raises(SizeOutsideTables, match=r"0\.045 mm") as caught:
        limits_of(45_000, "d9", "shaft")
    assert caught.value.code == "size_too_small"


@pytest.mark.parametrize(
    ("hole_nm", "shaft_nm", "character"),
    [
        ((10, 20), (0, 10), "clearance"),  # at the tightest they touch
        ((10, 20), (0, 11), "transition"),
        ((10, 20), (19, 30), "transition"),
        ((10, 20), (20, 30), "interference"),  # at the loosest they touch
    ],
)
def test_touching_counts_with_clearance_or_interference(
    hole_nm: tuple[int, int], shaft_nm: tuple[int, int], character: str
) -> None:
    assert LimitsAndFits(hole_nm=hole_nm, shaft_nm=shaft_nm).character == character


def test_a_fit_needs_a_hole_and_a_shaft() -> None:
    with pytest.raises(UnknownToleranceClass):
        describe_fit(25 * MM, "h7", "p6")
    with pytest.raises(UnknownToleranceClass):
        describe_fit(25 * MM, "H7", "P6")
