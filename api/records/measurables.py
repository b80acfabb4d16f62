"""What can be measured of a size and of a seat, and how. Pure."""

from typing import Final, Literal, cast

import attrs

from api.measurement.counts import GREATEST_COUNT
from api.measurement.instruments import Way
from api.starters.vocabulary import POSITION_KINDS, SEAT_CHOICES, SEAT_COUNTS, SEAT_RANGES, SEAT_THREADS
from api.wear_parts.entries import KindEntry

Measure = Literal["length", "count", "choice", "thread"]

_INSIDE: Final = ("housing_bore", "holder_thickness", "holder_width", "face_gap")
_DEPTH: Final = ("housing_depth", "face_height", "disc_travel", "over_travel", "rest_clearance", "travel")


@attrs.frozen(kw_only=True)
class Measurable:
    """One feature: a length and the way it is measured, a count, a choice among words, or a thread.

    The span bounds a dimension (nm, or pieces), None where any is taken. Of `two_point_over` (a count) an odd
    value makes a reading between two opposite faces low. `may_be_absent`: a specimen may have none of it.
    """

    code: str
    name: str
    measure: Measure
    way: Way | None = None
    span_lower: int | None = None
    span_upper: int | None = None
    choices: tuple[str, ...] = ()
    two_point_over: str | None = None
    may_be_absent: bool = False


def measurables_of_kind(kind: KindEntry) -> dict[str, Measurable]:
    """Return the dimensions of a kind in their order."""
    return {
        one.code: Measurable(
            code=one.code,
            name=one.name,
            measure=cast(Measure, one.measure),
            way=cast(Way, one.how) if one.measure == "length" else None,
            span_lower=one.span_lower,
            span_upper=one.span_upper,
            choices=tuple(choice.value for choice in one.choices),
            two_point_over=one.two_point_over,
            may_be_absent=True,
        )
        for one in kind.dimensions
    }


def _seat_length(code: str) -> Measurable:
    way: Way = "inside" if code in _INSIDE else "depth" if code in _DEPTH else "outside"
    return Measurable(code=code, name=_named(code), measure="length", way=way)


def _named(code: str) -> str:
    return code.replace("_", " ").capitalize()


SEAT_MEASURABLES: Final[dict[str, Measurable]] = {
    **{code: _seat_length(code) for code in SEAT_RANGES},
    **{
        code: Measurable(
            code=code, name=_named(code), measure="count", span_lower=0, span_upper=GREATEST_COUNT
        )
        for code in SEAT_COUNTS
    },
    **{
        code: Measurable(code=code, name=_named(code), measure="choice", choices=choices)
        for code, choices in SEAT_CHOICES.items()
    },
    **{code: Measurable(code=code, name=_named(code), measure="thread") for code in SEAT_THREADS},
}
"""The features of a seat; by which way each is read is common practice, no source."""

_SEAT_OF_KIND: Final[dict[str, tuple[str, ...]]] = {
    "bushing": (
        "housing_bore",
        "housing_bore_form",
        "housing_depth",
        "housing_outside_diameter",
        "housing_material",
        "shaft_diameter",
    ),
    "contact": (
        "stud_thread",
        "stud_diameter",
        "stud_spacing",
        "face_height",
        "face_gap",
        "disc_diameter",
        "disc_travel",
        "over_travel",
    ),
    "brush_set": ("holder_thickness", "holder_width", "lead_reach"),
    "drive_clutch": (
        "shaft_diameter",
        "spline_count",
        "spline_major_diameter",
        "helix_hand",
        "helix_lead",
        "fork_thickness",
        "ring_gear_teeth",
        "centre_distance",
        "travel",
        "rest_clearance",
        "drive_length",
    ),
}


def measurables_of_seat(position: str) -> dict[str, Measurable]:
    """Return the features that the seat of a position has; all where parts of no fixed kind sit there."""
    kind = POSITION_KINDS[position]
    if kind is None:
        return SEAT_MEASURABLES
    return {code: SEAT_MEASURABLES[code] for code in _SEAT_OF_KIND[kind]}
