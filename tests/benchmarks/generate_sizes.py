"""Sizes of the four kinds for a generated catalogue, each drawn whole: what goes together is drawn together.

Every size passes the rules of the catalogue (spans, what a kind records, what is smaller than what). The
steps are preferred numbers of the trade as the seed catalogue uses them; how usual each is, our judgement.
"""

import math
from collections.abc import Callable, Hashable

import attrs

from tests.benchmarks.generate_draws import NM_PER_MM, Draws, about, between, classed

BORES_MM = (12, 14, 10, 12.5, 16, 15, 11, 13, 17, 9, 8, 18, 19, 20, 12.7, 22, 14.3, 15.9, 11.1, 9.5, 24, 25)
LENGTHS_MM = (12, 14, 10, 16, 15, 18, 20, 8, 13, 11, 22, 17, 25, 9, 12.7, 15.9, 19, 24, 30)
CLASSES = {"porous": ("G7", "r6"), "solid": ("F7", "s7"), "wrapped": ("F8", "s7")}
THICKNESSES_MM = (2.5, 3, 3.5, 2, 4, 3.2, 2.1, 5, 2.6, 3.1, 3.9, 4.5)
FACES_MM = (9, 10, 8, 11, 9.5, 12, 8.5, 10.5, 12.5, 7.5, 13, 14)
STUDS = {"m8_1_25": 8, "m10_1_5": 10, "m6_1": 6, "m12_1_75": 12}
BRUSH_MM = (12.5, 16, 10, 20, 8, 25)
BRUSH_THICKNESSES_MM = (6.3, 8, 5, 10, 4, 12.5)
MODULES_NM = (2_540_000, 2_500_000, 3_000_000, 2_116_667, 2_750_000, 3_175_000, 2_250_000)
"""Modules of drive pinions: diametral pitches 10, 12 and 8 among those in whole quarter millimetres."""
TEETH = (9, 10, 11, 8, 12, 13)
PRESSURE_ANGLE = math.radians(20)
PROFILE_SHIFT, ADDENDUM = 0.5, 0.8

NOTHING = "n/a"


@attrs.frozen(eq=False, slots=True)
class DrawnSize:
    """A size: its dimensions as written, what makes it the same as another, and what a seat needs of it."""

    kind: str
    cells: dict[str, str]
    same: Hashable
    seat: dict[str, int | str]


def draw_bushing(draws: Draws, near: bool) -> DrawnSize:
    """Return a bush by ISO 286 classes: free bore, outside for a press fit, length js13."""
    bore = draws.length_nm(BORES_MM)
    wall = draws.length_nm((2, 1.5, 2.5, 1, 3))
    length = draws.length_nm(LENGTHS_MM)
    construction = draws.usual(("porous", "solid", "wrapped"))
    oil = "none" if construction == "porous" else draws.usual(("groove", "none", "hole"))
    flange = draws.usual((0, 0, 0, 4, 0, 5, 3, 6))
    if near:
        length = draws.near_nm(length)
        bore = draws.near_nm(bore) if draws.source.random() < 0.3 else bore
    outside = bore + 2 * wall
    hole, shaft = CLASSES[construction]
    return DrawnSize(
        kind="bushing",
        cells={
            "bore": classed(bore, hole, "hole"),
            "outside_diameter": classed(outside, shaft, "shaft"),
            "length": classed(length, "js13", "shaft"),
            "flange_diameter": about(outside + flange * NM_PER_MM, 0.2) if flange else NOTHING,
            "flange_thickness": between(wall, 0.1, 0.05) if flange else NOTHING,
            "oil_supply": oil,
            "construction": construction,
        },
        same=(bore, outside, length, construction, oil, flange),
        seat={"bore_nm": bore, "outside_nm": outside, "length_nm": length},
    )


def draw_contact(draws: Draws, near: bool) -> DrawnSize:
    """Return a fixed contact, held through a hole or by its own stud, or the disc between two of them."""
    thickness = draws.length_nm(THICKNESSES_MM)
    if near:
        thickness = max(1_500_000, draws.near_nm(thickness))
    if draws.source.random() < 0.24:
        return _disc(draws, thickness)
    form = draws.source.choice(("battery_side", "motor_side"))
    face = draws.length_nm(FACES_MM)
    width = draws.length_nm((14, 16, 12, 18, 20, 22, 15, 13, 24))
    offset = draws.length_nm((8.5, 8, 9, 7.5, 10, 10.5, 7, 11))
    hand = draws.usual(("neutral", "left", "right"))
    thread = draws.usual(tuple(STUDS))
    stud = STUDS[thread] * NM_PER_MM
    studded = draws.source.random() < 0.3
    stud_length = draws.length_nm((35, 40, 42, 30, 45, 38, 50)) if studded else 0
    return DrawnSize(
        kind="contact",
        cells={
            "form": form,
            "thickness": about(thickness, 0.05),
            "face_height": about(face, 0.1),
            "stud_hole": NOTHING if studded else between(stud, -0.4, 0.6),
            "stud_diameter": between(stud, 0.3, -0.03) if studded else NOTHING,
            "stud_thread": thread if studded else NOTHING,
            "stud_length": about(stud_length, 0.5) if studded else NOTHING,
            "width": about(width, 0.2),
            "seat_offset": about(offset, 0.2),
            "disc_diameter": NOTHING,
            "over_travel": NOTHING,
            "hand": hand,
        },
        same=(form, thickness, face, width, offset, hand, thread, stud_length),
        seat={"form": form, "thread": thread, "face_nm": face},
    )


def _disc(draws: Draws, thickness: int) -> DrawnSize:
    diameter = draws.length_nm((26, 24, 28, 32, 30, 36, 25.5, 34, 22, 37, 40))
    travel = draws.length_nm((1.2, 1.5, 1.8, 1, 2, 2.2))
    hand = "neutral"
    cells = dict.fromkeys(
        ("face_height", "stud_hole", "stud_diameter", "stud_thread", "stud_length", "width", "seat_offset"),
        NOTHING,
    )
    cells |= {"form": "disc", "thickness": about(thickness, 0.05), "disc_diameter": about(diameter, 0.15)}
    cells |= {"over_travel": about(travel, 0.3), "hand": hand}
    return DrawnSize(
        "contact", cells, ("disc", thickness, diameter, travel), {"form": "disc", "disc_nm": diameter}
    )


def draw_brush_set(draws: Draws, near: bool) -> DrawnSize:
    """Return a brush set: preferred sizes of IEC 60136 with the clearance that the seed catalogue states."""
    thickness = draws.length_nm(BRUSH_THICKNESSES_MM)
    width, length = draws.length_nm(BRUSH_MM), draws.length_nm((16, 12.5, 20, 14, 18, 22, 25, 10))
    lead = draws.length_nm((40, 32, 36, 45, 50, 30, 55, 60, 28, 65))
    if near:
        lead, length = draws.near_nm(lead), draws.near_nm(length)
    count = draws.usual((4, 4, 2, 6, 8))
    voltage = draws.usual((12, 12, 24))
    terminal = draws.usual(("bare", "eyelet", "tag", "fork"))
    leaves, bevel = draws.usual(("top", "side")), draws.usual(("none", "none", "single", "double"))
    grade = "copper_lean_24v" if voltage == 24 else draws.usual(("copper_rich_12v", "copper_medium_12v"))
    return DrawnSize(
        kind="brush_set",
        cells={
            "length": about(length, 0.3),
            "thickness": between(thickness, 0.11, -0.03),
            "width": between(width, 0.13, -0.04),
            "lead_length": about(lead, 2),
            "brush_count": str(count),
            "terminal": terminal,
            "lead_exit": leaves,
            "bevel": bevel,
            "grade": grade,
            "rated_voltage": str(voltage),
        },
        same=(thickness, width, length, lead, count, voltage, terminal, leaves, bevel, grade),
        seat={"thickness_nm": thickness, "width_nm": width, "lead_nm": lead, "voltage": voltage},
    )


def draw_drive_clutch(draws: Draws, near: bool) -> DrawnSize:
    """Return a drive: its tip and spans over teeth by the formulas of involute gearing."""
    teeth, module = draws.usual(TEETH), draws.usual(MODULES_NM)
    bore = draws.length_nm((12.5, 14, 12, 11, 15, 10, 16, 17, 13))
    face_width = draws.length_nm((16, 17, 18, 20, 21, 22, 24, 15))
    overall = draws.length_nm((62, 66, 70, 58, 74, 78, 82, 86, 64, 68))
    groove = draws.length_nm((8.5, 9, 9.5, 8, 10, 10.5))
    if near:
        overall, face_width = draws.near_nm(overall), draws.near_nm(face_width)
    splines, lead = draws.usual((10, 8, 12, 6)), draws.length_nm((160, 140, 165, 180, 205, 210, 230))
    rotation = draws.usual(("clockwise", "clockwise", "counter_clockwise"))
    hand = "right" if rotation == "clockwise" else "left"
    tip = round(module * (teeth + 2 * PROFILE_SHIFT + 2 * ADDENDUM))
    spans = [_span_nm(module, teeth, over) for over in (2, 3)]
    major = bore + round(0.35 * bore / NM_PER_MM) * NM_PER_MM
    return DrawnSize(
        kind="drive_clutch",
        cells={
            "teeth": str(teeth),
            "tip_diameter": between(tip, 0.12, 0),
            "base_tangent_2": between(spans[0], 0.06, 0),
            "base_tangent_3": between(spans[1], 0.06, 0) if teeth > 9 else "",
            "face_width": about(face_width, 0.2),
            "shaft_bore": classed(bore, "F8", "hole"),
            "spline_count": str(splines),
            "spline_major_diameter": between(major, 0, 0.1),
            "helix_hand": hand,
            "helix_lead": about(lead, 1),
            "overall_length": about(overall, 0.3),
            "fork_groove_width": between(groove, 0, 0.15),
            "rotation": rotation,
        },
        same=(teeth, module, bore, face_width, overall, groove, splines, lead, rotation),
        seat={
            "teeth": teeth,
            "module_nm": module,
            "bore_nm": bore,
            "splines": splines,
            "major_nm": major,
            "lead_nm": lead,
            "overall_nm": overall,
            "groove_nm": groove,
            "rotation": rotation,
        },
    )


def _span_nm(module: int, teeth: int, over: int) -> int:
    """Return the span over so many teeth without backlash (base tangent length of involute gearing)."""
    involute = math.tan(PRESSURE_ANGLE) - PRESSURE_ANGLE
    flat = math.pi * (over - 0.5) + teeth * involute
    return round(module * (math.cos(PRESSURE_ANGLE) * flat + 2 * PROFILE_SHIFT * math.sin(PRESSURE_ANGLE)))


DRAW: dict[str, Callable[[Draws, bool], DrawnSize]] = {
    "bushing": draw_bushing,
    "contact": draw_contact,
    "brush_set": draw_brush_set,
    "drive_clutch": draw_drive_clutch,
}
