"""The outline of a drive: its teeth from the spans over them, its lengths from the side. Pure.

The flanks follow from two lengths alone, whatever the pressure angle: the base pitch p (span over three
teeth less span over two) and the base thickness s = span over two - p. On a base circle of radius
r = z p / 2 pi, half a tooth covers s / 2r - inv(a) at the radius r / cos(a) (involute gearing; formula
of ISO 21771, from memory).
"""

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Final

from api.fit.drawings.outlines import Callout, Circle, Dimensions, Line, Point, View, across, rectangle
from api.fit.gears.involute import involute

FLANK_STEPS: Final = 16
"""Points along one flank: the line then lies within a hundredth of a millimetre (checked by a test)."""


def pinion_views(of: Dimensions, counts: Mapping[str, int]) -> list[View]:
    """Return the end view of the teeth and the side view of a drive.

    Where the span over three teeth is not recorded (it runs off the tips of some pinions) a `base_pitch`
    among the lengths serves; without either the end view is its tip circle. Teeth are drawn from the
    base circle up: their root is no dimension.
    """
    if not of.has("tip_diameter"):
        return []
    tip = of.of("tip_diameter")
    shapes: list[Circle | Line] = [_teeth(of, counts.get("teeth")) or Circle((0.0, 0.0), tip)]
    callouts = [across("tip_diameter", tip)]
    if of.known("shaft_bore"):
        bore = of.of("shaft_bore")
        shapes.append(Circle((0.0, 0.0), bore))
        callouts.append(across("shaft_bore", bore))
    views = [View("end", tuple(shapes), tuple(callouts))]
    if of.has("face_width", "overall_length"):
        face, whole = of.of("face_width"), of.of("overall_length")
        side: tuple[Circle | Line, ...] = (
            rectangle(0.0, -tip / 2, face, tip / 2),
            Line(((0.0, 0.0), (whole, 0.0)), is_closed=False),
        )
        measured = (
            Callout("face_width", (0.0, -tip / 2), (face, -tip / 2)),
            Callout("overall_length", (0.0, 0.0), (whole, 0.0)),
        )
        views.append(View("side", side, measured))
    return views


def _teeth(of: Dimensions, teeth: int | None) -> Line | None:
    """Return the closed line of all teeth, or None where the spans do not give them."""
    if teeth is None or not of.has("base_tangent_2"):
        return None
    if of.known("base_pitch"):
        pitch = of.of("base_pitch")
    elif of.has("base_tangent_3"):
        pitch = of.of("base_tangent_3") - of.of("base_tangent_2")
    else:
        return None
    base, tip = teeth * pitch / (2 * math.pi), of.of("tip_diameter") / 2
    thickness = of.of("base_tangent_2") - pitch
    if pitch <= 0 or thickness <= 0 or base >= tip:
        return None
    points: list[Point] = []
    for tooth in range(teeth):
        middle = 2 * math.pi * tooth / teeth
        flank = _flank(base, tip, thickness)
        points += [_polar(radius, middle - half) for radius, half in flank]
        points += [_polar(radius, middle + half) for radius, half in reversed(flank)]
    return Line(tuple(points))


def _flank(base: float, tip: float, thickness: float) -> list[tuple[float, float]]:
    """Return (radius, half the tooth's angle) from the base circle to the tip, or to where it is pointed."""
    half_at_base = thickness / (2 * base)
    # Denser at the base circle, where an involute leaves it at a right angle.
    steps = [base + (tip - base) * (step / FLANK_STEPS) ** 1.5 for step in range(FLANK_STEPS + 1)]
    flank = [(radius, half_at_base - involute(math.acos(min(base / radius, 1.0)))) for radius in steps]
    if flank[-1][1] >= 0:
        return flank
    whole = [pair for pair in flank if pair[1] > 0]
    (low, above), (high, below) = next((a, b) for a, b in pairwise(flank) if a[1] > 0 >= b[1])
    return [*whole, (low + (high - low) * above / (above - below), 0.0)]


def _polar(radius: float, angle: float) -> Point:
    return radius * math.cos(angle), radius * math.sin(angle)
