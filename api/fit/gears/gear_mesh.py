"""How a pinion meshes with an external ring gear: distances, contact ratio, backlash, interference. Pure.

Formulas of profile-shifted involute gearing (ISO 21771 and gear handbooks, from memory; checked against
published pairs). A contact ratio below 1 is reported, never refused: cranking meshes run there at wide
spacing.
"""

import math
from typing import Final, Literal

import attrs

from api.errors import DomainError, FieldFault
from api.fit.gears.involute import Gear, inverse_involute, involute

MESH_TOLERANCE_MM: Final = 0.001
"""How far below the zero-backlash distance a centre distance still counts as it, so that a distance
rounded to 0.001 mm is not called jammed (our judgement)."""

Side = Literal["pinion", "ring"]


@attrs.frozen
class CentreDistanceBelowContact(DomainError):
    """The gears would have to sink into each other: no backlash is left, the teeth jam."""

    centre_distance_mm: float
    zero_backlash_centre_distance_mm: float
    required_shift_sum: float | None
    shift_sum: float

    def explain(self) -> str:
        """Say how far apart the gears must be, and what shift they would need to stand so close."""
        return f"A centre distance of {self.centre_distance_mm:.3f} mm jams; expected {self._expected()}."

    def as_fault(self, *path: str | int) -> FieldFault:
        """Return the refusal as a fault of the centre distance, which stood at `path`."""
        return FieldFault(path, f"{self.centre_distance_mm:.3f} mm", self._expected(), "below_contact")

    def _expected(self) -> str:
        told = f"at least the zero-backlash distance of {self.zero_backlash_centre_distance_mm:.3f} mm"
        if self.required_shift_sum is None:
            return f"{told} (nearer than the base circles no profile shift allows)"
        return (
            f"{told} (so close the profile shifts may add up to {self.required_shift_sum:.4f} modules, "
            f"these add up to {self.shift_sum:.4f})"
        )


@attrs.frozen
class TeethCannotMesh(DomainError):
    """The profile shifts are so low that no centre distance lets the flanks touch without backlash."""

    shift_sum: float
    least_shift_sum: float

    def explain(self) -> str:
        """Name the shift sum and the least that could mesh."""
        return f"The profile shifts add up to {self.shift_sum:.4f} modules; expected {self._expected()}."

    def as_fault(self, *path: str | int) -> FieldFault:
        """Return the refusal as a fault of the profile shift that stood at `path`."""
        return FieldFault(path, f"{self.shift_sum:.4f} in all", self._expected(), "teeth_too_thin")

    def _expected(self) -> str:
        return (
            f"shifts that add up to more than {self.least_shift_sum:.4f} modules, below which the teeth are "
            "too thin to meet"
        )


@attrs.frozen(kw_only=True)
class ToothChecks:
    """What the mesh does at one gear, at the centre distance judged.

    `tip_diameter_mm` is stated or unshortened, `shortened_tip_mm` the stated one or shortened to keep the
    rack's clearance; `tip_clearance_mm` lies between its tip and the other's root, below zero where they
    strike; `tip_reach_mm` is how far its tip pushes the contact past the other's base circle along the
    line of action, `flank_shortfall_mm` how far below the start of the other's flank (radially) it would
    have to touch: both 0 where they do not interfere.
    """

    tip_diameter_mm: float
    shortened_tip_mm: float
    root_diameter_mm: float
    base_diameter_mm: float
    working_pitch_diameter_mm: float
    tip_thickness_mm: float
    tip_clearance_mm: float
    tip_reach_mm: float
    flank_shortfall_mm: float
    undercut: bool
    least_shift: float

    @property
    def interferes(self) -> bool:
        """Whether its tip strikes the other's root or digs below the other's flank."""
        return self.tip_clearance_mm < 0 or self.tip_reach_mm > 0 or self.flank_shortfall_mm > 0


@attrs.frozen(kw_only=True)
class Mesh:
    """A pair of gears at a centre distance; lengths in mm, angles in radians, shifts in modules.

    `contact_ratio` is with the tips as they stand (stated, or unshortened), `contact_ratio_shortened`
    with tips shortened where none is stated; `usable_contact_ratio` is the first, its path ended at the base
    circles. Backlash is along the working pitch circles and along the
    line of action (normal). `required_shift_sum` is the sum of profile shifts that would leave no backlash
    at this centre distance.
    """

    standard_centre_distance_mm: float
    zero_backlash_centre_distance_mm: float
    zero_backlash_angle: float
    centre_distance_mm: float
    working_pressure_angle: float
    contact_ratio: float
    contact_ratio_shortened: float
    usable_contact_ratio: float
    circumferential_backlash_mm: float
    normal_backlash_mm: float
    shift_sum: float
    required_shift_sum: float
    pinion: ToothChecks
    ring: ToothChecks


def zero_backlash_angle(pinion: Gear, ring: Gear) -> float:
    """Return the working pressure angle (radians) without backlash: inv aw = inv a + 2 tan a sum x / sum z.

    Raises `TeethCannotMesh` where the shifts are too low for any.
    """
    shift_sum, teeth = pinion.profile_shift + ring.profile_shift, pinion.teeth + ring.teeth
    slope = 2 * math.tan(pinion.pressure_angle) / teeth
    value = involute(pinion.pressure_angle) + slope * shift_sum
    if value <= 0:
        raise TeethCannotMesh(shift_sum, -involute(pinion.pressure_angle) / slope)
    return inverse_involute(value)


def required_shift_sum(pinion: Gear, ring: Gear, centre_distance_mm: float) -> float | None:
    """Return the sum of profile shifts (modules) that leaves no backlash at a centre distance.

    None where the distance is below the sum of the base radii: no shift allows that.
    """
    bases = _base_radii_mm(pinion, ring)
    if centre_distance_mm < bases:
        return None
    return _shift_sum_at(pinion, ring, math.acos(bases / centre_distance_mm))


def contact_ratio(pinion: Gear, ring: Gear, angle: float, tips_mm: tuple[float, float]) -> float:
    """Return the transverse contact ratio at a working pressure angle (radians) with these tip diameters.

    The path of contact over the base pitch, by the formula that handbooks print; below 1 there are moments
    without contact between true flanks, below 0 the tips do not reach each other. Where a tip reaches past
    the other's base circle the formula still counts the whole path: see `usable_contact_ratio`.
    """
    tangent = _base_radii_mm(pinion, ring) * math.tan(angle)
    return (_reach(pinion, tips_mm[0]) + _reach(ring, tips_mm[1]) - tangent) / pinion.base_pitch_mm


def usable_contact_ratio(pinion: Gear, ring: Gear, angle: float, tips_mm: tuple[float, float]) -> float:
    """Return the contact ratio of the path between the two base circles, beyond which no involute is."""
    tangent = _base_radii_mm(pinion, ring) * math.tan(angle)
    reaches = min(_reach(pinion, tips_mm[0]), tangent) + min(_reach(ring, tips_mm[1]), tangent)
    return (reaches - tangent) / pinion.base_pitch_mm


def mesh_gears(pinion: Gear, ring: Gear, centre_distance_mm: float | None = None) -> Mesh:
    """Return how the two mesh at a centre distance (mm), by default the one without backlash.

    Both have one module and pressure angle; stated tips lie between base circle and point. Raises
    `CentreDistanceBelowContact` and `TeethCannotMesh`.
    """
    tight_angle = zero_backlash_angle(pinion, ring)
    bases = _base_radii_mm(pinion, ring)
    tight = bases / math.cos(tight_angle)
    shift_sum = pinion.profile_shift + ring.profile_shift
    distance, angle = tight, tight_angle
    if centre_distance_mm is not None and centre_distance_mm < tight - MESH_TOLERANCE_MM:
        required = required_shift_sum(pinion, ring, centre_distance_mm)
        raise CentreDistanceBelowContact(centre_distance_mm, tight, required, shift_sum)
    if centre_distance_mm is not None and centre_distance_mm > tight:
        distance = centre_distance_mm
        angle = math.acos(bases / distance)
    lash = max(2 * distance * (involute(angle) - involute(tight_angle)), 0.0)
    tips = (pinion.tip_diameter_mm, ring.tip_diameter_mm)
    shortening = _shortening(pinion, ring, tight)
    short = (_shortened(pinion, shortening), _shortened(ring, shortening))
    return Mesh(
        standard_centre_distance_mm=(pinion.pitch_diameter_mm + ring.pitch_diameter_mm) / 2,
        zero_backlash_centre_distance_mm=tight,
        zero_backlash_angle=tight_angle,
        centre_distance_mm=distance,
        working_pressure_angle=angle,
        contact_ratio=contact_ratio(pinion, ring, angle, tips),
        contact_ratio_shortened=contact_ratio(pinion, ring, angle, short),
        usable_contact_ratio=usable_contact_ratio(pinion, ring, angle, tips),
        circumferential_backlash_mm=lash,
        normal_backlash_mm=lash * math.cos(angle),
        shift_sum=shift_sum,
        required_shift_sum=_shift_sum_at(pinion, ring, angle),
        pinion=_check_teeth(pinion, ring, distance, angle, short[0]),
        ring=_check_teeth(ring, pinion, distance, angle, short[1]),
    )


def _base_radii_mm(pinion: Gear, ring: Gear) -> float:
    return (pinion.base_diameter_mm + ring.base_diameter_mm) / 2


def _shift_sum_at(pinion: Gear, ring: Gear, angle: float) -> float:
    rise = involute(angle) - involute(pinion.pressure_angle)
    return (pinion.teeth + ring.teeth) * rise / (2 * math.tan(pinion.pressure_angle))


def _shortened(gear: Gear, shortening_mm: float) -> float:
    """The tip diameter after shortening; a stated one stands as it is."""
    return gear.tip_diameter_mm - (0.0 if gear.stated_tip_mm is not None else 2 * shortening_mm)


def _reach(gear: Gear, tip_mm: float) -> float:
    """Length along the line of action from the gear's base circle to its tip circle."""
    return math.sqrt(max((tip_mm / 2) ** 2 - (gear.base_diameter_mm / 2) ** 2, 0.0))


def _shortening(pinion: Gear, ring: Gear, tight_mm: float) -> float:
    """How much (mm, radially) tips are shortened to keep the rack's root clearance: (sum x - y) m."""
    standard = (pinion.pitch_diameter_mm + ring.pitch_diameter_mm) / 2
    shifts = (pinion.profile_shift + ring.profile_shift) * pinion.module_mm
    return max(shifts - (tight_mm - standard), 0.0)


def _check_teeth(gear: Gear, other: Gear, distance: float, angle: float, short: float) -> ToothChecks:
    tip = gear.tip_diameter_mm
    left = distance * math.sin(angle) - _reach(gear, tip)
    touched = math.hypot(other.base_diameter_mm / 2, max(left, 0.0))
    return ToothChecks(
        tip_diameter_mm=tip,
        shortened_tip_mm=short,
        root_diameter_mm=gear.root_diameter_mm,
        base_diameter_mm=gear.base_diameter_mm,
        working_pitch_diameter_mm=gear.base_diameter_mm / math.cos(angle),
        tip_thickness_mm=gear.thickness_at_mm(tip),
        tip_clearance_mm=distance - tip / 2 - other.root_diameter_mm / 2,
        tip_reach_mm=max(-left, 0.0),
        flank_shortfall_mm=max(other.form_diameter_mm() / 2 - touched, 0.0),
        undercut=gear.profile_shift < gear.least_shift(),
        least_shift=gear.least_shift(),
    )
