"""Whether a drive of a size has the family's teeth, turns its way, and goes on its shaft and fork. Pure."""

from typing import Final

from api.fit.gears.drive_checks import Drive, DriveSeat, check_choice, check_drive
from api.fit.judging.clearances import Limits, judge_clearance
from api.fit.judging.features import Feature
from api.fit.judging.reasons import Reason
from api.interchange.check_pinion import check_pinion
from api.interchange.seat_features import (
    SizeValues,
    seat_count,
    seat_length,
    seat_word,
    size_choice,
    size_count,
    size_length,
)
from api.interchange.seat_mesh import check_mesh
from api.starters.entries import FamilyEntry, PositionEntry

DRIVE_BORE: Final = Limits(fits_to_nm=250_000, refused_from_nm=600_000)
"""Clearance of a drive on its shaft (our judgement)."""

FORK: Final = Limits(fits_to_nm=800_000, refused_from_nm=2_000_000)
"""Play of the fork in its groove (our judgement)."""


def check_drive_clutch(family: FamilyEntry, position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    """Return what teeth, rotation, shaft, splines, fork, rest clearance and travel say of a drive."""
    rotation = size_choice(size, "rotation")
    drive = Drive(
        rotation=rotation,
        spline_count=size_count(size, "spline_count"),
        spline_major_diameter=size_length(size, "spline_major_diameter"),
        helix_hand=size_choice(size, "helix_hand"),
        helix_lead=size_length(size, "helix_lead"),
        overall_length=size_length(size, "overall_length"),
        face_width=size_length(size, "face_width"),
    )
    seat = DriveSeat(
        rotation=family.rotation,
        spline_count=seat_count(position, "spline_count"),
        spline_major_diameter=seat_length(position, "spline_major_diameter"),
        helix_hand=seat_word(position, "helix_hand"),
        helix_lead=seat_length(position, "helix_lead"),
        drive_length=seat_length(position, "drive_length"),
        rest_clearance=seat_length(position, "rest_clearance"),
        travel=seat_length(position, "travel"),
    )
    shaft, fork = seat_length(position, "shaft_diameter"), seat_length(position, "fork_thickness")
    return (
        check_choice("teeth", size_count(size, "teeth"), family.pinion.teeth, "the family's pinion has"),
        *check_drive(drive, seat),
        _over("shaft_bore", size_length(size, "shaft_bore"), shaft, DRIVE_BORE, "on the shaft"),
        _over("fork_groove_width", size_length(size, "fork_groove_width"), fork, FORK, "of the fork"),
        check_pinion(family.pinion, size),
        check_mesh(family.pinion, position, size),
    )


def _over(dimension: str, outer: Feature | None, inner: Feature | None, limits: Limits, words: str) -> Reason:
    if outer is None or inner is None:
        return Reason(dimension, "unknown", "it is not recorded of both drive and starter")
    return judge_clearance(dimension, outer.bounds_nm(), inner.bounds_nm(), limits, words)
