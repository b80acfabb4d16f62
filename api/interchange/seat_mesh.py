"""Whether a drive's teeth mesh with the ring gear at the distance that the starter holds them. Pure."""

import attrs

from api.fit.gears.gear_mesh import CentreDistanceBelowContact, Mesh, TeethCannotMesh, mesh_gears
from api.fit.gears.involute import Gear
from api.fit.judging.features import Feature
from api.fit.judging.gaps import span
from api.fit.judging.reasons import Figure, Reason
from api.interchange.check_pinion import family_gear
from api.starters.entries import PinionEntry

NM_PER_MM = 1_000_000


def check_mesh(
    pinion: PinionEntry, ring_teeth: int | None, distance: Feature | None, tip: Feature | None
) -> Reason:
    """Return what the mesh says of a drive's tip diameter, from the nearest to the widest centre distance.

    Pitch, pressure angle and shift are the family's (the span over two teeth tells whether they are the
    drive's too); the ring gear is taken without profile shift, its teeth as high as the pinion's (our
    judgement: stub teeth mesh with stub teeth). Teeth that jam, or tips that strike, at every distance: does
    not fit; at some: unknown. A contact ratio below 1 is told, never refused: cranking meshes run there.
    """
    gear = family_gear(pinion)
    if gear is None or tip is None or ring_teeth is None or distance is None:
        told = "tip diameter, pitch, ring gear or centre distance is not recorded"
        return Reason("tip_diameter", "unknown", told)
    tip_mm = tip.middle_nm / NM_PER_MM
    addendum = (tip_mm / gear.module_mm - gear.teeth) / 2 - gear.profile_shift
    drive = attrs.evolve(gear, stated_tip_mm=tip_mm, addendum=addendum)
    ring = Gear(
        teeth=ring_teeth,
        module_mm=gear.module_mm,
        pressure_angle=gear.pressure_angle,
        addendum=addendum,
    )
    if not gear.base_diameter_mm < tip_mm < gear.pointed_diameter_mm():
        told = f"no tooth of the family's pinion has a tip diameter of {tip_mm:.2f} mm"
        return Reason("tip_diameter", "does_not_fit", told)
    near, wide = (_mesh(drive, ring, end / NM_PER_MM) for end in distance.bounds_nm())
    told = f"at a centre distance of {span(distance.bounds_nm())} from the ring gear of {ring_teeth} teeth"
    if wide is None:
        return Reason("tip_diameter", "does_not_fit", f"{told} the teeth jam")
    if near is None:
        return Reason("tip_diameter", "unknown", f"{told} the teeth may jam")
    figures = (
        Figure("least_backlash_mm", near.circumferential_backlash_mm),
        Figure("most_backlash_mm", wide.circumferential_backlash_mm),
        Figure("least_contact_ratio", wide.contact_ratio),
        Figure("most_contact_ratio", near.contact_ratio),
    )
    told = f"{told} it has {figures[0].value:.2f}..{figures[1].value:.2f} mm of backlash"
    struck = [mesh for mesh in (near, wide) if _strikes(mesh)]
    if len(struck) == 2:
        return Reason("tip_diameter", "does_not_fit", f"{told}: tips strike the roots", figures=figures)
    if struck:
        return Reason("tip_diameter", "unknown", f"{told}: tips may strike the roots", figures=figures)
    if wide.contact_ratio <= 0:
        return Reason("tip_diameter", "does_not_fit", f"{told}: the tips may not reach", figures=figures)
    told = f"{told} and a contact ratio of {wide.contact_ratio:.2f}..{near.contact_ratio:.2f}"
    return Reason("tip_diameter", "fits", told, figures=figures)


def _mesh(drive: Gear, ring: Gear, distance_mm: float) -> Mesh | None:
    try:
        return mesh_gears(drive, ring, distance_mm)
    except (CentreDistanceBelowContact, TeethCannotMesh):
        return None


def _strikes(mesh: Mesh) -> bool:
    """Tell whether a tip meets the bottom of a space."""
    return mesh.pinion.tip_clearance_mm < 0 or mesh.ring.tip_clearance_mm < 0
