"""The outline of each kind of part from its dimensions. Pure."""

from collections.abc import Callable, Mapping
from typing import Final

from api.fit.drawings.draw_pinion import pinion_views
from api.fit.drawings.outlines import Callout, Circle, Dimensions, Line, Outline, View, across, rectangle


def draw_part(kind: str, lengths_mm: Mapping[str, float], counts: Mapping[str, int]) -> Outline:
    """Return the outline of a part of a kind: its lengths in mm and its counts by dimension.

    A dimension that does not apply (the flange of a plain bush) is simply left out. A kind without a
    rule has no views.
    """
    draw = _DRAWN.get(kind)
    if draw is None:
        return Outline(())
    dimensions = Dimensions(lengths_mm)
    views = tuple(draw(dimensions, counts))
    return Outline(views, tuple(dimensions.missing))


def _bushing(of: Dimensions, counts: Mapping[str, int]) -> list[View]:
    if not of.has("bore", "outside_diameter"):
        return []
    bore, outside = of.of("bore"), of.of("outside_diameter")
    is_flanged = of.known("flange_diameter") and of.known("flange_thickness")
    flange = of.of("flange_diameter") if is_flanged else outside
    circles = [Circle((0.0, 0.0), outside), Circle((0.0, 0.0), bore)]
    callouts = [across("bore", bore), across("outside_diameter", outside)]
    if is_flanged:
        circles.insert(0, Circle((0.0, 0.0), flange))
        callouts.append(across("flange_diameter", flange))
    end = View("end", tuple(circles), tuple(callouts))
    if not of.has("length"):
        return [end]
    length = of.of("length")
    thickness = of.of("flange_thickness") if is_flanged else 0.0
    walls = tuple(_wall(bore, outside, flange, thickness, length, side) for side in (1.0, -1.0))
    measured = [
        Callout("length", (0.0, -flange / 2), (length, -flange / 2)),
        Callout("outside_diameter", (length, -outside / 2), (length, outside / 2)),
        Callout("bore", (length / 2, -bore / 2), (length / 2, bore / 2)),
    ]
    if is_flanged:
        measured.append(Callout("flange_thickness", (0.0, flange / 2), (thickness, flange / 2)))
    return [end, View("section", walls, tuple(measured))]


def _wall(bore: float, outside: float, flange: float, thickness: float, length: float, side: float) -> Line:
    """Return one cut wall of a bush, its flange (if any) at the left end."""
    inner, outer, rim = side * bore / 2, side * outside / 2, side * flange / 2
    if thickness == 0:
        return Line(((0.0, inner), (length, inner), (length, outer), (0.0, outer)))
    return Line(
        ((0.0, inner), (length, inner), (length, outer), (thickness, outer), (thickness, rim), (0.0, rim))
    )


def _contact(of: Dimensions, counts: Mapping[str, int]) -> list[View]:
    if of.known("disc_diameter"):
        return _disc(of)
    if not of.has("width", "seat_offset", "thickness", "face_height"):
        return []
    width, offset = of.of("width"), of.of("seat_offset")
    thickness, height = of.of("thickness"), of.of("face_height")
    stud = "stud_hole" if of.known("stud_hole") else "stud_diameter"
    diameter = of.of(stud)
    plate = rectangle(-width / 2, -width / 2, offset, width / 2)
    callouts = (
        Callout("width", (0.0, -width / 2), (0.0, width / 2)),
        Callout("seat_offset", (0.0, 0.0), (offset, 0.0)),
        across(stud, diameter),
    )
    face = View("face", (plate, Circle((0.0, 0.0), diameter)), callouts)
    foot = max(diameter / 2, width / 4)
    profile = Line(
        (
            (-width / 2, 0.0),
            (foot + thickness, 0.0),
            (foot + thickness, height - thickness),
            (offset, height - thickness),
            (offset, height),
            (foot, height),
            (foot, thickness),
            (-width / 2, thickness),
        )
    )
    measured = [
        Callout("thickness", (offset, height - thickness), (offset, height)),
        Callout("face_height", (foot, 0.0), (foot, height)),
    ]
    shapes: list[Circle | Line] = [profile]
    if of.known("stud_length") and stud == "stud_diameter":
        length = of.of("stud_length")
        shapes.append(rectangle(-diameter / 2, -length, diameter / 2, 0.0))
        measured.append(Callout("stud_length", (0.0, -length), (0.0, 0.0)))
    return [face, View("side", tuple(shapes), tuple(measured))]


def _disc(of: Dimensions) -> list[View]:
    diameter = of.of("disc_diameter")
    views = [View("face", (Circle((0.0, 0.0), diameter),), (across("disc_diameter", diameter),))]
    if of.has("thickness"):
        thickness = of.of("thickness")
        edge = rectangle(-diameter / 2, 0.0, diameter / 2, thickness)
        callout = Callout("thickness", (diameter / 2, 0.0), (diameter / 2, thickness))
        views.append(View("side", (edge,), (callout,)))
    return views


def _brush(of: Dimensions, counts: Mapping[str, int]) -> list[View]:
    if not of.has("length", "thickness", "width"):
        return []
    length = of.of("length")
    lead = of.of("lead_length") if of.known("lead_length") else 0.0
    views = []
    for name, across_code in (("front", "width"), ("side", "thickness")):
        wide = of.of(across_code)
        shapes: list[Circle | Line] = [rectangle(-wide / 2, 0.0, wide / 2, length)]
        callouts = [
            Callout(across_code, (-wide / 2, 0.0), (wide / 2, 0.0)),
            Callout("length", (wide / 2, 0.0), (wide / 2, length)),
        ]
        if lead:
            shapes.append(Line(((0.0, length), (0.0, length + lead)), is_closed=False))
            callouts.append(Callout("lead_length", (0.0, length), (0.0, length + lead)))
        views.append(View("front" if name == "front" else "side", tuple(shapes), tuple(callouts)))
    return views


_DRAWN: Final[Mapping[str, Callable[[Dimensions, Mapping[str, int]], list[View]]]] = {
    "bushing": _bushing,
    "contact": _contact,
    "brush_set": _brush,
    "drive_clutch": pinion_views,
}
