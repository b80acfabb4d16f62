"""Which positions a construction can have. Pure.

A movable pole shoe closes its own contacts and has no separate solenoid; an inertia drive throws its
pinion along a screw and has no overrunning clutch; planet gears belong to a planetary reduction; the
two contacts of a solenoid are bridged by one disc (common practice, no source).
"""

from collections.abc import Iterator, Sequence

from api.errors import FieldFault, shown
from api.starters.vocabulary import CONTACT_POSITIONS

EXCLUDED = {
    "movable_pole_shoe": (*CONTACT_POSITIONS, "plunger"),
    "inertia_drive": ("drive_clutch",),
}
WHY = {
    "movable_pole_shoe": "no separate solenoid",
    "inertia_drive": "no overrunning clutch",
}


def find_position_faults(construction: str, codes: Sequence[str]) -> Iterator[FieldFault]:
    """Yield a fault for every position that the construction cannot have or that lacks its partners.

    `codes` are the positions in the order stated; paths are `("position", place, "code")`.
    """
    for place, code in enumerate(codes):
        if code in EXCLUDED.get(construction, ()):
            expected = f"a position of the construction {construction}, which has {WHY[construction]}"
            yield _fault(place, code, expected, "contradicts_construction")
        elif code == "planet_gears" and construction != "planetary_gear_reduction":
            expected = "planet gears only in a planetary_gear_reduction"
            yield _fault(place, code, expected, "contradicts_construction")
        elif code in CONTACT_POSITIONS:
            lacking = [partner for partner in CONTACT_POSITIONS if partner not in codes]
            if lacking and code == next(known for known in codes if known in CONTACT_POSITIONS):
                yield _fault(place, code, f"{' and '.join(lacking)} beside it", "lacks_partner")


def _fault(place: int, code: str, expected: str, fault_code: str) -> FieldFault:
    return FieldFault(("position", place, "code"), shown(code), expected, fault_code)
