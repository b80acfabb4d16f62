"""Two fixed contacts and the disc that bridges them: do they meet, over how much of their faces? Pure.

Geometry: the plunger rod stands midway between the studs (our judgement); the disc is centred on it, and
tilts on its spring until both faces carry it, as far as its over-travel lets it.
"""

import math
from typing import Final, Literal

import attrs

from api.fit.contacts.stud_fit import UNKNOWN_STUD, Stud, judge_stud
from api.fit.judging.features import Feature
from api.fit.judging.gaps import bound_figures, figure_mm, gap_nm, half, mm, span
from api.fit.judging.reasons import Figure, Reason

Side = Literal["battery_side", "motor_side"]

LEAST_OVERLAP_NM: Final = 1_000_000
"""How far the disc should reach over the near edge of a face at least (our judgement)."""

SIDES: Final[tuple[Side, Side]] = ("battery_side", "motor_side")


@attrs.frozen(kw_only=True)
class FixedContact:
    """A fixed contact, and the stud of the cap where it belongs; None is what is not known.

    `seat_offset` is from the centre of the stud to the edge of the face that is nearest the plunger rod.
    """

    face_height: Feature | None = None
    seat_offset: Feature | None = None
    width: Feature | None = None
    stud_hole: Feature | None = None
    own_stud: Stud | None = None
    seat_stud: Stud = UNKNOWN_STUD


@attrs.frozen(kw_only=True)
class ContactDisc:
    """The disc: its diameter, and its over-travel: how far the rod still moves after both faces are met."""

    diameter: Feature | None = None
    over_travel: Feature | None = None


def judge_pair(
    battery: FixedContact,
    motor: FixedContact,
    disc: ContactDisc,
    *,
    stud_spacing: Feature | None = None,
    disc_travel: Feature | None = None,
) -> tuple[Reason, ...]:
    """Return what each check says of two contacts, their disc and their cap.

    Dimensions of one contact carry its side in front (`battery_side.stud_hole`). `disc_travel` is the whole
    way of the plunger rod, `stud_spacing` from centre to centre.
    """
    reasons = []
    for side, contact in zip(SIDES, (battery, motor), strict=True):
        stud = judge_stud(contact.seat_stud, contact.stud_hole, contact.own_stud)
        edge = edge_from_rod(stud_spacing, contact.seat_offset)
        for reason in (stud, judge_span(disc.diameter, edge, contact.width)):
            reasons.append(attrs.evolve(reason, dimension=f"{side}.{reason.dimension}"))
    heights = judge_heights(battery.face_height, motor.face_height, disc.over_travel, stud_spacing)
    return (*reasons, heights, judge_travel(disc.over_travel, disc_travel))


def judge_heights(
    one: Feature | None,
    other: Feature | None,
    over_travel: Feature | None,
    stud_spacing: Feature | None = None,
) -> Reason:
    """Return whether two faces are so nearly at one height that the disc surely meets both.

    Their difference has to stay below the disc's over-travel: what the disc tilts to the lower face is
    taken from it. Figures tell the over-travel left for wear, and the tilt over the stud spacing.
    """
    if one is None or other is None or over_travel is None:
        text = "the height of both faces and the over-travel of the disc have to be known"
        return Reason("face_height", "unknown", text)
    difference = gap_nm(one, other)
    most = max(abs(difference[0]), abs(difference[1]))
    least = 0 if difference[0] <= 0 <= difference[1] else min(abs(difference[0]), abs(difference[1]))
    over = over_travel.bounds_nm()
    figures = (
        *bound_figures("height_difference", difference),
        figure_mm("least_over_travel_left", over[0] - most),
        *_tilt(most, stud_spacing),
    )
    told = f"the faces differ by {span((least, most))} in height, the over-travel is {span(over)}"
    if most < over[0]:
        return Reason("face_height", "fits", f"{told}: the disc meets both", figures=figures)
    if least >= over[1]:
        text = f"{told}: the disc meets one face alone, which carries and burns, or no current flows"
        return Reason("face_height", "does_not_fit", text, figures=figures)
    return Reason("face_height", "unknown", f"{told}: the disc may not meet both", figures=figures)


def judge_travel(over_travel: Feature | None, disc_travel: Feature | None) -> Reason:
    """Return whether the disc's whole travel surely exceeds its over-travel, so that it opens at rest."""
    if over_travel is None or disc_travel is None:
        return Reason("over_travel", "unknown", "over-travel of the disc or its travel is not known")
    gap = gap_nm(disc_travel, over_travel)
    figures = bound_figures("open_gap", gap)
    told = f"travel less over-travel leaves {span(gap)} between disc and contacts at rest"
    if gap[0] > 0:
        return Reason("over_travel", "fits", told, figures=figures)
    if gap[1] <= 0:
        text = f"{told}: the disc never leaves the contacts, the starter would run on"
        return Reason("over_travel", "does_not_fit", text, figures=figures)
    return Reason("over_travel", "unknown", f"{told}: the disc may not leave the contacts", figures=figures)


def edge_from_rod(stud_spacing: Feature | None, seat_offset: Feature | None) -> Feature | None:
    """Return how far the near edge of a face is from the rod: half the stud spacing less the seat offset.

    None where either is not known, or where the face would reach the rod.
    """
    if stud_spacing is None or seat_offset is None:
        return None
    middle = half(stud_spacing)
    lower, upper = middle.lower_nm - seat_offset.upper_nm, middle.upper_nm - seat_offset.lower_nm
    return Feature(lower, upper, math.hypot(middle.u_nm, seat_offset.u_nm)) if lower > 0 else None


def judge_span(
    disc_diameter: Feature | None, edge: Feature | None, face_width: Feature | None = None
) -> Reason:
    """Return whether the disc surely reaches over the near edge of a face, by `LEAST_OVERLAP_NM` at least.

    `edge` is the distance of that edge from the plunger rod. With the face's width the figures tell at how
    much of the face disc and contact can touch.
    """
    if disc_diameter is None or edge is None:
        text = "the disc's diameter and where the face begins have to be known"
        return Reason("disc_diameter", "unknown", text)
    radius = half(disc_diameter)
    overlap = gap_nm(radius, edge)
    figures: tuple[Figure, ...] = bound_figures("overlap", overlap)
    if face_width is not None:
        area = covered_square_mm(radius.middle_nm, edge.middle_nm, face_width.middle_nm)
        figures = (*figures, Figure("covered_face_square_mm", area))
    told = f"the disc reaches {span(overlap)} over the edge of the face"
    if overlap[0] >= LEAST_OVERLAP_NM:
        return Reason("disc_diameter", "fits", told, figures=figures)
    if overlap[1] <= 0:
        return Reason(
            "disc_diameter", "does_not_fit", f"{told}: it does not meet the contact", figures=figures
        )
    text = f"{told}: less than {mm(LEAST_OVERLAP_NM)} (our judgement) carries poorly"
    return Reason("disc_diameter", "unknown", text, figures=figures)


def covered_square_mm(radius_nm: float, edge_nm: float, width_nm: float) -> float:
    """Return how much of a face lies under the disc, in mm2: the disc beyond the edge, within the width.

    The integral of sqrt(r2 - y2) - e over the half width, or over the half chord where that is shorter.
    """
    radius, edge = radius_nm / 1e6, edge_nm / 1e6
    if edge >= radius:
        return 0.0
    reach = min(width_nm / 2e6, math.sqrt(radius**2 - edge**2))
    sector = reach * math.sqrt(radius**2 - reach**2) + radius**2 * math.asin(reach / radius)
    return sector - 2 * edge * reach


def _tilt(most_nm: int, stud_spacing: Feature | None) -> tuple[Figure, ...]:
    if stud_spacing is None:
        return ()
    return (Figure("most_tilt_degrees", math.degrees(math.atan2(most_nm, stud_spacing.middle_nm))),)
