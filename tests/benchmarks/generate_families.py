"""Families of a generated catalogue, each drawn about sizes that parts are made to, so that these sit in it.

The seat of a position is made from its first size: a bush's housing by H7 and its shaft by e7, a holder a
little wider than its brush. Further sizes that share what the seat asks for are listed beside it.
"""

from collections import defaultdict
from collections.abc import Hashable, Iterator, Sequence

import attrs

from tests.benchmarks.generate_draws import NM_PER_MM, Draws, about, between, classed
from tests.benchmarks.generate_sizes import PROFILE_SHIFT, STUDS, DrawnSize

CONSTRUCTIONS = ("direct_drive", "planetary_gear_reduction", "offset_gear_reduction")
SIZES_OF_A_POSITION = 6
RING_GEAR_TEETH = 120


@attrs.frozen(eq=False)
class DrawnFamily:
    """A family as its table stands in the file of its construction, and the sizes of each position."""

    code: str
    construction: str
    toml: str
    sizes: dict[str, list[int]]


class SizesByUse:
    """The sizes to draw families about: by form or kind, and by what a seat asks for."""

    def __init__(self, sizes: Sequence[DrawnSize]) -> None:
        self._sizes = sizes
        self._of_form: dict[str, list[int]] = defaultdict(list)
        self._alike: dict[Hashable, list[int]] = defaultdict(list)
        for place, size in enumerate(sizes):
            self._of_form[_form(size)].append(place)
            self._alike[_asks(size)].append(place)

    def draw(self, draws: Draws, form: str) -> list[int]:
        """Return the places of a size of this form and of others that go where it goes, it first."""
        first = draws.usual(self._of_form[form])
        alike = self._alike[_asks(self._sizes[first])]
        start = draws.source.randrange(len(alike))
        others = [*alike[start : start + SIZES_OF_A_POSITION]]
        return list(dict.fromkeys([first, *others]))[:SIZES_OF_A_POSITION]


def draw_families(count: int, sizes: Sequence[DrawnSize], draws: Draws) -> Iterator[DrawnFamily]:
    """Yield families with positions for every kind, the constructions in turn."""
    by_use = SizesByUse(sizes)
    for serial in range(1, count + 1):
        construction = CONSTRUCTIONS[serial % len(CONSTRUCTIONS)]
        positions = {
            "battery_side_contact": by_use.draw(draws, "battery_side"),
            "motor_side_contact": by_use.draw(draws, "motor_side"),
            "contact_disc": by_use.draw(draws, "disc"),
            "drive_end_bushing": by_use.draw(draws, "bushing"),
            "commutator_end_bushing": by_use.draw(draws, "bushing"),
            "brush_set": by_use.draw(draws, "brush_set"),
            "drive_clutch": by_use.draw(draws, "drive_clutch"),
        }
        code = f"SYN-F{serial:05d}"
        firsts = {position: sizes[places[0]] for position, places in positions.items()}
        yield DrawnFamily(code, construction, _table(code, serial, construction, firsts, draws), positions)


def _form(size: DrawnSize) -> str:
    return str(size.seat.get("form", size.kind))


def _asks(size: DrawnSize) -> Hashable:
    """Return what a seat asks of a size: two sizes that share it go into the same seat."""
    seat = size.seat
    if size.kind == "bushing":
        return "bushing", seat["bore_nm"], seat["outside_nm"]
    if size.kind == "brush_set":
        return "brush_set", seat["thickness_nm"], seat["width_nm"], seat["voltage"]
    if size.kind == "contact":
        return seat["form"], seat.get("thread"), seat.get("face_nm"), seat.get("disc_nm")
    return (
        "drive_clutch",
        seat["teeth"],
        seat["module_nm"],
        seat["bore_nm"],
        seat["splines"],
        seat["rotation"],
    )


def _table(code: str, serial: int, construction: str, firsts: dict[str, DrawnSize], draws: Draws) -> str:
    drive, brushes = firsts["drive_clutch"].seat, firsts["brush_set"]
    reduction = {"direct_drive": 1, "planetary_gear_reduction": 4.5, "offset_gear_reduction": 3}[construction]
    lines = [
        "[[family]]",
        f'code = "{code}"',
        f'name = "Synthetic family {serial}"',
        f"voltage = {brushes.seat['voltage']}",
        f"rated_power_w = {draws.usual((1200, 1000, 1400, 2000, 800, 2500, 4000))}",
        f'rotation = "{drive["rotation"]}"',
        'field = "wound"',
        "pole_count = 4",
        f"brush_count = {brushes.cells['brush_count']}",
        f"internal_reduction = {reduction}",
        f"pinion = {{ teeth = {drive['teeth']}, module = {_quoted(_mm(drive['module_nm']))}, "
        f"pressure_angle = 20, profile_shift = {PROFILE_SHIFT} }}",
        f'pilot_diameter = "{draws.usual((66.68, 89, 92, 76.2, 82.5)):.2f} mm"',
        f"mounting_holes = {draws.usual((2, 3))}",
        f'access_class = "{draws.usual(("moderate", "easy", "hard"))}"',
        'notes = "Invented by a generator."',
    ]
    for position, size in firsts.items():
        seat = ", ".join(f"{name} = {value}" for name, value in _seat(position, firsts, draws).items())
        lines += ["", "[[family.position]]", f'code = "{position}"', f'kind = "{size.kind}"', "quantity = 1"]
        lines.append(f"seat = {{ {seat} }}")
    return "\n".join([*lines, "", ""])


def _seat(position: str, firsts: dict[str, DrawnSize], draws: Draws) -> dict[str, str]:
    size = firsts[position]
    if size.kind == "bushing":
        return _bush_seat(size.seat, draws)
    if size.kind == "brush_set":
        return {
            "holder_thickness": _quoted(between(int(size.seat["thickness_nm"]), -0.025, 0.083)),
            "holder_width": _quoted(between(int(size.seat["width_nm"]), -0.032, 0.102)),
            "lead_reach": _quoted(about(int(size.seat["lead_nm"]) - 3 * NM_PER_MM, 1)),
        }
    if size.kind == "drive_clutch":
        return _drive_seat(size.seat)
    spacing = _quoted("37.80..38.20 mm")
    if position == "contact_disc":
        return {
            "stud_spacing": spacing,
            "disc_travel": _quoted("2.4..3.2 mm"),
            "face_gap": _quoted("20.4..21.6 mm"),
        }
    stud = STUDS[str(size.seat["thread"])]
    pitch = {6: "1", 8: "1.25", 10: "1.5", 12: "1.75"}[stud]
    disc = int(firsts["contact_disc"].seat["disc_nm"])
    return {
        "stud_thread": _quoted(f"M{stud}x{pitch}"),
        "stud_diameter": _quoted(between(stud * NM_PER_MM, 0.24, -0.03)),
        "face_height": _quoted(between(int(size.seat["face_nm"]), 0.2, 0.4)),
        "stud_spacing": spacing,
        "disc_diameter": _quoted(about(disc, 0.4)),
        "over_travel": _quoted("1.2..1.8 mm"),
    }


def _bush_seat(seat: dict[str, int | str], draws: Draws) -> dict[str, str]:
    bore, outside, length = int(seat["bore_nm"]), int(seat["outside_nm"]), int(seat["length_nm"])
    return {
        "housing_bore": _quoted(classed(outside, "H7", "hole")),
        "housing_bore_form": _quoted(draws.usual(("through", "blind"))),
        "housing_depth": _quoted(between(length, -0.2, 0.6)),
        "shaft_diameter": _quoted(classed(bore, "e7", "shaft")),
        "housing_material": _quoted(draws.usual(("aluminium", "cast_iron"))),
        "housing_outside_diameter": _quoted(about(round(1.5 * outside), 0.5)),
    }


def _drive_seat(seat: dict[str, int | str]) -> dict[str, str]:
    """Return a seat that meets a ring gear of 120 teeth 0.7 mm beyond the distance without backlash."""
    module, overall = int(seat["module_nm"]), int(seat["overall_nm"])
    centre = round(module * (RING_GEAR_TEETH + int(seat["teeth"]) + 2 * PROFILE_SHIFT) / 2 + 0.7 * NM_PER_MM)
    return {
        "shaft_diameter": _quoted(classed(int(seat["bore_nm"]), "e7", "shaft")),
        "centre_distance": _quoted(about(centre, 0.15)),
        "ring_gear_teeth": str(RING_GEAR_TEETH),
        "rest_clearance": _quoted("2.5..3.5 mm"),
        "travel": _quoted("16.0..17.5 mm"),
        "spline_count": str(seat["splines"]),
        "spline_major_diameter": _quoted(between(int(seat["major_nm"]), 0.15, -0.05)),
        "helix_hand": _quoted("right" if seat["rotation"] == "clockwise" else "left"),
        "helix_lead": _quoted(about(int(seat["lead_nm"]), 1)),
        "drive_length": _quoted(about(overall, 0.3)),
        "fork_thickness": _quoted(between(int(seat["groove_nm"]), 0.4, -0.2)),
    }


def _mm(nm: int | str) -> str:
    return f"{int(nm) / NM_PER_MM:.6f} mm"


def _quoted(text: str) -> str:
    return f'"{text}"'
