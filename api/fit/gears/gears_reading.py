"""From the requests of the gear checks to checked values: every fault at once, with its place."""

import math
from collections.abc import Mapping
from typing import Final

from api.errors import InvalidInput
from api.fit.feature_fields import FeatureField, FeatureReader, ReadingField
from api.fit.gears.gear_mesh import CentreDistanceBelowContact, Mesh, TeethCannotMesh, mesh_gears
from api.fit.gears.gears_shapes import GearMeshRequest, GearRequest, PinionIdentityRequest
from api.fit.gears.involute import Gear, module_of_pitch
from api.fit.gears.pinion_likelihood import PinionReadings
from api.fit.judging.features import Feature
from api.measurement.instruments import Instrument, Way
from api.measurement.lengths import format_length, millimetres
from api.measurement.ranges import RANGE_MARK
from api.measurement.raw_readings import RawReading, RawSetup
from api.measurement.readings import make_reading

MODULES_NM: Final = (250_000, 25_400_000)
"""Modules that are taken: those of 100 to 1 teeth per inch (our judgement)."""

LENGTHS: Final[tuple[tuple[str, Way], ...]] = (
    ("tip_diameter", "outside"),
    ("base_tangent_2", "span"),
    ("base_tangent_3", "span"),
)


def read_pinion(body: PinionIdentityRequest, instruments: Mapping[str, Instrument]) -> PinionReadings:
    """Return what was counted and measured of a pinion; raises `InvalidInput` with every fault."""
    reader = FeatureReader(instruments)
    told = {name: _measured(reader, getattr(body, name), name, way) for name, way in LENGTHS}
    if all(getattr(body, name) is None for name, _ in LENGTHS):
        names = ", ".join(name for name, _ in LENGTHS)
        reader.refuse("", f"one at least of {names}", "missing", "base_tangent_2")
    reader.settle()
    spans = {over: told[f"base_tangent_{over}"] for over in (2, 3)}
    return PinionReadings(
        teeth=body.teeth,
        tip=told["tip_diameter"],
        spans={over: span for over, span in spans.items() if span is not None},
        tip_read=body.tip_read,
    )


def _measured(reader: FeatureReader, told: FeatureField | None, name: str, way: Way) -> Feature | None:
    """Read a length; one that stands alone, without limits, is a reading by the usual instrument."""
    if told is None or isinstance(told, ReadingField) or RANGE_MARK in told:
        return reader.feature(told, name, way=way)
    try:
        raw = RawReading.of_text(told)
        reading = make_reading(name, way, raw, RawSetup(), reader.instruments, (name,))
    except InvalidInput as refused:
        reader.faults.extend(refused.faults)
        return None
    return Feature.read(reading.nm, reading.u_nm)


def read_mesh(body: GearMeshRequest, instruments: Mapping[str, Instrument]) -> tuple[Gear, Gear, Mesh]:
    """Return the pinion, the ring gear and their mesh; raises `InvalidInput` with every fault."""
    reader = FeatureReader(instruments)
    module_mm = _module_mm(reader, body)
    distance_nm = reader.length(body.centre_distance, "centre_distance")
    tips = {
        side: reader.length(gear.tip_diameter, side, "tip_diameter")
        for side, gear in (("pinion", body.pinion), ("ring", body.ring))
    }
    if module_mm is None:
        raise InvalidInput.of(reader.faults)
    gears = [
        _gear(reader, body, gear, side, module_mm, tips[side])
        for side, gear in (("pinion", body.pinion), ("ring", body.ring))
    ]
    reader.settle()
    try:
        mesh = mesh_gears(gears[0], gears[1], None if distance_nm is None else millimetres(distance_nm))
    except CentreDistanceBelowContact as refused:
        raise InvalidInput.of([refused.as_fault("centre_distance")]) from None
    except TeethCannotMesh as refused:
        raise InvalidInput.of([refused.as_fault("pinion", "profile_shift")]) from None
    return gears[0], gears[1], mesh


def _module_mm(reader: FeatureReader, body: GearMeshRequest) -> float | None:
    """Return the module (mm), or None after noting why there is none."""
    module_nm = reader.length(body.module, "module")
    if body.module is None and body.diametral_pitch is None:
        reader.refuse("", "diametral_pitch or module to be given", "missing", "diametral_pitch")
        return None
    if body.module is not None and body.diametral_pitch is not None:
        reader.refuse(body.module, "either diametral_pitch or module, not both", "two_pitches", "module")
        return None
    if body.diametral_pitch is not None:
        return module_of_pitch(body.diametral_pitch)
    if module_nm is None:
        return None
    if not MODULES_NM[0] <= module_nm <= MODULES_NM[1]:
        least, most = (format_length(nm) for nm in MODULES_NM)
        reader.refuse(body.module, f"a module from {least} to {most}", "implausible", "module")
        return None
    return millimetres(module_nm)


def _gear(
    reader: FeatureReader,
    body: GearMeshRequest,
    told: GearRequest,
    side: str,
    module_mm: float,
    tip_nm: int | None,
) -> Gear:
    """Return one gear after noting a tip that its teeth cannot have."""
    gear = Gear(
        teeth=told.teeth,
        module_mm=module_mm,
        pressure_angle=math.radians(body.pressure_angle),
        profile_shift=told.profile_shift,
        addendum=told.addendum,
        stated_tip_mm=None if tip_nm is None else millimetres(tip_nm),
    )
    if told.tip_diameter is not None and tip_nm is None:
        return gear
    least, most = max(gear.base_diameter_mm, gear.root_diameter_mm), gear.pointed_diameter_mm()
    if not least < gear.tip_diameter_mm < most:
        where = "profile_shift" if tip_nm is None else "tip_diameter"
        value = told.profile_shift if tip_nm is None else told.tip_diameter
        made = f"the tip of {gear.tip_diameter_mm:.3f} mm" if tip_nm is None else "it"
        expected = (
            f"{made} to lie between {least:.3f} mm (base circle or root) and {most:.3f} mm, where "
            f"{told.teeth} teeth with a profile shift of {told.profile_shift:g} come to a point"
        )
        reader.refuse(value, expected, "impossible_tip", side, where)
    return gear
