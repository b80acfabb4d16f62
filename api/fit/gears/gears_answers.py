"""From what the gear rules found to their answers, with cautions and assumptions in words."""

import math
from typing import Final, overload

from api.fit.gears.drive_checks import CAUTION_OVERSPEED, armature_speed
from api.fit.gears.gear_mesh import Mesh, ToothChecks
from api.fit.gears.gears_shapes import (
    BacklashAnswer,
    ContactRatioAnswer,
    GearMeshAnswer,
    GearMeshRequest,
    PinionCandidateAnswer,
    PinionIdentityAnswer,
    ReadAnswer,
    ShiftRangeAnswer,
    ToothAnswer,
)
from api.fit.gears.involute import MM_PER_INCH, Gear
from api.fit.gears.mesh_findings import mesh_findings, taken_for_left_out
from api.fit.gears.pinion_identity import PinionCandidate
from api.fit.gears.pinion_likelihood import NM_PER_MM, PinionReadings
from api.wire.shapes import LengthAnswer, length_answer

MOST_CANDIDATES: Final = 20
SURE_FROM: Final = 0.95
"""Share of the weight from which a candidate counts as identified (our judgement)."""

IDENTITY_ASSUMPTIONS: Final = (
    "Standard pitches only: usual diametral pitches, modules of ISO 54 series I and II (from memory); "
    "pressure angles 14.5, 17.5, 20, 22.5 and 25 degrees, 20 by far the likeliest (our judgement).",
    "Addenda: stub P1/P2 (SAE J543, public summary), 0.8 and 1 module, and those between (our judgement).",
    "Wear only shrinks spans and tips: exponential, mean 0.12 mm and 0.15 mm (our judgement).",
    "Spur teeth of involute form.",
)
IDENTITY_CAUTION: Final = (
    "Measure the drive out of the starter or with the battery disconnected. The maker's drawing decides, "
    "where there is one."
)
MESH_ASSUMPTIONS: Final = (
    "External spur gears of involute form; dedendum 1.25 times the addendum, straight flank of the cutter as "
    "deep as the addendum.",
    "Tip shortening keeps the root clearance of the basic rack; a stated tip diameter is not shortened.",
    "New teeth: worn flanks have more backlash and a lower contact ratio.",
)
MESH_CAUTION: Final = (
    "Measure at the ring gear only with the battery disconnected and the engine unable to turn. Set centre "
    "distance and backlash by the maker's manual; these figures do not replace it."
)


def identity_answer(read: PinionReadings, found: tuple[PinionCandidate, ...]) -> PinionIdentityAnswer:
    """Give what was found of a pinion its wire shape."""
    listed = found[:MOST_CANDIDATES]
    lengths = [("tip_diameter", read.tip)] + [
        (f"base_tangent_{over}", read.spans.get(over)) for over in (2, 3)
    ]
    has_both = len(read.spans) == 2
    apart = (read.spans[3].middle_nm - read.spans[2].middle_nm) / NM_PER_MM if has_both else None
    return PinionIdentityAnswer(
        teeth=read.teeth,
        readings=[
            ReadAnswer(
                dimension=name,
                mm=_shown(told.middle_nm / NM_PER_MM),
                standard_uncertainty_mm=_shown(told.deviation_nm / NM_PER_MM),
            )
            for name, told in lengths
            if told is not None
        ],
        read_base_pitch_mm=_shown(apart),
        identified=found[0].weight >= SURE_FROM,
        statement=_statement(read, found),
        candidates=[_candidate_answer(one) for one in listed],
        candidate_count=len(found),
        remaining_weight=sum((one.weight for one in found[MOST_CANDIDATES:]), 0.0),
        cautions=[IDENTITY_CAUTION],
        assumptions=list(IDENTITY_ASSUMPTIONS),
    )


def _statement(read: PinionReadings, found: tuple[PinionCandidate, ...]) -> str:
    first = found[0]
    told = f"{first.name}, profile shift {first.profile_shift:.2f}, {first.height}"
    if first.weight >= SURE_FROM:
        return f"The figures agree with {told}."
    missing = [f"the span over {over} teeth" for over in (2, 3) if over not in read.spans]
    missing += [] if read.tip is not None else ["the tip diameter"]
    more = f" {' and '.join(missing)} would tell more" if missing else " finer readings would tell more"
    return f"{len(found)} candidates agree, {told} the likeliest ({first.weight:.0%});{more}."


def _candidate_answer(found: PinionCandidate) -> PinionCandidateAnswer:
    return PinionCandidateAnswer(
        name=found.name,
        weight=_shown(found.weight),
        diametral_pitch=found.pitch.diametral_pitch,
        module_mm=_shown(found.pitch.module_mm),
        pressure_angle_degrees=found.pressure_angle,
        profile_shift=_shown(found.profile_shift),
        profile_shift_range=ShiftRangeAnswer(
            lower=_shown(found.shift_range[0]), upper=_shown(found.shift_range[1])
        ),
        profile_shift_as_read=_shown(found.shift_as_read),
        tooth_height=found.height,
        addendum_modules=_shown(found.addendum),
        base_pitch_mm=_shown(found.base_pitch_mm),
        base_pitch_gap=_shown(found.base_pitch_gap),
        worst_gap=_shown(found.worst_gap),
        tip_diameter=_length(found.gear.tip_diameter_mm),
        base_tangent_2=_length(found.gear.base_tangent_mm(2)),
        base_tangent_3=_length(found.gear.base_tangent_mm(3)),
        reasons=list(found.findings),
        cautions=[
            f"On such a pinion jaws over {over} teeth touch at a diameter of "
            f"{found.gear.span_touches_mm(over):.2f} mm, beyond its tip of "
            f"{found.gear.tip_diameter_mm:.2f} mm: that span could not have been read."
            for over in found.spans_off_flank
        ],
    )


def mesh_answer(body: GearMeshRequest, pinion: Gear, ring: Gear, mesh: Mesh) -> GearMeshAnswer:
    """Give a mesh its wire shape, with the armature's speed where the engine's is told."""
    speed = None
    if body.engine_rpm is not None:
        speed = armature_speed(ring.teeth, pinion.teeth, body.internal_reduction, body.engine_rpm)
    return GearMeshAnswer(
        module_mm=_shown(pinion.module_mm),
        diametral_pitch=_shown(MM_PER_INCH / pinion.module_mm),
        pressure_angle_degrees=body.pressure_angle,
        standard_centre_distance=_length(mesh.standard_centre_distance_mm),
        zero_backlash_centre_distance=_length(mesh.zero_backlash_centre_distance_mm),
        centre_distance=_length(mesh.centre_distance_mm),
        zero_backlash_pressure_angle_degrees=_shown(math.degrees(mesh.zero_backlash_angle)),
        working_pressure_angle_degrees=_shown(math.degrees(mesh.working_pressure_angle)),
        contact_ratio=ContactRatioAnswer(
            without_tip_shortening=_shown(mesh.contact_ratio),
            with_tip_shortening=_shown(mesh.contact_ratio_shortened),
            between_base_circles=_shown(mesh.usable_contact_ratio),
        ),
        backlash_mm=BacklashAnswer(
            circumferential=_shown(mesh.circumferential_backlash_mm), normal=_shown(mesh.normal_backlash_mm)
        ),
        shift_sum=_shown(mesh.shift_sum),
        required_shift_sum=_shown(mesh.required_shift_sum),
        tip_interference=mesh.pinion.interferes or mesh.ring.interferes,
        undercut=mesh.pinion.undercut or mesh.ring.undercut,
        pinion=_tooth_answer(pinion, mesh.pinion),
        ring=_tooth_answer(ring, mesh.ring),
        armature_speed_rpm=_shown(speed),
        findings=mesh_findings(pinion, ring, mesh, stated=body.centre_distance is not None),
        cautions=[MESH_CAUTION, *([] if speed is None else [f"{speed:.0f} rpm. {CAUTION_OVERSPEED}"])],
        assumptions=[*MESH_ASSUMPTIONS, *taken_for_left_out(body)],
    )


def _tooth_answer(gear: Gear, checks: ToothChecks) -> ToothAnswer:
    return ToothAnswer(
        teeth=gear.teeth,
        profile_shift=gear.profile_shift,
        tip_diameter=_length(checks.tip_diameter_mm),
        tip_diameter_shortened=_length(checks.shortened_tip_mm),
        root_diameter=_length(checks.root_diameter_mm),
        base_diameter=_length(checks.base_diameter_mm),
        working_pitch_diameter=_length(checks.working_pitch_diameter_mm),
        tip_thickness_mm=_shown(checks.tip_thickness_mm),
        tip_clearance_mm=_shown(checks.tip_clearance_mm),
        tip_past_base_circle_mm=_shown(checks.tip_reach_mm),
        tip_below_flank_mm=_shown(checks.flank_shortfall_mm),
        tip_interference=checks.interferes,
        undercut=checks.undercut,
        least_profile_shift=_shown(checks.least_shift),
    )


@overload
def _shown(value: float) -> float: ...


@overload
def _shown(value: float | None) -> float | None: ...


def _shown(value: float | None) -> float | None:
    """Return a figure to six decimals, as all answers tell them."""
    return None if value is None else round(value, 6)


def _length(mm: float) -> LengthAnswer:
    return length_answer(round(mm * NM_PER_MM))
