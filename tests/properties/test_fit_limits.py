"""What holds of every class at every size of the tables."""

from hypothesis import given, settings
from hypothesis import strategies as st

from api.fit.limits.limits_and_fits import describe_fit
from api.fit.limits.tolerance_classes import HOLE_CLASSES, SHAFT_CLASSES, FeatureKind, limits_of
from api.fit.limits.tolerance_tables import GRADES, GREATEST_SIZE_NM

SIZES = st.integers(1_000_000, GREATEST_SIZE_NM)
HOLES, SHAFTS = st.sampled_from(HOLE_CLASSES), st.sampled_from(SHAFT_CLASSES)
MIRRORED = sorted({one.lower() for one in HOLE_CLASSES if one[0] in "DEFGH"} & set(SHAFT_CLASSES))
DELTA_PAIRS = [("H7/p6", "P7/h6"), ("H7/r6", "R7/h6"), ("H7/s6", "S7/h6"), ("H7/u6", "U7/h6")] + [
    (f"H{grade}/{letter}{grade - 1}", f"{letter.upper()}{grade}/h{grade - 1}")
    for letter in "kmn"
    for grade in (6, 7, 8)
]


@settings(max_examples=100)
@given(SIZES, HOLES, SHAFTS)
def test_limits_are_as_far_apart_as_their_grades_and_clearances_add_up(
    size_nm: int, hole: str, shaft: str
) -> None:
    fit = describe_fit(size_nm, hole, shaft)
    widths = 0
    for written, (lower, upper) in ((hole, fit.hole_nm), (shaft, fit.shaft_nm)):
        grade = int("".join(char for char in written if char.isdigit()))
        assert upper - lower == 1_000 * GRADES[grade].at_um(size_nm)
        widths += upper - lower
    assert fit.most_clearance_nm - fit.least_clearance_nm == widths
    assert (fit.character == "clearance") == (fit.least_clearance_nm >= 0)
    assert (fit.character == "interference") == (fit.most_clearance_nm <= 0)


@settings(max_examples=100)
@given(SIZES, st.sampled_from(MIRRORED))
def test_holes_d_to_h_mirror_the_shafts_of_their_letter(size_nm: int, shaft: str) -> None:
    lower, upper = limits_of(size_nm, shaft, "shaft")
    assert limits_of(size_nm, shaft.upper(), "hole") == (2 * size_nm - upper, 2 * size_nm - lower)


@settings(max_examples=100)
@given(st.integers(3_000_001, GREATEST_SIZE_NM), st.sampled_from(DELTA_PAIRS))
def test_over_3_mm_the_same_fit_on_hole_and_on_shaft_basis_binds_alike(
    size_nm: int, pair: tuple[str, str]
) -> None:
    """ISO 286-1: what the delta rule is for."""
    on_hole, on_shaft = (describe_fit(size_nm, *one.split("/")) for one in pair)
    assert on_hole.least_clearance_nm == on_shaft.least_clearance_nm
    assert on_hole.most_clearance_nm == on_shaft.most_clearance_nm


@settings(max_examples=100)
@given(SIZES, SIZES, HOLES | SHAFTS)
def test_a_zone_never_narrows_with_size(one_nm: int, other_nm: int, written: str) -> None:
    feature: FeatureKind = "hole" if written[0].isupper() else "shaft"
    small, large = sorted((one_nm, other_nm))
    narrow, wide = (limits_of(size, written, feature) for size in (small, large))
    assert narrow[1] - narrow[0] <= wide[1] - wide[0]
