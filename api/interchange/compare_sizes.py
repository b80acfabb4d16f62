"""Whether one size stands in for another, dimension by dimension. Pure.

Directed: a candidate's length agrees where its whole range lies within the range of the size it is to
replace, so that every piece of the candidate could have been a piece of the other; a wider range that
merely overlaps is `unknown`.
"""

from collections.abc import Collection, Mapping
from typing import Final

from api.fit.judging.reasons import Grade, Reason
from api.interchange.seat_features import SizeValues
from api.wear_parts.entries import SizeValue
from api.wear_parts.value_text import value_text

DECIDING: Final[Mapping[str, tuple[str, ...]]] = {
    "bushing": ("bore", "outside_diameter", "length", "flange_diameter", "flange_thickness"),
    "contact": (
        "form",
        "thickness",
        "face_height",
        "stud_hole",
        "stud_length",
        "width",
        "seat_offset",
        "disc_diameter",
        "hand",
    ),
    "brush_set": (
        "length",
        "thickness",
        "width",
        "lead_length",
        "brush_count",
        "terminal",
        "rated_voltage",
    ),
    "drive_clutch": (
        "teeth",
        "tip_diameter",
        "base_tangent_2",
        "shaft_bore",
        "spline_count",
        "spline_major_diameter",
        "helix_hand",
        "helix_lead",
        "overall_length",
        "fork_groove_width",
        "rotation",
    ),
}
"""By kind, the dimensions that a size has to record (or to say do not apply) before it can be called
`fits` (our judgement)."""

ASKS: Final = frozenset({"oil_supply", "construction", "terminal", "lead_exit", "bevel", "grade"})
"""Choices whose difference does not by itself forbid a part, but has to be looked into (our judgement):
how a bush is oiled or made, how a lead is tied on, the grade of a brush whose voltage is the same."""


def compare_sizes(kind: str, reference: SizeValues, candidate: SizeValues) -> tuple[Reason, ...]:
    """Return what each dimension says of `candidate` in place of `reference`, in the order of the kind."""
    named = dict.fromkeys((*reference, *candidate, *DECIDING.get(kind, ())))
    return tuple(_compare(name, reference.get(name), candidate.get(name)) for name in named)


def missing_dimensions(kind: str, values: SizeValues) -> tuple[Reason, ...]:
    """Return one `unknown` for each deciding dimension that a size does not record."""
    return tuple(
        Reason(name, "unknown", "its size does not record it")
        for name in DECIDING.get(kind, ())
        if name not in values
    )


def agrees(
    kind: str, reference: SizeValues, candidate: SizeValues, leaving_out: Collection[str] = frozenset()
) -> bool:
    """Return whether comparing says `fits` of every dimension that is not left out.

    A size beside itself (the very object) has to record what decides, and no more.
    """
    if reference is candidate:
        return all(name in candidate for name in DECIDING.get(kind, ()) if name not in leaving_out)
    for name in DECIDING.get(kind, ()):  # first, since it is these that tell most sizes apart
        if name not in leaving_out and _verdict(name, reference.get(name), candidate.get(name)) != "fits":
            return False
    return all(
        _verdict(name, reference.get(name), candidate.get(name)) == "fits"
        for name in {*reference, *candidate}.difference(DECIDING.get(kind, ()), leaving_out)
    )


def _compare(name: str, reference: SizeValue | None, candidate: SizeValue | None) -> Reason:
    verdict = _verdict(name, reference, candidate)
    if candidate is None:
        return Reason(name, verdict, "its size does not record it")
    mine = value_text(candidate)
    if reference is None:
        return Reason(name, verdict, f"{mine}; the size to replace does not record it")
    theirs = value_text(reference)
    if reference.applies != candidate.applies:
        return Reason(name, verdict, f"{mine} in place of {theirs}")
    if not candidate.applies:
        return Reason(name, verdict, "applies to neither")
    if candidate.lower_nm is None:
        return Reason(name, verdict, mine if mine == theirs else f"{mine} in place of {theirs}", exact=True)
    if verdict == "fits":
        return Reason(
            name, verdict, f"the same, {mine}" if mine == theirs else f"{mine} lies within {theirs}"
        )
    if verdict == "unknown":
        return Reason(name, verdict, f"{mine} overlaps {theirs} but does not lie within it")
    return Reason(name, verdict, f"{mine} in place of {theirs}")


def _verdict(name: str, reference: SizeValue | None, candidate: SizeValue | None) -> Grade:
    """Return what one dimension says, without the words."""
    if candidate is None or reference is None:
        return "unknown"
    if reference is candidate:  # sizes share most of their values
        return "fits"
    if reference.applies != candidate.applies:
        return "does_not_fit"
    if not candidate.applies:
        return "fits"
    if candidate.lower_nm is None:
        if (candidate.count, candidate.choice) == (reference.count, reference.choice):
            return "fits"
        return "unknown" if name in ASKS else "does_not_fit"
    lower, upper = candidate.lower_nm, candidate.upper_nm or 0
    least, most = reference.lower_nm or 0, reference.upper_nm or 0
    if least <= lower and upper <= most:
        return "fits"
    return "unknown" if lower <= most and least <= upper else "does_not_fit"
