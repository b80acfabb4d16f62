"""Whether a part of one size may fit the seats of another: what differs too much need not be judged. Pure.

A seat takes a part by the faces that touch it: bore and outside diameter, stud and foot, holder and brush,
spline, shaft and teeth. Sizes further apart there than any clearance of a starter is wide cannot both fit
one seat; elsewhere (a shorter bush, a longer lead) they may differ.
"""

from typing import Final

from api.interchange.seat_features import SizeValues

FARTHEST_NM: Final = 500_000
"""Gap (nm) between the limits of two touching faces from which one seat cannot take both (our judgement)."""

TOUCHING: Final = {
    "bushing": ("outside_diameter", "bore"),
    "contact": ("stud_diameter", "stud_thread", "form", "hand", "seat_offset", "width"),
    "brush_set": ("thickness", "width", "brush_count", "rated_voltage"),
    "drive_clutch": ("teeth", "rotation", "shaft_bore", "tip_diameter", "spline_count"),
}
"""By kind, the dimensions by which a seat takes a part, the most telling first (common practice)."""


def may_share_seat(kind: str, one: SizeValues, other: SizeValues) -> bool:
    """Return whether two sizes are near enough in what a seat touches; what is not recorded tells nothing."""
    for code in TOUCHING.get(kind, ()):
        a, b = one.get(code), other.get(code)
        if a is None or b is None:
            continue
        if a.applies != b.applies or (a.count, a.choice) != (b.count, b.choice):
            return False
        if a.lower_nm is None or a.upper_nm is None or b.lower_nm is None or b.upper_nm is None:
            continue
        if max(a.lower_nm - b.upper_nm, b.lower_nm - a.upper_nm) > FARTHEST_NM:
            return False
    return True
