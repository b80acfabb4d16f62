"""What a drive clutch must share with the starter it goes into, and how fast it can drive the armature. Pure.

The pinion's teeth are judged elsewhere; here are rotation, splines, length, rest clearance and travel. All
lengths are integer nanometres, sizes as features.
"""

from typing import Final

import attrs

from api.fit.judging.clearances import Limits, judge_clearance
from api.fit.judging.features import Feature
from api.fit.judging.gaps import exact_span
from api.fit.judging.reasons import Figure, Grade, Reason
from api.measurement.lengths import millimetres

SPLINES: Final = Limits(fits_to_nm=400_000, refused_from_nm=1_000_000)
"""Clearance of a drive's splines over those of the shaft, on the major diameter (our judgement)."""

LEAD_SAME_SHARE: Final = 0.02
LEAD_OTHER_SHARE: Final = 0.05
"""Up to which share two helix leads may differ and be the same, and from which they are not: an indirect
reading (our judgement)."""

LEAST_REST_CLEARANCE_NM: Final = 500_000
"""Least clearance of the resting pinion from the ring gear (our judgement; the maker's manual decides)."""

LEAST_ENGAGED_SHARE: Final = 0.5
"""Least share of the pinion's face that must reach into the ring gear at full travel (our judgement)."""

CAUTION_OVERSPEED: Final = (
    "If the clutch fails to free, the running engine drives the armature at this speed: windings and "
    "commutator can burst. Release the key at once, do not crank again, and renew the drive before the next "
    "start. How fast an armature may turn is for its maker to say."
)


@attrs.frozen(kw_only=True)
class Drive:
    """The dimensions of a drive clutch that its starter decides on; None is not recorded."""

    rotation: str | None = None
    spline_count: int | None = None
    spline_major_diameter: Feature | None = None
    helix_hand: str | None = None
    helix_lead: Feature | None = None
    overall_length: Feature | None = None
    face_width: Feature | None = None


@attrs.frozen(kw_only=True)
class DriveSeat:
    """What the starter offers a drive; None is not recorded.

    `rotation` is seen from the drive end. Splines and helix are the shaft's. With a drive as long as
    `drive_length` the resting pinion clears the ring gear by `rest_clearance`; the fork moves it by `travel`.
    """

    rotation: str | None = None
    spline_count: int | None = None
    spline_major_diameter: Feature | None = None
    helix_hand: str | None = None
    helix_lead: Feature | None = None
    drive_length: Feature | None = None
    rest_clearance: Feature | None = None
    travel: Feature | None = None


def check_drive(drive: Drive, seat: DriveSeat) -> tuple[Reason, ...]:
    """Return what a starter says of a drive: rotation, splines, helix, length, rest clearance, travel."""
    return (
        check_choice("rotation", drive.rotation, seat.rotation, "the starter turns"),
        check_choice("spline_count", drive.spline_count, seat.spline_count, "the shaft has"),
        check_spline_diameter(drive.spline_major_diameter, seat.spline_major_diameter),
        check_choice("helix_hand", drive.helix_hand, seat.helix_hand, "the shaft's splines are"),
        check_lead(drive.helix_lead, seat.helix_lead),
        *check_reach(drive, seat),
    )


def check_choice(dimension: str, found: int | str | None, wanted: int | str | None, words: str) -> Reason:
    """Return what a count or a choice says: equal or not, there is no tolerance."""
    if found is None or wanted is None:
        return Reason(dimension, "unknown", "it is not recorded of both drive and starter", exact=True)
    if found == wanted:
        return Reason(dimension, "fits", f"{found}, as {words}", exact=True)
    return Reason(dimension, "does_not_fit", f"{found}, but {words} {wanted}", exact=True)


def check_spline_diameter(sleeve: Feature | None, shaft: Feature | None) -> Reason:
    """Return whether a sleeve's splines go over the shaft's and run without too much play."""
    if sleeve is None or shaft is None:
        return Reason("spline_major_diameter", "unknown", "it is not recorded of both drive and shaft")
    words = "of the splines over the shaft's"
    return judge_clearance("spline_major_diameter", sleeve.bounds_nm(), shaft.bounds_nm(), SPLINES, words)


def check_lead(found: Feature | None, wanted: Feature | None) -> Reason:
    """Return whether two helix leads are the same as far as a lead can be read."""
    if found is None or wanted is None:
        return Reason("helix_lead", "unknown", "it is not recorded of both drive and shaft")
    share = abs(found.middle_nm / wanted.middle_nm - 1)
    figures = (Figure("lead_off_share", share),)
    told = f"{100 * share:.1f} % off the lead of the shaft"
    if share <= LEAD_SAME_SHARE:
        return Reason("helix_lead", "fits", told, figures=figures)
    verdict: Grade = "does_not_fit" if share > LEAD_OTHER_SHARE else "unknown"
    return Reason("helix_lead", verdict, told, figures=figures)


def check_reach(drive: Drive, seat: DriveSeat) -> tuple[Reason, ...]:
    """Return what length, rest clearance and travel say of how the pinion rests and how far it meshes.

    A drive longer than the one that the seat is stated with rests nearer to the ring gear by the difference
    (the fork's ends of both standing alike), and at full travel reaches in by as much more.
    """
    length, stated, rest, travel = drive.overall_length, seat.drive_length, seat.rest_clearance, seat.travel
    if length is None or stated is None or rest is None or travel is None:
        told = "length of the drive, length that belongs there, rest clearance or travel is not recorded"
        return (Reason("overall_length", "unknown", told),)
    (short, long), (least, most) = length.bounds_nm(), stated.bounds_nm()
    longer = (short - most, long - least)
    rests = (rest.bounds_nm()[0] - longer[1], rest.bounds_nm()[1] - longer[0])
    meshes = (travel.bounds_nm()[0] - rests[1], travel.bounds_nm()[1] - rests[0])
    return (_check_rest(rests), _check_engaged(meshes, drive.face_width))


def armature_speed(ring_teeth: int, pinion_teeth: int, internal_reduction: float, engine_rpm: float) -> float:
    """Return the speed (rpm) of the armature if the clutch fails to free while the engine runs.

    Engine speed times ring teeth over pinion teeth times the internal reduction (1: direct drive). Counts and
    figures are above 0.
    """
    return engine_rpm * ring_teeth / pinion_teeth * internal_reduction


def _check_rest(rests: tuple[int, int]) -> Reason:
    told = f"the resting pinion clears the ring gear by {exact_span(rests)}"
    figures = _figures("rest_clearance", rests)
    if rests[1] <= 0:
        return Reason("overall_length", "does_not_fit", f"{told}: it runs in the ring gear", figures=figures)
    if rests[0] < LEAST_REST_CLEARANCE_NM:
        return Reason("overall_length", "unknown", f"{told}: it may touch", figures=figures)
    return Reason("overall_length", "fits", told, figures=figures)


def _check_engaged(meshes: tuple[int, int], face: Feature | None) -> Reason:
    told = f"at full travel the pinion reaches {exact_span(meshes)} into the ring gear"
    figures = _figures("engaged", meshes)
    if meshes[1] <= 0:
        return Reason("travel", "does_not_fit", f"{told}: it never meshes", figures=figures)
    if face is None:
        return Reason("travel", "unknown", f"{told}; its face width is not recorded", figures=figures)
    wanted = LEAST_ENGAGED_SHARE * face.middle_nm
    if meshes[0] >= wanted:
        return Reason("travel", "fits", told, figures=figures)
    if meshes[1] < wanted:
        return Reason("travel", "does_not_fit", f"{told}: less than half of its face", figures=figures)
    return Reason("travel", "unknown", f"{told}: it may be less than half of its face", figures=figures)


def _figures(name: str, nm: tuple[int, int]) -> tuple[Figure, ...]:
    return (
        Figure(f"least_{name}_mm", millimetres(nm[0])),
        Figure(f"most_{name}_mm", millimetres(nm[1])),
    )
