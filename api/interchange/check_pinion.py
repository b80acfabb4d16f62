"""Whether a drive's teeth are the teeth of the family's pinion, by the span over two of them. Pure.

The count and the tip diameter do not tell the pitch: starter pinions are long-addendum stubs. The span
does.
"""

import math
from typing import Final

from api.fit.gears.involute import Gear, module_of_pitch
from api.fit.judging.features import Feature
from api.fit.judging.reasons import Grade, Reason
from api.measurement.lengths import format_length
from api.starters.entries import PinionEntry

NM_PER_MM: Final = 1_000_000
SAME_WITHIN_NM: Final = 60_000
"""How far the recorded span may lie from the computed one and the teeth still be the same (our judgement:
thinning of the teeth for backlash)."""

OTHER_BEYOND_NM: Final = 200_000
"""How far off the span is of another pitch or shift (our judgement: neighbouring pitches lie further)."""


def span_over_two(pinion: PinionEntry) -> int | None:
    """Return the base tangent over two teeth in nm, or None where no pitch is recorded."""
    gear = family_gear(pinion)
    return None if gear is None else round(gear.base_tangent_mm(2) * NM_PER_MM)


def family_gear(pinion: PinionEntry) -> Gear | None:
    """Return a family's pinion as a gear, or None where no pitch is recorded."""
    if pinion.diametral_pitch is not None:
        module_mm = module_of_pitch(pinion.diametral_pitch)
    elif pinion.module_nm is not None:
        module_mm = pinion.module_nm / NM_PER_MM
    else:
        return None
    return Gear(
        teeth=pinion.teeth,
        module_mm=module_mm,
        pressure_angle=math.radians(pinion.pressure_angle_millidegrees / 1000),
        profile_shift=pinion.profile_shift_thousandths / 1000,
    )


def check_pinion(pinion: PinionEntry, recorded: Feature | None) -> Reason:
    """Return what a drive's span over two teeth says of its pitch and profile shift."""
    expected = span_over_two(pinion)
    if recorded is None or expected is None:
        return Reason("base_tangent_2", "unknown", "the span over two teeth or the pitch is not recorded")
    least, most = recorded.bounds_nm()
    off = max(least - expected, expected - most, 0)
    rounded = round(expected, -4)
    told = f"the family's pinion spans {format_length(rounded, digits=2)} over two teeth"
    if off <= SAME_WITHIN_NM:
        return Reason("base_tangent_2", "fits", f"{told}, as this drive does")
    verdict: Grade = "does_not_fit" if off > OTHER_BEYOND_NM else "unknown"
    return Reason("base_tangent_2", verdict, f"{told}, this drive is {format_length(off)} off")
