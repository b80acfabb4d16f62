"""Bodies of families and positions that may be kept (invented), for journeys that change the catalogue."""

import itertools
from typing import Any

_counter = itertools.count(1)


def bushing_position(code: str = "drive_end_bushing", **changes: Any) -> dict[str, Any]:
    """Return a position for a bush, of the size of the seed catalogue's `bush-12.5x16x12`."""
    seat = {
        "housing_bore": "16.000..16.018 mm",
        "housing_bore_form": "through",
        "housing_depth": "12.2..12.6 mm",
        "shaft_diameter": "12.450..12.468 mm",
        "housing_material": "aluminium",
        "housing_outside_diameter": "23.5..24.5 mm",
    }
    return {"code": code, "kind": "bushing", "quantity": 1, "seat": seat, **changes}


def contact_positions() -> list[dict[str, Any]]:
    """Return the three positions of a solenoid's contacts, which need each other."""
    return [
        {"code": code, "kind": "contact", "quantity": 1}
        for code in ("battery_side_contact", "motor_side_contact", "contact_disc")
    ]


def family(**changes: Any) -> dict[str, Any]:
    """Return a family of a code of its own with one position for a bush."""
    return {
        "code": f"D12-9{next(_counter):03d}",
        "name": "Dunmarrow delivery van, 1.2 kW",
        "construction": "direct_drive",
        "voltage": 12,
        "rated_power_w": 1200,
        "rotation": "clockwise",
        "field": "wound",
        "pole_count": 4,
        "brush_count": 4,
        "internal_reduction": 1,
        "pinion": {"teeth": 9, "diametral_pitch": 10, "pressure_angle": 20, "profile_shift": 0.5},
        "pilot_diameter": "66.68 mm",
        "mounting_holes": 2,
        "access_class": "easy",
        "notes": "Sheet end cap.",
        "position": [bushing_position()],
        **changes,
    }
