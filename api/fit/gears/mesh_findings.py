"""What is noteworthy of a mesh, and what was taken for what its request leaves out, in words."""

from typing import Final

from api.fit.gears.gear_mesh import Mesh
from api.fit.gears.gears_shapes import GearMeshRequest
from api.fit.gears.involute import MM_PER_INCH, Gear

USUAL_BACKLASH_MM: Final = (0.015 * MM_PER_INCH, 0.030 * MM_PER_INCH)
"""Backlash at which cranking meshes of 10/12 and coarser are set: 0.015 to 0.030 in (SAE J543, public
summary)."""


def mesh_findings(pinion: Gear, ring: Gear, mesh: Mesh, *, stated: bool) -> list[str]:
    """Return in words what is noteworthy; `stated`: whether the centre distance is the caller's."""
    said = _contact_findings(mesh)
    if _in_reach(mesh):
        said.append(_backlash_finding(mesh, stated=stated))
    for name, other, gear, checks in (
        ("pinion", "ring gear", pinion, mesh.pinion),
        ("ring gear", "pinion", ring, mesh.ring),
    ):
        if checks.tip_clearance_mm < 0:
            said.append(f"the {name}'s tips strike the {other}'s roots by {-checks.tip_clearance_mm:.3f} mm")
        if checks.tip_reach_mm > 0:
            said.append(
                f"the {name}'s tips reach past the {other}'s base circle by {checks.tip_reach_mm:.3f} mm"
            )
        elif checks.flank_shortfall_mm > 0:
            said.append(
                f"the {name}'s tips touch the {other}'s fillets, {checks.flank_shortfall_mm:.3f} mm deep"
            )
        if checks.undercut:
            said.append(
                f"the {name} is undercut: {gear.teeth} teeth need a profile shift of "
                f"{checks.least_shift:.3f}, it has {gear.profile_shift:.3f}"
            )
    return said


def _contact_findings(mesh: Mesh) -> list[str]:
    ratio = mesh.contact_ratio
    if not _in_reach(mesh):
        return [f"contact ratio {ratio:.3f}: the tips do not reach each other, the gears are out of mesh"]
    if ratio <= 0:
        return [f"contact ratio {ratio:.3f}: the flanks never meet, at most the corners of the tips touch"]
    if ratio < 1:
        return [
            f"contact ratio {ratio:.3f}, below 1: between two teeth the flanks part for a moment. Cranking "
            "meshes run so at wide spacing; that alone is no reason to refuse the pinion"
        ]
    return [f"contact ratio {ratio:.3f}"]


def _in_reach(mesh: Mesh) -> bool:
    return mesh.pinion.tip_diameter_mm + mesh.ring.tip_diameter_mm > 2 * mesh.centre_distance_mm


def _backlash_finding(mesh: Mesh, *, stated: bool) -> str:
    lash, (least, most) = mesh.circumferential_backlash_mm, USUAL_BACKLASH_MM
    usual = f"{least:.2f} to {most:.2f} mm, as SAE J543 gives it for 10/12 and coarser (public summary)"
    if not stated:
        return (
            f"no centre distance is stated: at this one there is no backlash (usual when cranking: {usual})"
        )
    if lash < least:
        return f"backlash {lash:.3f} mm, less than usual on cranking meshes ({usual}): the teeth may wedge"
    if lash > most:
        return f"backlash {lash:.3f} mm, more than usual on cranking meshes ({usual})"
    return f"backlash {lash:.3f} mm, as usual on cranking meshes ({usual})"


def taken_for_left_out(body: GearMeshRequest) -> list[str]:
    """Return what was taken of everything that the request leaves out and the figures depend on."""
    said = []
    if "pressure_angle" not in body.model_fields_set:
        said.append(f"No pressure angle is stated: {body.pressure_angle:g} degrees are taken.")
    if body.engine_rpm is not None and "internal_reduction" not in body.model_fields_set:
        said.append(
            f"No internal reduction is stated: {body.internal_reduction:g} is taken, direct drive. "
            "The armature of a starter with a reduction turns faster, by as many times."
        )
    for name, told in (("pinion", body.pinion), ("ring gear", body.ring)):
        if "profile_shift" not in told.model_fields_set:
            said.append(
                f"No profile shift of the {name} is stated: {told.profile_shift:g} is taken. "
                "One of x modules moves the centre distance without backlash by about x modules."
            )
        if "addendum" not in told.model_fields_set:
            said.append(
                f"No addendum of the {name} is stated: {told.addendum:g} module is taken, full depth. "
                "Stub teeth have less, and their contact ratio is lower."
            )
    return said
