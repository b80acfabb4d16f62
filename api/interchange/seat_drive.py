"""Whether a drive of a size has the family's teeth, turns its way, and goes on its shaft and fork. Pure."""

from collections.abc import Iterator
from typing import Final

import attrs

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
from api.starters.entries import FamilyEntry, PinionEntry, PositionEntry

DRIVE_BORE: Final = Limits(fits_to_nm=250_000, refused_from_nm=600_000)
"""Clearance of a drive on its shaft (our judgement)."""

FORK: Final = Limits(fits_to_nm=800_000, refused_from_nm=2_000_000)
"""Play of the fork in its groove (our judgement)."""


DIMENSIONS: Final = frozenset(
    {
        "teeth",
        "rotation",
        "spline_count",
        "spline_major_diameter",
        "helix_hand",
        "helix_lead",
        "overall_length",
        "travel",
        "shaft_bore",
        "fork_groove_width",
        "base_tangent_2",
        "tip_diameter",
    }
)
"""Of which dimensions the check says something."""


@attrs.frozen(kw_only=True)
class DrivePiece:
    """A drive as far as its starter decides on it; None is not recorded."""

    drive: Drive
    teeth: int | None
    shaft_bore: Feature | None
    fork_groove_width: Feature | None
    base_tangent_2: Feature | None
    tip_diameter: Feature | None


@attrs.frozen(kw_only=True)
class DrivePlace:
    """What the starter offers a drive: beside the shaft's end its pinion, its fork and its ring gear."""

    seat: DriveSeat
    pinion: PinionEntry
    shaft_diameter: Feature | None
    fork_thickness: Feature | None
    ring_gear_teeth: int | None
    centre_distance: Feature | None


def drive_of(size: SizeValues) -> DrivePiece:
    """Return what a size records of a drive that the check reads."""
    return DrivePiece(
        drive=Drive(
            rotation=size_choice(size, "rotation"),
            spline_count=size_count(size, "spline_count"),
            spline_major_diameter=size_length(size, "spline_major_diameter"),
            helix_hand=size_choice(size, "helix_hand"),
            helix_lead=size_length(size, "helix_lead"),
            overall_length=size_length(size, "overall_length"),
            face_width=size_length(size, "face_width"),
        ),
        teeth=size_count(size, "teeth"),
        shaft_bore=size_length(size, "shaft_bore"),
        fork_groove_width=size_length(size, "fork_groove_width"),
        base_tangent_2=size_length(size, "base_tangent_2"),
        tip_diameter=size_length(size, "tip_diameter"),
    )


def seat_of(family: FamilyEntry, position: PositionEntry) -> DrivePlace:
    """Return what family and position state that the check reads."""
    return DrivePlace(
        seat=DriveSeat(
            rotation=family.rotation,
            spline_count=seat_count(position, "spline_count"),
            spline_major_diameter=seat_length(position, "spline_major_diameter"),
            helix_hand=seat_word(position, "helix_hand"),
            helix_lead=seat_length(position, "helix_lead"),
            drive_length=seat_length(position, "drive_length"),
            rest_clearance=seat_length(position, "rest_clearance"),
            travel=seat_length(position, "travel"),
        ),
        pinion=family.pinion,
        shaft_diameter=seat_length(position, "shaft_diameter"),
        fork_thickness=seat_length(position, "fork_thickness"),
        ring_gear_teeth=seat_count(position, "ring_gear_teeth"),
        centre_distance=seat_length(position, "centre_distance"),
    )


def judge(piece: DrivePiece, place: DrivePlace) -> Iterator[Reason]:
    """Yield what teeth, rotation, shaft, splines, fork, rest clearance and travel say of a drive."""
    yield check_choice("teeth", piece.teeth, place.pinion.teeth, "the family's pinion has")
    yield from check_drive(piece.drive, place.seat)
    yield _over("shaft_bore", piece.shaft_bore, place.shaft_diameter, DRIVE_BORE, "on the shaft")
    yield _over("fork_groove_width", piece.fork_groove_width, place.fork_thickness, FORK, "of the fork")
    yield check_pinion(place.pinion, piece.base_tangent_2)
    yield check_mesh(place.pinion, place.ring_gear_teeth, place.centre_distance, piece.tip_diameter)


def _over(dimension: str, outer: Feature | None, inner: Feature | None, limits: Limits, words: str) -> Reason:
    if outer is None or inner is None:
        return Reason(dimension, "unknown", "it is not recorded of both drive and starter")
    return judge_clearance(dimension, outer.bounds_nm(), inner.bounds_nm(), limits, words)
