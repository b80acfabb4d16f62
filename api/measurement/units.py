"""The units a length may be written in.

The inch is 25.4 mm exactly (international yard and pound agreement of 1959), the thou a thousandth
of it. The metre is left out: no wear part is stated in it, and `m` is too easily half of `mm`.
"""

from api.measurement.characters import plain
from api.measurement.refusals import UnreadableLength, nearest_name

NM_PER_UNIT = {"mm": 1_000_000, "in": 25_400_000, "cm": 10_000_000, "um": 1_000, "thou": 25_400}
"""Nanometres in one of each unit, by the unit's code."""

FEET = frozenset({"'", "ft", "ft.", "foot", "feet"})
"""Ways of writing feet; refused by name, since a foot mark is often a mistyped inch mark."""

_NAMES = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "in": ("in", "in.", "inch", "inches", '"'),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "um": ("um", "micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"),
    "thou": ("thou", "mil", "mils"),
}
UNIT_BY_NAME = {name: code for code, names in _NAMES.items() for name in names}
"""Unit codes by every accepted name, in lower case and plain characters."""

ACCEPTED_UNITS = "mm, cm, um, in or thou"


def parse_unit(text: str) -> str:
    """Return the code of the unit named by `text` (`mm`, `in`, `cm`, `um` or `thou`).

    Case does not matter; `µm` and `″` are understood. Raises `UnreadableLength` with code
    `unknown_unit`, `empty`, `too_long` or `control_character`.
    """
    name = plain(text, UnreadableLength, f"a unit ({ACCEPTED_UNITS})").casefold()
    if name not in UNIT_BY_NAME:
        raise unknown_unit(text, name)
    return UNIT_BY_NAME[name]


def unknown_unit(text: str, name: str) -> UnreadableLength:
    """Return the refusal of `text` for its unit `name`, with the code of the nearest unit."""
    near = nearest_name(name, UNIT_BY_NAME)
    return UnreadableLength.because(
        text, f"a unit that is known ({ACCEPTED_UNITS})", "unknown_unit", UNIT_BY_NAME[near] if near else None
    )
