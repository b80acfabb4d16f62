"""Sizes, seats and a family as the rules of interchange take them; lengths in millimetres."""

from api.starters.entries import FamilyEntry, PinionEntry, PositionEntry, SeatFeatureEntry
from api.wear_parts.entries import SizeValueEntry

Said = tuple[float, float] | int | str | None


def size(**said: Said) -> dict[str, SizeValueEntry]:
    """Return a size: a pair is a range, None says that the dimension does not apply."""
    return {name: value(name, told) for name, told in said.items()}


def value(name: str, told: Said) -> SizeValueEntry:
    if told is None:
        return SizeValueEntry(dimension=name, provenance="drawing", applies=False)
    if isinstance(told, tuple):
        lower, upper = (round(end * 1_000_000) for end in told)
        return SizeValueEntry(dimension=name, provenance="drawing", lower_nm=lower, upper_nm=upper)
    if isinstance(told, int):
        return SizeValueEntry(dimension=name, provenance="drawing", count=told)
    return SizeValueEntry(dimension=name, provenance="drawing", choice=told)


def position(code: str, kind: str | None, **seat: Said) -> PositionEntry:
    features = []
    for name, told in seat.items():
        if isinstance(told, tuple):
            lower, upper = (round(end * 1_000_000) for end in told)
            features.append(SeatFeatureEntry(feature=name, lower_nm=lower, upper_nm=upper))
        elif isinstance(told, int):
            features.append(SeatFeatureEntry(feature=name, count=told))
        else:
            features.append(SeatFeatureEntry(feature=name, text=str(told)))
    return PositionEntry(code=code, kind=kind, quantity=1, seat=tuple(features))


def family(**changes: object) -> FamilyEntry:
    """Return a 12 V clockwise family with a 9-tooth pinion of module 2.5 mm, 20 degrees, shift 0.5."""
    pinion = PinionEntry(
        teeth=9,
        diametral_pitch=None,
        module_nm=2_500_000,
        pressure_angle_millidegrees=20_000,
        profile_shift_thousandths=500,
    )
    told: dict[str, object] = {
        "code": "T12-01",
        "name": "test",
        "construction": "direct_drive",
        "voltage": 12,
        "rated_power_w": 1000,
        "rotation": "clockwise",
        "field": "wound",
        "pole_count": 4,
        "brush_count": 4,
        "internal_reduction_thousandths": 1000,
        "pinion": pinion,
        "pilot_diameter_nm": 66_000_000,
        "mounting_holes": 2,
        "access_class": "easy",
        "notes": "",
        "positions": (),
    }
    return FamilyEntry(**{**told, **changes})  # type: ignore[arg-type]  # named above


BUSH_SEAT: dict[str, Said] = {
    "housing_material": "cast_iron",
    "housing_bore": (16.0, 16.018),
    "housing_bore_form": "blind",
    "housing_depth": (12.2, 12.6),
    "shaft_diameter": (12.450, 12.468),
}
BUSH: dict[str, Said] = {
    "bore": (12.506, 12.524),
    "outside_diameter": (16.023, 16.034),
    "length": (11.865, 12.135),
    "flange_diameter": None,
    "flange_thickness": None,
    "construction": "porous",
}
BRUSH: dict[str, Said] = {
    "length": (15.7, 16.3),
    "thickness": (6.19, 6.27),
    "width": (12.37, 12.46),
    "lead_length": (28.0, 32.0),
    "brush_count": 4,
    "terminal": "bare",
    "grade": "copper_rich_12v",
    "rated_voltage": 12,
}
BRUSH_SEAT: dict[str, Said] = {"holder_thickness": (6.325, 6.383), "holder_width": (12.532, 12.602)}
DRIVE: dict[str, Said] = {
    "face_width": (15.8, 16.2),
    "teeth": 9,
    "tip_diameter": (28.9, 29.0),
    "base_tangent_2": (12.19, 12.25),
    "shaft_bore": (12.516, 12.543),
    "spline_count": 10,
    "spline_major_diameter": (17.0, 17.1),
    "helix_hand": "right",
    "helix_lead": (159.0, 161.0),
    "overall_length": (61.7, 62.3),
    "fork_groove_width": (8.5, 8.65),
    "rotation": "clockwise",
}
DRIVE_SEAT: dict[str, Said] = {
    "shaft_diameter": (12.450, 12.468),
    "spline_count": 10,
    "spline_major_diameter": (16.85, 16.95),
    "helix_hand": "right",
    "helix_lead": (159.0, 161.0),
    "drive_length": (61.7, 62.3),
    "fork_thickness": (8.1, 8.3),
    "rest_clearance": (2.5, 3.5),
    "ring_gear_teeth": 130,
    "centre_distance": (175.5, 175.9),
    "travel": (16.0, 17.5),
}
PLATE: dict[str, Said] = {
    "form": "battery_side",
    "thickness": (2.45, 2.55),
    "face_height": (8.9, 9.1),
    "stud_hole": (8.4, 8.6),
    "stud_diameter": None,
    "stud_length": None,
    "width": (13.8, 14.2),
    "seat_offset": (8.3, 8.7),
    "disc_diameter": None,
    "hand": "left",
}
CAP: dict[str, Said] = {
    "stud_thread": "M8x1.25",
    "stud_diameter": (7.76, 7.97),
    "stud_spacing": (37.8, 38.2),
    "face_height": (8.9, 9.5),
    "disc_diameter": (25.85, 26.65),
    "over_travel": (1.2, 1.8),
}
DISC: dict[str, Said] = {"form": "disc", "disc_diameter": (25.85, 26.15), "over_travel": (1.2, 1.8)}
DISC_SEAT: dict[str, Said] = {"face_gap": (20.4, 21.6), "disc_travel": (2.4, 3.2)}
