"""What a position's seat and its family say of a size, by plain comparison of intervals. Pure.

These are first checks: whether the part goes in, runs, and is of the right count, voltage and rotation.
They name as `unknown` whatever they cannot be sure of.
"""

from collections.abc import Callable, Mapping
from typing import Final

from api.fit.clearances import Limits, judge_clearance, range_of
from api.fit.reasons import Grade, Reason
from api.interchange.check_bushing import check_bushing
from api.interchange.check_pinion import check_pinion
from api.interchange.compare_sizes import SizeValues
from api.starters.entries import FamilyEntry, PositionEntry
from api.wear_parts.entries import SizeValueEntry

FORM_OF_POSITION: Final = {
    "battery_side_contact": "battery_side",
    "motor_side_contact": "motor_side",
    "contact_disc": "disc",
}
STUD: Final = Limits(fits_to_nm=1_500_000, refused_from_nm=3_000_000)
"""Clearance of a contact on its stud (our judgement; ISO 273 gives 1 mm for a coarse hole on M8)."""

DRIVE_BORE: Final = Limits(fits_to_nm=250_000, refused_from_nm=600_000)
"""Clearance of a drive on its shaft (our judgement)."""

HOLDER_CLEARANCES: Final = (
    (2_500_000, 144_000),
    (3_200_000, 158_000),
    (5_000_000, 178_000),
    (10_000_000, 193_040),
    (16_000_000, 232_000),
    (25_000_000, 254_000),
    (50_000_000, 300_000),
)
"""Greatest clearance of a new brush in its holder up to each nominal, in nm.

Source: EASA AR100-2020, Table 2-12, which refers to IEC 60136; of its millimetre and inch columns the
wider, which is the inch one from 1/4 to 3/8 in alone (0.0076 in beside 0.193 mm). Between the table's
rows the next wider one counts (our reading)."""

BRUSH_REFUSED_BEYOND_NM: Final = 500_000
"""How far beyond that clearance a brush is refused outright (our judgement)."""


def check_seat(family: FamilyEntry, position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    """Return what the seat says of each dimension that it decides; nothing for a kind without a rule."""
    rule = _RULES.get(position.kind or "")
    return () if rule is None else rule(family, position, size)


def _check_contact(family: FamilyEntry, position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    form = FORM_OF_POSITION.get(position.code, "")
    reasons = [_exact("form", size.get("form"), form, "the position takes")]
    if form == "disc":
        reasons.append(_check_travel(position, size))
    else:
        reasons.append(_check_stud(position, size))
    return tuple(reasons)


def _check_travel(position: PositionEntry, size: SizeValues) -> Reason:
    over, travel = range_of(size.get("over_travel")), range_of(position.feature("disc_travel"))
    if over is None or travel is None:
        return Reason("over_travel", "unknown", "over-travel of the disc or its travel is not recorded")
    if over[1] < travel[0]:
        return Reason("over_travel", "fits", "the disc's travel is longer than its over-travel")
    verdict: Grade = "does_not_fit" if over[0] >= travel[1] else "unknown"
    return Reason("over_travel", verdict, "the disc's travel may be no longer than its over-travel")


def _check_stud(position: PositionEntry, size: SizeValues) -> Reason:
    stud = range_of(position.feature("stud_diameter"))
    hole, own = range_of(size.get("stud_hole")), range_of(size.get("stud_diameter"))
    if stud is None or (hole is None and own is None):
        return Reason("stud_hole", "unknown", "the stud of the seat or the hole of the part is not recorded")
    if hole is not None:
        return judge_clearance("stud_hole", hole, stud, STUD, "on the stud")
    if own is not None and own[0] <= stud[1] and stud[0] <= own[1]:
        return Reason("stud_diameter", "fits", "its own stud has the diameter that the position takes")
    return Reason(
        "stud_diameter", "does_not_fit", "its own stud has another diameter than the position takes"
    )


def _check_brush(family: FamilyEntry, position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    return (
        _check_holder("thickness", "holder_thickness", position, size),
        _check_holder("width", "holder_width", position, size),
        _exact("brush_count", size.get("brush_count"), family.brush_count, "the family has"),
        _exact("rated_voltage", size.get("rated_voltage"), family.voltage, "the family has"),
    )


def _check_holder(dimension: str, feature: str, position: PositionEntry, size: SizeValues) -> Reason:
    brush, holder = range_of(size.get(dimension)), range_of(position.feature(feature))
    if brush is None or holder is None:
        return Reason(dimension, "unknown", "the brush or its holder is not recorded")
    widest = next((limit for nominal, limit in HOLDER_CLEARANCES if holder[0] <= nominal), None)
    if widest is None:
        return Reason(dimension, "unknown", "no clearance is published for a holder so large")
    limits = Limits(widest, widest + BRUSH_REFUSED_BEYOND_NM)
    return judge_clearance(dimension, holder, brush, limits, "in the holder")


def _check_drive(family: FamilyEntry, position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    bore, shaft = range_of(size.get("shaft_bore")), range_of(position.feature("shaft_diameter"))
    if bore is None or shaft is None:
        runs = Reason("shaft_bore", "unknown", "the bore of the drive or its shaft is not recorded")
    else:
        runs = judge_clearance("shaft_bore", bore, shaft, DRIVE_BORE, "on the shaft")
    return (
        _exact("teeth", size.get("teeth"), family.pinion.teeth, "the family's pinion has"),
        _exact("rotation", size.get("rotation"), family.rotation, "the family turns"),
        runs,
        check_pinion(family.pinion, size),
    )


def _exact(dimension: str, value: SizeValueEntry | None, wanted: int | str, words: str) -> Reason:
    """Judge a count or a choice: equal or not, there is no tolerance."""
    found = None if value is None else value.count if value.count is not None else value.choice
    if found is None:
        return Reason(dimension, "unknown", "its size does not record it", exact=True)
    if found == wanted:
        return Reason(dimension, "fits", f"{found}, as {words}", exact=True)
    return Reason(dimension, "does_not_fit", f"{found}, but {words} {wanted}", exact=True)


_RULES: Final[Mapping[str, Callable[[FamilyEntry, PositionEntry, SizeValues], tuple[Reason, ...]]]] = {
    "bushing": lambda family, position, size: check_bushing(position, size),
    "contact": _check_contact,
    "brush_set": _check_brush,
    "drive_clutch": _check_drive,
}
