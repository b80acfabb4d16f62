"""Which dimensions a size must record, and which dimensions must lie in order. Pure.

A size that lacks what identifies its kind could match anything of the kind. The rules are by kind and
code; a kind that has none here needs one recorded dimension. Our judgement, from what a bench needs
to tell two sizes apart; the orders are geometry.
"""

from collections.abc import Iterator, Mapping

import attrs

from api.wear_parts.entries import SizeValueEntry

ALWAYS = {
    "bushing": ("bore", "outside_diameter", "length"),
    "contact": ("form", "thickness"),
    "brush_set": ("length", "thickness", "width", "brush_count"),
    "drive_clutch": ("teeth", "tip_diameter", "rotation"),
}
"""Dimensions that every size of a kind records."""

ASCENDING = {
    "bushing": (("bore", "outside_diameter"), ("outside_diameter", "flange_diameter")),
    "drive_clutch": (("base_tangent_2", "base_tangent_3"), ("shaft_bore", "tip_diameter")),
}
"""Pairs of lengths of which the first is smaller than the second throughout their tolerances."""


@attrs.frozen
class SizeGap:
    """What a size lacks or contradicts: the dimension, what was expected of it, and a code."""

    dimension: str
    expected: str
    code: str


def find_gaps(kind: str, values: Mapping[str, SizeValueEntry]) -> Iterator[SizeGap]:
    """Yield what a size of this kind lacks, given what it says by dimension."""
    for code in ALWAYS.get(kind, ()):
        if not _recorded(values, code):
            yield SizeGap(code, f"a value: every {kind} records it", "missing")
    if kind == "contact":
        yield from _contact_gaps(values)
    if kind == "bushing":
        yield from _flange_gaps(values)
    for smaller, larger in ASCENDING.get(kind, ()):
        low, high = values.get(smaller), values.get(larger)
        if low is None or high is None or low.upper_nm is None or high.lower_nm is None:
            continue
        if low.upper_nm >= high.lower_nm:
            yield SizeGap(smaller, f"less than {larger}", "out_of_order")
    if not any(entry.applies for entry in values.values()) and kind not in ALWAYS:
        yield SizeGap("code", "one recorded dimension at least", "missing")


def _contact_gaps(values: Mapping[str, SizeValueEntry]) -> Iterator[SizeGap]:
    form = values.get("form")
    if form is None or form.choice is None:
        return
    if form.choice == "disc":
        if not _recorded(values, "disc_diameter"):
            yield SizeGap("disc_diameter", "a value: every disc records it", "missing")
    elif not (_recorded(values, "stud_hole") or _recorded(values, "stud_diameter")):
        yield SizeGap(
            "stud_hole", "a value here or for stud_diameter: a contact is held by a stud", "missing"
        )


def _flange_gaps(values: Mapping[str, SizeValueEntry]) -> Iterator[SizeGap]:
    diameter, thickness = values.get("flange_diameter"), values.get("flange_thickness")
    if (diameter is None) != (thickness is None):
        lacking = "flange_diameter" if diameter is None else "flange_thickness"
        yield SizeGap(lacking, "a value or n/a, as for the flange's other dimension", "missing")
    elif diameter and thickness and diameter.applies != thickness.applies:
        yield SizeGap("flange_thickness", "n/a for both or for none of the flange's dimensions", "one_sided")


def _recorded(values: Mapping[str, SizeValueEntry], code: str) -> bool:
    return code in values and values[code].applies
