"""What a seat says of a size: it goes in, holds, runs, and is of the right count, voltage and rotation."""

import math
from typing import Any

import pytest
from bench import (
    BRUSH,
    BRUSH_SEAT,
    BUSH,
    BUSH_SEAT,
    CAP,
    DISC,
    DISC_SEAT,
    DRIVE,
    DRIVE_SEAT,
    PLATE,
    Said,
    family,
    position,
    size,
)

from api.interchange.check_pinion import span_over_two
from api.interchange.check_seat import check_seat
from api.interchange.judge_part import judge_by_size, judge_listed
from api.interchange.seat_features import ANY_PART, PartFacts
from api.interchange.seats import Seat


def bush_verdict(dimension: str, part: dict[str, Said] | None = None, **seat: Said) -> str:
    place = position("drive_end_bushing", "bushing", **{**BUSH_SEAT, **seat})
    said = check_seat(family(), place, size(**{**BUSH, **(part or {})}))
    return next(reason.verdict for reason in said if reason.dimension == dimension)


def test_a_bush_of_the_right_size_passes_every_check_of_its_seat() -> None:
    for dimension in ("outside_diameter", "bore", "length"):
        assert bush_verdict(dimension) == "fits"


@pytest.mark.parametrize(
    ("outside", "verdict"),
    [
        ((15.98, 16.0), "does_not_fit"),  # turns in its seat
        ((16.01, 16.03), "unknown"),  # may be loose
        ((16.023, 16.034), "fits"),
        ((16.06, 16.09), "unknown"),  # tighter than is sure to be harmless
        ((16.15, 16.16), "does_not_fit"),
    ],
)
def test_a_bush_has_to_hold_in_its_housing(outside: tuple[float, float], verdict: str) -> None:
    assert bush_verdict("outside_diameter", {"outside_diameter": outside}) == verdict


@pytest.mark.parametrize(
    ("bore", "verdict"),
    [
        ((12.406, 12.424), "does_not_fit"),  # 12.4 mm: smaller than the shaft
        ((12.470, 12.474), "fits_with_rework"),  # free it runs, pressed in it binds
        ((12.480, 12.498), "fits"),
        ((12.506, 12.524), "fits"),
        ((12.606, 12.624), "unknown"),  # 12.6 mm: a tenth too large
        ((12.8, 12.82), "does_not_fit"),
    ],
)
def test_the_shaft_has_to_run_in_the_bore(bore: tuple[float, float], verdict: str) -> None:
    assert bush_verdict("bore", {"bore": bore}) == verdict


@pytest.mark.parametrize(
    ("length", "form", "verdict"),
    [
        ((12.7, 12.9), "blind", "does_not_fit"),
        ((12.7, 12.9), "through", "unknown"),
        ((12.3, 12.65), "blind", "unknown"),
        ((7.9, 8.1), "through", "unknown"),
        ((11.865, 12.135), "through", "fits"),
    ],
)
def test_a_bush_has_to_be_as_long_as_its_seat(length: tuple[float, float], form: str, verdict: str) -> None:
    assert bush_verdict("length", {"length": length}, housing_bore_form=form) == verdict


@pytest.mark.parametrize(
    ("material", "construction", "operation"),
    [
        ("tin bronze, porous", "porous", "size the bore in place with a burnishing pin to "),
        ("leaded bronze", "solid", "ream the bore in place to "),
    ],
)
def test_rework_of_a_grade_names_the_operation_and_the_size(
    material: str, construction: str, operation: str
) -> None:
    """A porous bush is never reamed (common practice, no source)."""
    place = position("drive_end_bushing", "bushing", **BUSH_SEAT)
    tight = size(**{**BUSH, "bore": (12.470, 12.474), "construction": construction})
    said = {one.dimension: one for one in check_seat(family(), place, tight, PartFacts(material=material))}
    assert said["bore"].verdict == "fits_with_rework"
    assert operation in said["bore"].text
    sized = said["bore"].text.split(operation)[1].split(" mm")[0]
    lower, upper = (float(end) for end in sized.split(".."))
    assert 12.474 < lower < upper < 12.6


def test_a_flange_does_not_count_to_the_length_in_the_seat() -> None:
    flanged: dict[str, Said] = {
        "length": (13.4, 13.6),
        "flange_diameter": (19.8, 20.2),
        "flange_thickness": (1.4, 1.55),
    }
    assert bush_verdict("length", flanged) == "fits"
    assert bush_verdict("length", {"length": (13.4, 13.6)}) == "does_not_fit"


def test_new_brushes_have_the_published_clearance_in_their_holders() -> None:
    """EASA AR100-2020, Table 2-12 (after IEC 60136): 6.3 mm 0.055 to 0.193, 12.5 mm 0.072 to 0.232."""
    place = position("brush_set", "brush_set", **BRUSH_SEAT)
    said = {reason.dimension: reason for reason in check_seat(family(), place, size(**BRUSH))}
    assert said["thickness"].verdict == said["width"].verdict == "fits"
    assert "0.055..0.193 mm" in said["thickness"].text
    assert "0.072..0.232 mm" in said["width"].text


@pytest.mark.parametrize(
    ("thickness", "verdict"),
    [
        ((6.40, 6.48), "does_not_fit"),
        ((6.33, 6.36), "does_not_fit"),  # it goes in and sticks once warm
        ((6.29, 6.32), "unknown"),
        ((6.10, 6.15), "unknown"),
        ((5.0, 5.1), "does_not_fit"),
    ],
)
def test_a_brush_that_binds_or_tips_does_not_pass(thickness: tuple[float, float], verdict: str) -> None:
    place = position("brush_set", "brush_set", **BRUSH_SEAT)
    said = check_seat(family(), place, size(**{**BRUSH, "thickness": thickness}))
    assert next(reason.verdict for reason in said if reason.dimension == "thickness") == verdict


def test_a_holder_beyond_the_published_table_is_unknown() -> None:
    place = position("brush_set", "brush_set", holder_thickness=(60.1, 60.2), holder_width=(12.532, 12.602))
    said = check_seat(family(), place, size(**{**BRUSH, "thickness": (60.0, 60.05)}))
    assert said[0].verdict == "unknown"


def contact_verdicts(part: dict[str, Said], **seat: Said) -> dict[str, str]:
    place = position("battery_side_contact", "contact", **{**CAP, **seat})
    said = check_seat(family(), place, size(**{**PLATE, **part}))
    return {reason.dimension: reason.verdict for reason in said}


def test_a_contact_of_the_right_size_passes_every_check_of_its_cap() -> None:
    assert set(contact_verdicts({}).values()) == {"fits"}
    assert set(contact_verdicts({})) == {"form", "stud_hole", "disc_diameter", "face_height"}


@pytest.mark.parametrize(
    ("part", "dimension", "verdict"),
    [
        ({"stud_hole": (6.4, 6.6)}, "stud_hole", "does_not_fit"),
        ({"stud_hole": (7.9, 8.1)}, "stud_hole", "unknown"),
        ({"stud_hole": (12.4, 12.6)}, "stud_hole", "does_not_fit"),
        ({"stud_hole": None}, "stud_hole", "unknown"),
        ({"face_height": (6.5, 6.7)}, "face_height", "does_not_fit"),  # the disc meets the other alone
        ({"face_height": (7.9, 8.1)}, "face_height", "unknown"),
        ({"seat_offset": (6.3, 6.7)}, "disc_diameter", "unknown"),  # too little of the face under the disc
        ({"seat_offset": (5.0, 5.4)}, "disc_diameter", "does_not_fit"),
    ],
)
def test_a_contact_has_to_go_on_its_stud_and_meet_the_disc(
    part: dict[str, Said], dimension: str, verdict: str
) -> None:
    assert contact_verdicts(part)[dimension] == verdict


@pytest.mark.parametrize(
    ("thread", "diameter", "dimension", "verdict"),
    [
        ("m8_1_25", (7.76, 7.97), "stud_thread", "fits"),
        ("m10_1_5", (9.73, 9.97), "stud_thread", "does_not_fit"),
        (None, (7.76, 7.97), "stud_diameter", "unknown"),  # 5/16-18 measures alike
        (None, (9.73, 9.97), "stud_diameter", "does_not_fit"),
    ],
)
def test_a_contact_that_is_its_own_stud_has_the_thread_of_the_cap(
    thread: str | None, diameter: tuple[float, float], dimension: str, verdict: str
) -> None:
    bolt: dict[str, Said] = {"stud_hole": None, "stud_diameter": diameter}
    if thread is not None:
        bolt["stud_thread"] = thread
    assert contact_verdicts(bolt)[dimension] == verdict


@pytest.mark.parametrize(
    ("change", "dimension", "verdict"),
    [
        ({}, "over_travel", "fits"),
        ({"over_travel": (2.0, 2.6)}, "over_travel", "unknown"),
        ({"over_travel": (3.3, 3.5)}, "over_travel", "does_not_fit"),
        ({}, "disc_diameter", "fits"),
        ({"disc_diameter": (22.0, 22.3)}, "disc_diameter", "unknown"),
        ({"disc_diameter": (19.0, 19.3)}, "disc_diameter", "does_not_fit"),
    ],
)
def test_the_disc_spans_both_contacts_and_leaves_them_at_rest(
    change: dict[str, Said], dimension: str, verdict: str
) -> None:
    place = position("contact_disc", "contact", **DISC_SEAT)
    said = check_seat(family(), place, size(**{**DISC, **change}))
    assert next(reason.verdict for reason in said if reason.dimension == dimension) == verdict


def test_the_contact_of_the_other_side_does_not_fit() -> None:
    place = position("motor_side_contact", "contact", stud_diameter=(7.76, 7.97))
    said = check_seat(family(), place, size(form="battery_side", stud_hole=(8.4, 8.6)))
    assert said[0].verdict == "does_not_fit"
    assert said[0].exact


@pytest.mark.parametrize(
    ("teeth", "pitch", "shift"), [(9, 10, 500), (9, 12, 500), (11, 8, 500), (13, 10, 400)]
)
def test_the_span_over_two_teeth_is_that_of_the_involute(teeth: int, pitch: int, shift: int) -> None:
    """By the tooth's thickness on the base circle, another way to the same span.

    Base pitch plus base thickness: m (pi / 2 + 2 x tan a) on the reference circle, carried to the base
    circle (the textbook formula of tooth thickness at any radius, from memory).
    """
    pinion = family().pinion
    found = span_over_two(
        type(pinion)(
            teeth=teeth,
            diametral_pitch=pitch,
            module_nm=None,
            pressure_angle_millidegrees=20_000,
            profile_shift_thousandths=shift,
        )
    )
    module, angle = 25.4 / pitch, math.radians(20)
    reference = module * teeth / 2
    thickness = module * (math.pi / 2 + 2 * shift / 1000 * math.tan(angle))
    base = reference * math.cos(angle)
    on_base = 2 * base * (thickness / (2 * reference) + math.tan(angle) - angle)
    assert found is not None
    assert math.isclose(found / 1e6, math.pi * module * math.cos(angle) + on_base, abs_tol=1e-5)


@pytest.mark.parametrize(
    ("change", "dimension", "verdict"),
    [
        ({}, "base_tangent_2", "fits"),
        ({"base_tangent_2": (11.70, 11.76)}, "base_tangent_2", "does_not_fit"),  # another pitch
        ({"base_tangent_2": (12.35, 12.41)}, "base_tangent_2", "unknown"),
        ({"base_tangent_2": None}, "base_tangent_2", "unknown"),
        ({"teeth": 10}, "teeth", "does_not_fit"),
        ({"rotation": "counter_clockwise"}, "rotation", "does_not_fit"),
        ({"shaft_bore": (11.9, 12.0)}, "shaft_bore", "does_not_fit"),
        ({"shaft_bore": (12.9, 12.95)}, "shaft_bore", "unknown"),
        ({"shaft_bore": (14.0, 14.1)}, "shaft_bore", "does_not_fit"),
        ({"spline_count": 8}, "spline_count", "does_not_fit"),
        ({"helix_hand": "left"}, "helix_hand", "does_not_fit"),
        ({"helix_lead": (164.0, 166.0)}, "helix_lead", "unknown"),
        ({"helix_lead": (189.0, 191.0)}, "helix_lead", "does_not_fit"),
        ({"overall_length": (66.0, 66.5)}, "overall_length", "does_not_fit"),  # it rests in the ring gear
        ({"overall_length": (55.0, 55.6)}, "travel", "unknown"),  # it may mesh too little
        ({"overall_length": (48.0, 48.6)}, "travel", "does_not_fit"),
        ({"fork_groove_width": (7.9, 8.0)}, "fork_groove_width", "does_not_fit"),
        ({"fork_groove_width": None}, "fork_groove_width", "unknown"),
    ],
)
def test_a_drive_has_the_teeth_the_turn_and_the_bore_of_its_family(
    change: dict[str, Said], dimension: str, verdict: str
) -> None:
    place = position("drive_clutch", "drive_clutch", **DRIVE_SEAT)
    said = check_seat(family(), place, size(**{**DRIVE, **change}))
    assert next(reason.verdict for reason in said if reason.dimension == dimension) == verdict


@pytest.mark.parametrize(
    ("code", "kind", "part"),
    [
        ("drive_end_bushing", "bushing", BUSH),
        ("battery_side_contact", "contact", PLATE),
        ("contact_disc", "contact", DISC),
        ("brush_set", "brush_set", BRUSH),
        ("drive_clutch", "drive_clutch", DRIVE),
    ],
)
def test_a_seat_that_is_not_recorded_is_never_a_pass(code: str, kind: str, part: dict[str, Said]) -> None:
    bare = position(code, kind)
    assert "unknown" in {reason.verdict for reason in check_seat(family(), bare, size(**part))}
    judged = judge_by_size(Seat.of(family(), bare), size(**part), ANY_PART, [("same_size", size(**part))])
    assert judged.grade == "unknown"


def test_nothing_is_said_where_no_kind_covers_the_position() -> None:
    assert check_seat(family(), position("plunger", None), {}) == ()


def judge(part: dict[str, Said], voltage: int | None = None, **changes: Any) -> str:
    place = position("brush_set", "brush_set", **BRUSH_SEAT)
    return judge_listed(Seat.of(family(**changes), place), size(**part), PartFacts(voltage)).grade


def test_a_listing_is_no_pass_where_the_seat_leaves_something_open() -> None:
    assert judge(BRUSH) == "fits"
    assert judge({"brush_count": 4, "rated_voltage": 12}) == "unknown"
    assert judge({**BRUSH, "thickness": (6.40, 6.48)}) == "unknown"
    assert judge({**BRUSH, "rated_voltage": 24}) == "does_not_fit"
    assert judge(BRUSH, voltage=24) == "does_not_fit"
    assert judge(BRUSH, brush_count=2) == "does_not_fit"


def test_the_listed_size_that_speaks_best_for_a_part_counts() -> None:
    place = position("brush_set", "brush_set", **BRUSH_SEAT)
    shorter_lead: dict[str, Said] = {**BRUSH, "lead_length": (20.0, 24.0)}
    judged = judge_by_size(
        Seat.of(family(), place),
        size(**BRUSH),
        ANY_PART,
        [("look_alike", size(**shorter_lead)), ("overlapping_size", size(**BRUSH))],
    )
    assert (judged.relation, judged.grade) == ("overlapping_size", "fits")


def test_the_seat_goes_before_the_removed_part() -> None:
    """A wider bore than the listed one fits all the same where the shaft runs in it."""
    place = position("drive_end_bushing", "bushing", **BUSH_SEAT)
    wider = size(**{**BUSH, "bore": (12.506, 12.540)})
    judged = judge_by_size(Seat.of(family(), place), wider, ANY_PART, [("overlapping_size", size(**BUSH))])
    assert judged.grade == "fits"
