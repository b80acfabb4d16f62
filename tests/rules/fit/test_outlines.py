"""Outlines are to scale: every callout spans its dimension, and teeth are as thick as a handbook says."""

import math
from itertools import pairwise

import pytest

from api.fit.drawings.draw_part import draw_part
from api.fit.drawings.outlines import Circle, Line, Outline, View

BUSH = {"bore": 12.509, "outside_diameter": 16.0285, "length": 12.0}
PLATE = {"thickness": 2.5, "face_height": 9.0, "stud_hole": 8.5, "width": 14.0, "seat_offset": 8.5}
BOLT = {"thickness": 2.5, "face_height": 9.0, "width": 14.0, "seat_offset": 8.5}
BRUSH = {"length": 15.0, "thickness": 6.3, "width": 12.5, "lead_length": 32.0}

# Elements of Metric Gear Technology, table 10-1: module 10, 20 degrees, 12 teeth, profile shift 0.3,
# addendum 13: half a tooth covers an angle of 8.54270 degrees at the pitch circle (radius 60 mm).
MODULE, TEETH, SHIFT, ANGLE = 10.0, 12, 0.3, math.radians(20)
BASE_PITCH = math.pi * MODULE * math.cos(ANGLE)
INVOLUTE = math.tan(ANGLE) - ANGLE


def span(teeth: int) -> float:
    arcs = math.pi * (teeth - 0.5) + TEETH * INVOLUTE
    return MODULE * math.cos(ANGLE) * arcs + 2 * SHIFT * MODULE * math.sin(ANGLE)


PINION = {
    "tip_diameter": 2 * (60 + 13.0),
    "base_tangent_2": span(2),
    "base_tangent_3": span(3),
    "face_width": 20.0,
    "overall_length": 70.0,
    "shaft_bore": 30.0,
}


def view(outline: Outline, name: str) -> View:
    return next(one for one in outline.views if one.name == name)


@pytest.mark.parametrize(
    ("kind", "lengths", "counts"),
    [
        ("bushing", BUSH, {}),
        ("bushing", {**BUSH, "flange_diameter": 20.0, "flange_thickness": 1.5}, {}),
        ("contact", PLATE, {}),
        (
            "contact",
            {
                **{k: v for k, v in PLATE.items() if k != "stud_hole"},
                "stud_diameter": 7.9,
                "stud_length": 22.0,
            },
            {},
        ),
        ("contact", {"disc_diameter": 26.0, "thickness": 2.5}, {}),
        ("brush_set", BRUSH, {"brush_count": 4}),
        ("drive_clutch", PINION, {"teeth": TEETH}),
    ],
)
def test_every_callout_spans_its_dimension(
    kind: str, lengths: dict[str, float], counts: dict[str, int]
) -> None:
    outline = draw_part(kind, lengths, counts)
    assert outline.missing == ()
    called = [callout for one in outline.views for callout in one.callouts]
    for callout in called:
        assert math.dist(callout.start, callout.end) == pytest.approx(lengths[callout.dimension]), callout
    drawn_by_shape = {"base_tangent_2", "base_tangent_3"}
    assert {callout.dimension for callout in called} == set(lengths) - drawn_by_shape


def test_views_are_as_large_as_the_part() -> None:
    (left, bottom), (right, top) = view(draw_part("bushing", BUSH, {}), "section").bounds()
    assert (right - left, top - bottom) == pytest.approx((12.0, 16.0285))
    (left, bottom), (right, top) = view(draw_part("drive_clutch", PINION, {"teeth": TEETH}), "end").bounds()
    assert (right - left, top - bottom) == pytest.approx((146.0, 146.0), abs=1.0)  # no tooth stands upright


def test_a_flange_stands_out_at_one_end_alone() -> None:
    flanged = draw_part("bushing", {**BUSH, "flange_diameter": 20.0, "flange_thickness": 1.5}, {})
    points = [
        point for one in view(flanged, "section").shapes if isinstance(one, Line) for point in one.points
    ]
    assert max(abs(y) for _, y in points) == pytest.approx(10.0)
    assert max(x for x, y in points if abs(y) == pytest.approx(10.0)) == pytest.approx(1.5)


def test_teeth_are_as_thick_as_the_handbook_says() -> None:
    teeth = next(
        one
        for one in view(draw_part("drive_clutch", PINION, {"teeth": TEETH}), "end").shapes
        if isinstance(one, Line)
    )
    assert len(teeth.points) == TEETH * 2 * 17
    flank = sorted(teeth.points[:17], key=lambda point: math.hypot(*point))
    for (x, y), (far_x, far_y) in pairwise(flank):
        near, far = math.hypot(x, y), math.hypot(far_x, far_y)
        if near <= 60 <= far:
            share = (60 - near) / (far - near)
            angle = math.atan2(y, x) + share * (math.atan2(far_y, far_x) - math.atan2(y, x))
            assert math.degrees(abs(angle)) == pytest.approx(8.54270, abs=0.01)
            break
    else:
        raise AssertionError("the flank does not cross the pitch circle")


def test_a_chord_of_the_drawn_flank_lies_within_a_hundredth_of_the_curve() -> None:
    from_base = draw_part("drive_clutch", {**PINION, "tip_diameter": 146.0}, {"teeth": TEETH})
    teeth = next(one for one in view(from_base, "end").shapes if isinstance(one, Line))
    base = TEETH * BASE_PITCH / (2 * math.pi)
    thickness = span(2) - BASE_PITCH
    for (x, y), (far_x, far_y) in zip(teeth.points[1:16], teeth.points[2:17], strict=True):
        middle_x, middle_y = (x + far_x) / 2, (y + far_y) / 2
        radius = math.hypot(middle_x, middle_y)
        pressure = math.acos(base / radius)
        half = thickness / (2 * base) - (math.tan(pressure) - pressure)
        # On a module of 10, five times a starter pinion's: a fifth of the error on a real one.
        assert abs(abs(math.atan2(middle_y, middle_x)) - half) * radius < 0.05


def test_teeth_that_come_to_a_point_end_there() -> None:
    pointed = draw_part("drive_clutch", {**PINION, "tip_diameter": 160.0}, {"teeth": TEETH})
    teeth = next(one for one in view(pointed, "end").shapes if isinstance(one, Line))
    assert max(math.hypot(x, y) for x, y in teeth.points) < 80.0


@pytest.mark.parametrize(
    ("lengths", "counts", "missing"),
    [
        ({"tip_diameter": 29.6}, {}, ("face_width", "overall_length")),
        (
            {"tip_diameter": 29.6, "base_tangent_2": 12.4},
            {"teeth": 9},
            ("base_tangent_3", "face_width", "overall_length"),
        ),
        (
            {"tip_diameter": 29.6, "base_tangent_2": 12.4, "base_tangent_3": 12.4},
            {"teeth": 9},
            ("face_width", "overall_length"),
        ),
    ],
)
def test_teeth_that_the_spans_do_not_give_are_a_circle(
    lengths: dict[str, float], counts: dict[str, int], missing: tuple[str, ...]
) -> None:
    outline = draw_part("drive_clutch", lengths, counts)
    assert view(outline, "end").shapes == (Circle((0.0, 0.0), 29.6),)
    assert outline.missing == missing


def test_a_base_pitch_stands_in_for_the_span_over_three_teeth() -> None:
    lengths = {"tip_diameter": 146.0, "base_tangent_2": span(2), "base_pitch": BASE_PITCH}
    assert isinstance(view(draw_part("drive_clutch", lengths, {"teeth": TEETH}), "end").shapes[0], Line)


@pytest.mark.parametrize(
    ("kind", "lengths", "missing"),
    [
        ("bushing", {"bore": 12.5}, ("outside_diameter",)),
        ("contact", {"width": 14.0}, ("seat_offset", "thickness", "face_height")),
        ("brush_set", {}, ("length", "thickness", "width")),
        ("drive_clutch", {}, ("tip_diameter",)),
        ("planet_gears", {"length": 3.0}, ()),
    ],
)
def test_what_cannot_be_drawn_is_named(
    kind: str, lengths: dict[str, float], missing: tuple[str, ...]
) -> None:
    assert draw_part(kind, lengths, {}) == Outline((), missing)


def test_what_can_be_drawn_without_the_missing_dimension_is_drawn() -> None:
    outline = draw_part("bushing", {"bore": 12.5, "outside_diameter": 16.0}, {})
    assert [one.name for one in outline.views] == ["end"]
    assert outline.missing == ("length",)
    outline = draw_part("contact", {"disc_diameter": 26.0}, {})
    assert [one.name for one in outline.views] == ["face"]
    assert outline.missing == ("thickness",)
