"""A ring pressed into another: pressure, how far the bore closes in, stresses, force. Pure.

Thick-walled rings after Lamé, elastic, plane stress (free ends), the same along the whole length. Real
bushes may yield, their flanges stiffen them, and roughness eats some of the interference: the figures are
those of the ideal rings.
"""

import math
from typing import Final

import attrs

MPA_PER_GPA: Final = 1_000.0
NM_PER_MM: Final = 1_000_000


@attrs.frozen
class Ring:
    """A ring: inner diameter (nm, 0: solid), outer diameter (nm, infinity: unbounded), elastic constants.

    `inner_nm < outer_nm`; modulus of elasticity in GPa; Poisson's ratio from 0 to 0.5.
    """

    inner_nm: float
    outer_nm: float
    modulus_gpa: float
    poisson: float

    @property
    def shrinks_outside_per_gpa(self) -> float:
        """By what share its outside shrinks under 1 GPa of pressure on the outside."""
        inner, outer = self.inner_nm**2, self.outer_nm**2
        return ((outer + inner) / (outer - inner) - self.poisson) / self.modulus_gpa

    @property
    def grows_inside_per_gpa(self) -> float:
        """By what share its inside grows under 1 GPa of pressure on the inside."""
        if math.isinf(self.outer_nm):
            return (1 + self.poisson) / self.modulus_gpa
        inner, outer = self.inner_nm**2, self.outer_nm**2
        return ((outer + inner) / (outer - inner) + self.poisson) / self.modulus_gpa

    @property
    def bore_closes_per_gpa(self) -> float:
        """By what share of the *outside* diameter its bore closes under 1 GPa on the outside."""
        inner, outer = self.inner_nm, self.outer_nm
        return 2 * inner * outer / (outer**2 - inner**2) / self.modulus_gpa


@attrs.frozen
class Press:
    """What pressing does: contact pressure, by how much the bore closes in, hoop stresses (tension > 0)."""

    pressure_mpa: float
    bore_closes_nm: float
    bush_hoop_mpa: float
    housing_hoop_mpa: float | None


def press(interference_nm: float, bush: Ring, housing: Ring | None) -> Press:
    """Return what an interference (diametral, nm; none if negative) does to bush and housing.

    `housing` None is the limit of a housing that does not give; its own hoop stress is then None. The
    hoop stresses are those at the bores, where they are greatest.
    """
    share = max(interference_nm, 0.0) / bush.outer_nm
    gives = 0.0 if housing is None else housing.grows_inside_per_gpa
    pressure_gpa = share / (bush.shrinks_outside_per_gpa + gives)
    inner, outer = bush.inner_nm**2, bush.outer_nm**2
    # At the bore of a ring; a solid shaft bears the pressure itself.
    bush_hoop = -pressure_gpa * (2 * outer / (outer - inner) if inner else 1.0)
    return Press(
        pressure_mpa=pressure_gpa * MPA_PER_GPA,
        bore_closes_nm=pressure_gpa * bush.bore_closes_per_gpa * bush.outer_nm,
        bush_hoop_mpa=bush_hoop * MPA_PER_GPA,
        housing_hoop_mpa=None if housing is None else _hoop_of_housing(pressure_gpa, housing) * MPA_PER_GPA,
    )


def close_in_share(bush: Ring, housing: Ring | None) -> float:
    """Return by which share of the interference the bore closes in; at the most in a rigid housing."""
    gives = 0.0 if housing is None else housing.grows_inside_per_gpa
    return bush.bore_closes_per_gpa / (bush.shrinks_outside_per_gpa + gives)


def press_in_force_newton(
    friction: float, pressure_mpa: float, diameter_nm: float, length_nm: float
) -> float:
    """Return the axial force (N) that overcomes friction over the whole surface: friction p pi D L."""
    area_mm2 = math.pi * (diameter_nm / NM_PER_MM) * (length_nm / NM_PER_MM)
    return friction * pressure_mpa * area_mm2


def _hoop_of_housing(pressure_gpa: float, housing: Ring) -> float:
    if math.isinf(housing.outer_nm):
        return pressure_gpa
    inner, outer = housing.inner_nm**2, housing.outer_nm**2
    return pressure_gpa * (outer + inner) / (outer - inner)
