"""What a seat says of a size: it goes in, holds, runs, and is of the right count, voltage and rotation."""

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from bench import BRUSH, BRUSH_SEAT, BUSH, BUSH_SEAT, DRIVE, DRIVE_SEAT, Said, family, position, size

from api.interchange.check_bushing import greatest_close_in
from api.interchange.check_pinion import span_over_two
from api.interchange.check_seat import HOLDER_CLEARANCES, check_seat
from api.interchange.judge_part import PartFacts, judge_by_size, judge_listed


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
        ((12.460, 12.478), "unknown"),
        ((12.480, 12.498), "unknown"),  # free it runs, pressed in it may bind
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


def test_a_flange_does_not_count_to_the_length_in_the_seat() -> None:
    flanged: dict[str, Said] = {
        "length": (13.4, 13.6),
        "flange_diameter": (19.8, 20.2),
        "flange_thickness": (1.4, 1.55),
    }
    assert bush_verdict("length", flanged) == "fits"
    assert bush_verdict("length", {"length": (13.4, 13.6)}) == "does_not_fit"


@pytest.mark.parametrize(("bore", "outside"), [(12.0, 16.0), (10.0, 14.0), (8.0, 12.0), (15.875, 19.05)])
def test_the_bore_closes_in_as_a_thick_walled_ring_does(bore: float, outside: float) -> None:
    """Lamé's ring in plane stress, solved numerically: u = c1 r + c2 / r, no pressure inside."""
    poisson, interference = 0.34, 0.034
    r_in, r_out = bore / 2, outside / 2
    no_pressure = [1 + poisson, -(1 - poisson) / r_in**2]
    pressed = [r_out, 1 / r_out]
    c1, c2 = np.linalg.solve(np.array([no_pressure, pressed]), np.array([0.0, -interference / 2]))
    closing = -2 * (c1 * r_in + c2 / r_in)
    computed = greatest_close_in(round(bore * 1e6), round(outside * 1e6), round(interference * 1e6)) / 1e6
    assert math.isclose(computed, closing, abs_tol=2e-6)
    assert greatest_close_in(round(bore * 1e6), round(outside * 1e6), -5000) == 0


def test_new_brushes_have_the_published_clearance_in_their_holders() -> None:
    """EASA AR100-2020, Table 2-12 (after IEC 60136): 6.3 mm 0.055 to 0.193, 12.5 mm 0.072 to 0.232."""
    place = position("brush_set", "brush_set", **BRUSH_SEAT)
    said = {reason.dimension: reason for reason in check_seat(family(), place, size(**BRUSH))}
    assert said["thickness"].verdict == said["width"].verdict == "fits"
    assert "0.055..0.193 mm" in said["thickness"].text
    assert "0.072..0.232 mm" in said["width"].text
    assert all(one < other for one, other in pairwise(HOLDER_CLEARANCES))


@pytest.mark.parametrize(
    ("thickness", "verdict"),
    [
        ((6.40, 6.48), "does_not_fit"),
        ((6.33, 6.36), "unknown"),
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


@pytest.mark.parametrize(
    ("code", "part", "seat", "dimension", "verdict"),
    [
        ("battery_side_contact", {"stud_hole": (8.4, 8.6)}, (7.76, 7.97), "stud_hole", "fits"),
        ("battery_side_contact", {"stud_hole": (6.4, 6.6)}, (7.76, 7.97), "stud_hole", "does_not_fit"),
        ("battery_side_contact", {"stud_hole": (7.9, 8.1)}, (7.76, 7.97), "stud_hole", "unknown"),
        ("battery_side_contact", {"stud_hole": (12.4, 12.6)}, (7.76, 7.97), "stud_hole", "does_not_fit"),
        ("battery_side_contact", {"stud_diameter": (7.76, 7.97)}, (7.76, 7.97), "stud_diameter", "fits"),
        (
            "battery_side_contact",
            {"stud_diameter": (9.7, 9.97)},
            (7.76, 7.97),
            "stud_diameter",
            "does_not_fit",
        ),
        ("battery_side_contact", {}, (7.76, 7.97), "stud_hole", "unknown"),
    ],
)
def test_a_contact_has_to_go_on_its_stud(
    code: str, part: dict[str, Said], seat: tuple[float, float], dimension: str, verdict: str
) -> None:
    place = position(code, "contact", stud_diameter=seat)
    said = check_seat(family(), place, size(form="battery_side", **part))
    assert {reason.dimension: reason.verdict for reason in said} == {"form": "fits", dimension: verdict}


@pytest.mark.parametrize(
    ("over", "verdict"), [((1.2, 1.8), "fits"), ((2.0, 2.6), "unknown"), ((3.0, 3.5), "does_not_fit")]
)
def test_the_disc_travels_further_than_its_over_travel(over: tuple[float, float], verdict: str) -> None:
    place = position("contact_disc", "contact", disc_travel=(2.4, 3.0))
    said = check_seat(family(), place, size(form="disc", over_travel=over))
    assert said[1].verdict == verdict
    assert check_seat(family(), place, size(form="disc"))[1].verdict == "unknown"


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
        ("battery_side_contact", "contact", {"form": "battery_side", "stud_hole": (8.4, 8.6)}),
        ("contact_disc", "contact", {"form": "disc", "over_travel": (1.2, 1.8)}),
        ("brush_set", "brush_set", BRUSH),
        ("drive_clutch", "drive_clutch", DRIVE),
    ],
)
def test_a_seat_that_is_not_recorded_is_never_a_pass(code: str, kind: str, part: dict[str, Said]) -> None:
    bare = position(code, kind)
    assert "unknown" in {reason.verdict for reason in check_seat(family(), bare, size(**part))}
    judged = judge_by_size(family(), bare, size(**part), [("same_size", size(**part))])
    assert judged.grade == "unknown"


def test_nothing_is_said_where_no_kind_covers_the_position() -> None:
    assert check_seat(family(), position("plunger", None), {}) == ()


def judge(part: dict[str, Said], voltage: int | None = None, **changes: Any) -> str:
    place = position("brush_set", "brush_set", **BRUSH_SEAT)
    return judge_listed(family(**changes), place, size(**part), PartFacts(voltage)).grade


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
        family(),
        place,
        size(**BRUSH),
        [("look_alike", size(**shorter_lead)), ("overlapping_size", size(**BRUSH))],
    )
    assert (judged.relation, judged.grade) == ("overlapping_size", "fits")


def test_the_seat_goes_before_the_removed_part() -> None:
    """A wider bore than the listed one fits all the same where the shaft runs in it."""
    place = position("drive_end_bushing", "bushing", **BUSH_SEAT)
    wider = size(**{**BUSH, "bore": (12.506, 12.540)})
    judged = judge_by_size(family(), place, wider, [("overlapping_size", size(**BUSH))])
    assert judged.grade == "fits"
