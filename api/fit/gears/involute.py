"""The geometry of one external involute spur gear. Pure.

Formulas of involute gearing as ISO 21771 and gear handbooks give them (from memory; checked against
published values). Lengths are millimetres, profile shift and addendum are in modules.
"""

import math
from typing import Final

import attrs
from scipy.optimize import brentq

MM_PER_INCH: Final = 25.4
DEDENDUM_PER_ADDENDUM: Final = 1.25
"""Dedendum over addendum: 1.25 full depth (ISO 53 basic rack), 1.25/P2 beside 1/P2 on stubs (SAE J543)."""


def involute(angle: float) -> float:
    """Return the involute function tan(a) - a of an angle in radians, 0 <= a < pi/2."""
    return math.tan(angle) - angle


def inverse_involute(value: float) -> float:
    """Return the angle (radians) whose involute function is `value`, any number >= 0.

    Raises ValueError below zero: no real angle has such an involute.
    """
    if value < 0:
        raise ValueError(f"no angle has an involute of {value}")
    if value == 0:
        return 0.0
    # tan a - a > a^3 / 3, and tan a = value + a < value + pi/2: both bound the angle from above.
    above = min((3 * value) ** (1 / 3), math.atan(value + math.pi / 2))
    return float(brentq(lambda angle: involute(angle) - value, 0.0, above * (1 + 1e-9), xtol=1e-15))


def module_of_pitch(diametral_pitch: float) -> float:
    """Return the module (mm) of a diametral pitch (teeth per inch of pitch diameter, > 0)."""
    return MM_PER_INCH / diametral_pitch


@attrs.frozen(kw_only=True)
class Gear:
    """An external spur gear by its teeth, its rack and its profile shift.

    `teeth` >= 3, `module_mm` > 0, `pressure_angle` in radians between 0 and pi/2, `profile_shift` and
    `addendum` in modules; `stated_tip_mm` is a tip diameter that is known, else the rack gives it.
    """

    teeth: int
    module_mm: float
    pressure_angle: float
    profile_shift: float = 0.0
    addendum: float = 1.0
    stated_tip_mm: float | None = None

    @property
    def pitch_diameter_mm(self) -> float:
        """The reference diameter z m."""
        return self.teeth * self.module_mm

    @property
    def base_diameter_mm(self) -> float:
        """The diameter z m cos(a) of the circle that the involutes unwind from."""
        return self.pitch_diameter_mm * math.cos(self.pressure_angle)

    @property
    def base_pitch_mm(self) -> float:
        """The distance pi m cos(a) between like flanks along a common normal."""
        return math.pi * self.module_mm * math.cos(self.pressure_angle)

    @property
    def tip_diameter_mm(self) -> float:
        """The stated tip diameter, else m (z + 2 x + 2 addendum): without tip shortening."""
        if self.stated_tip_mm is not None:
            return self.stated_tip_mm
        return self.module_mm * (self.teeth + 2 * self.profile_shift + 2 * self.addendum)

    @property
    def root_diameter_mm(self) -> float:
        """The root diameter m (z + 2 x - 2 dedendum)."""
        depth = DEDENDUM_PER_ADDENDUM * self.addendum
        return self.module_mm * (self.teeth + 2 * self.profile_shift - 2 * depth)

    @property
    def thickness_mm(self) -> float:
        """The tooth thickness m (pi/2 + 2 x tan a) along the reference circle."""
        return self.module_mm * (math.pi / 2 + 2 * self.profile_shift * math.tan(self.pressure_angle))

    def thickness_at_mm(self, diameter_mm: float) -> float:
        """Return the tooth thickness along the circle of that diameter, at or above the base circle.

        Below zero above the circle where the flanks meet in a point. Raises ValueError below the base circle.
        """
        angle = self.angle_at(diameter_mm)
        return diameter_mm * (self._half_angle_on_base - involute(angle))

    def angle_at(self, diameter_mm: float) -> float:
        """Return the pressure angle (radians) at a diameter; ValueError below the base circle."""
        if diameter_mm < self.base_diameter_mm:
            raise ValueError(f"{diameter_mm} mm lies below the base circle of {self.base_diameter_mm} mm")
        return math.acos(self.base_diameter_mm / diameter_mm)

    def pointed_diameter_mm(self) -> float:
        """Return the diameter at which the two flanks of a tooth meet in a point; no tip lies beyond it.

        The base circle where a shift far below zero leaves no tooth even there.
        """
        return self.base_diameter_mm / math.cos(inverse_involute(max(self._half_angle_on_base, 0.0)))

    @property
    def _half_angle_on_base(self) -> float:
        """Half the angle (radians) that a tooth spans on the base circle."""
        return self.thickness_mm / self.pitch_diameter_mm + involute(self.pressure_angle)

    def base_tangent_mm(self, over: int) -> float:
        """Return the span over that many teeth (>= 1): m cos a (pi (k - 0.5) + z inv a) + 2 x m sin a."""
        turned = math.pi * (over - 0.5) + self.teeth * involute(self.pressure_angle)
        shifted = 2 * self.profile_shift * math.sin(self.pressure_angle)
        return self.module_mm * (math.cos(self.pressure_angle) * turned + shifted)

    def span_touches_mm(self, over: int) -> float:
        """Return the diameter on which the jaws touch the flanks; beyond the tip they run off."""
        return math.hypot(self.base_diameter_mm, self.base_tangent_mm(over))

    def chordal_thickness_mm(self) -> float:
        """Return the tooth thickness on the reference circle along its chord."""
        return self.pitch_diameter_mm * math.sin(self.thickness_mm / self.pitch_diameter_mm)

    def chordal_height_mm(self) -> float:
        """Return the height of the tip over the chord of `chordal_thickness_mm`."""
        rise = 1 - math.cos(self.thickness_mm / self.pitch_diameter_mm)
        return (self.tip_diameter_mm - self.pitch_diameter_mm + self.pitch_diameter_mm * rise) / 2

    def least_shift(self) -> float:
        """Return the least profile shift (modules) at which a rack cutter leaves the flank whole.

        x = h - z sin(a)^2 / 2, with the depth h of the straight flank below the reference line equal to the
        addendum, as on the basic racks of ISO 53.
        """
        return self.addendum - self.teeth * math.sin(self.pressure_angle) ** 2 / 2

    def form_diameter_mm(self) -> float:
        """Return the diameter at which the flank begins, above the fillet that a rack cutter leaves.

        Where the shift is below `least_shift` the cutter cuts into the flank; the base circle is returned,
        below which there is none in any case.
        """
        rise = (self.profile_shift - self.least_shift()) * self.module_mm / math.sin(self.pressure_angle)
        return 2 * math.hypot(self.base_diameter_mm / 2, max(rise, 0.0))


def least_teeth(pressure_angle: float, addendum: float = 1.0) -> float:
    """Return the tooth count 2 h / sin(a)^2 below which a gear without shift is undercut by a rack."""
    return 2 * addendum / math.sin(pressure_angle) ** 2
