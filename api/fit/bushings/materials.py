"""What bushes, housings and shafts are made of: stiffness, expansion, melting, friction. Pure.

Every figure carries its source. "From memory" marks handbook values that were not looked up; they are
rounded to what the alloys of one name share. Moduli and expansion are those near room temperature.
"""

from collections.abc import Mapping
from typing import Final, Literal

import attrs

Construction = Literal["porous", "solid", "wrapped"]


@attrs.frozen
class Sourced:
    """A value and where it comes from."""

    value: float
    source: str


@attrs.frozen(kw_only=True)
class Material:
    """A material: modulus of elasticity (GPa), Poisson's ratio, linear expansion (1e-6 per kelvin, from
    -50 to 200 degrees), the temperature where it begins to melt (degrees Celsius), and the least and
    greatest coefficient of friction when it is pressed into metal.

    `made_as` is the construction of the bushes that are made of it, None where it makes no bushes.
    `strength_mpa` is the least yield strength of a housing of it, or where it `is_brittle` the least
    tensile strength; None where it makes no housings.
    """

    code: str
    name: str
    modulus_gpa: Sourced
    poisson: Sourced
    expansion_ppm: Sourced
    melts_from_celsius: Sourced
    friction_least: Sourced
    friction_most: Sourced
    made_as: Construction | None = None
    strength_mpa: Sourced | None = None
    is_brittle: bool = False

    @property
    def expansion_per_kelvin(self) -> float:
        """Linear expansion as a plain fraction per kelvin."""
        return self.expansion_ppm.value * 1e-6


EXPANSION_HOLDS_CELSIUS: Final = (-50.0, 200.0)
"""Between which temperatures the expansions of the materials are meant."""

MEMORY: Final = "from memory"
CALLISTER: Final = "Callister, Materials Science and Engineering, appendix B, table B.6 (read at second hand)"
STRENGTHS: Final = "Callister, appendix B, table B.4 (read at second hand)"
CALCULATOR: Final = "tribology-abc.com, notes of its press-fit calculator"
POROSITY_LAW: Final = (
    "solid modulus x (density / solid density)^3.4, McAdam 1951 for sintered iron (from memory); {}"
)

YELLOW_DRY_LEAST: Final = Sourced(0.05, f"steel on yellow metal, dry: 0.05 to 0.1; {CALCULATOR}")
YELLOW_DRY_MOST: Final = Sourced(0.10, f"steel on yellow metal, dry: 0.05 to 0.1; {CALCULATOR}")
STEEL_OILED: Final = Sourced(0.05, f"steel on steel, lubricated: 0.05 to 0.1; {CALCULATOR}")
STEEL_DRY: Final = Sourced(0.15, f"steel on steel, dry: 0.1 to 0.15; {CALCULATOR}")


def porous_modulus_gpa(solid_gpa: float, density: float, solid_density: float) -> float:
    """Return the modulus (GPa) that is left at a density: a power law of the share that is solid.

    Exponent 3.4: McAdam 1951 for sintered iron, from memory. Densities in any one unit, the porous one
    not above the solid one.
    """
    return solid_gpa * float((density / solid_density) ** 3.4)


_ALL: Final = (
    Material(
        code="aluminium",
        name="cast aluminium, as of housings and noses",
        modulus_gpa=Sourced(72.0, f"alloy 356.0: 72.4; {MEMORY}"),
        poisson=Sourced(0.33, MEMORY),
        expansion_ppm=Sourced(21.5, f"alloy 356.0; {CALLISTER}"),
        melts_from_celsius=Sourced(555.0, f"alloy 356.0; {MEMORY}"),
        friction_least=YELLOW_DRY_LEAST,
        friction_most=STEEL_DRY,
        strength_mpa=Sourced(124.0, f"alloy 356.0 as cast, yield strength; {STRENGTHS}"),
    ),
    Material(
        code="wrought_aluminium",
        name="wrought aluminium, bar or plate",
        modulus_gpa=Sourced(69.0, f"alloy 6061; {MEMORY}"),
        poisson=Sourced(0.33, MEMORY),
        expansion_ppm=Sourced(23.6, f"alloy 6061; {CALLISTER}"),
        melts_from_celsius=Sourced(580.0, f"alloy 6061; {MEMORY}"),
        friction_least=YELLOW_DRY_LEAST,
        friction_most=STEEL_DRY,
        strength_mpa=Sourced(276.0, f"alloy 6061 in temper T6, yield strength (annealed: 55); {STRENGTHS}"),
    ),
    Material(
        code="cast_iron",
        name="grey cast iron",
        modulus_gpa=Sourced(110.0, f"{MEMORY}; grey irons run from 70 to 140"),
        poisson=Sourced(0.26, MEMORY),
        expansion_ppm=Sourced(11.2, f"ductile iron; {CALLISTER}"),
        melts_from_celsius=Sourced(1150.0, f"eutectic of iron and carbon; {MEMORY}"),
        friction_least=STEEL_OILED,
        friction_most=STEEL_DRY,
        strength_mpa=Sourced(124.0, f"grade G1800, least tensile strength; {STRENGTHS}"),
        is_brittle=True,
    ),
    Material(
        code="steel",
        name="steel",
        modulus_gpa=Sourced(205.0, MEMORY),
        poisson=Sourced(0.29, MEMORY),
        expansion_ppm=Sourced(11.5, "JCGM 100:2008, H.1, gauge steel (read at second hand)"),
        melts_from_celsius=Sourced(1420.0, MEMORY),
        friction_least=STEEL_OILED,
        friction_most=STEEL_DRY,
        strength_mpa=Sourced(210.0, f"1020 hot rolled, least yield strength; {MEMORY}"),
    ),
    Material(
        code="tin_bronze",
        name="solid tin or leaded tin bronze, cast",
        modulus_gpa=Sourced(100.0, f"C93200; {MEMORY}"),
        poisson=Sourced(0.34, f"{MEMORY}; 0.30 to 0.34 for bronzes"),
        expansion_ppm=Sourced(18.0, f"C93200; {CALLISTER}"),
        melts_from_celsius=Sourced(855.0, f"C93200; {MEMORY}"),
        friction_least=YELLOW_DRY_LEAST,
        friction_most=YELLOW_DRY_MOST,
        made_as="solid",
    ),
    Material(
        code="phosphor_bronze",
        name="wrought phosphor bronze",
        modulus_gpa=Sourced(110.0, f"C51000; {MEMORY}"),
        poisson=Sourced(0.34, MEMORY),
        expansion_ppm=Sourced(17.8, "C51000, copper association's data on a FreeCAD material card"),
        melts_from_celsius=Sourced(950.0, f"C51000; {MEMORY}"),
        friction_least=YELLOW_DRY_LEAST,
        friction_most=YELLOW_DRY_MOST,
        made_as="solid",
    ),
    Material(
        code="sintered_bronze",
        name="porous bronze, 10 % tin, filled with oil",
        # Much less stiff than solid bronze: a quarter of it is pores. 6.4 of 8.8 g/cm3 leaves a third.
        modulus_gpa=Sourced(
            round(porous_modulus_gpa(105.0, 6.4, 8.8), 1),
            POROSITY_LAW.format("105 GPa, 6.4 of 8.8 g/cm3, densities from memory; our judgement"),
        ),
        poisson=Sourced(0.28, "our judgement: pores lower it below the 0.34 of solid bronze"),
        expansion_ppm=Sourced(18.0, f"pores do not change expansion: as C93200; {CALLISTER}"),
        melts_from_celsius=Sourced(840.0, f"bronze of 10 % tin; {MEMORY}"),
        friction_least=YELLOW_DRY_LEAST,
        friction_most=YELLOW_DRY_MOST,
        made_as="porous",
    ),
    Material(
        code="sintered_iron",
        name="porous iron, filled with oil",
        modulus_gpa=Sourced(
            round(porous_modulus_gpa(205.0, 5.8, 7.87), 1),
            POROSITY_LAW.format("205 GPa, 5.8 of 7.87 g/cm3, densities from memory; our judgement"),
        ),
        poisson=Sourced(0.25, "our judgement: pores lower it below the 0.29 of solid iron"),
        expansion_ppm=Sourced(12.0, f"pores do not change expansion: as steel in general; {CALLISTER}"),
        melts_from_celsius=Sourced(1100.0, f"with copper or carbon added; {MEMORY}"),
        friction_least=STEEL_OILED,
        friction_most=STEEL_DRY,
        made_as="porous",
    ),
    Material(
        code="bronze_on_steel",
        name="bronze on steel strip, wrapped",
        # The steel back is most of the wall and decides stiffness and expansion.
        modulus_gpa=Sourced(205.0, f"of its steel back; {MEMORY}"),
        poisson=Sourced(0.29, f"of its steel back; {MEMORY}"),
        expansion_ppm=Sourced(11.5, "of its steel back: JCGM 100:2008, H.1 (read at second hand)"),
        melts_from_celsius=Sourced(840.0, f"of its bronze of 10 % tin; {MEMORY}"),
        friction_least=STEEL_OILED,
        friction_most=STEEL_DRY,
        made_as="wrapped",
    ),
)

MATERIALS: Final[Mapping[str, Material]] = {material.code: material for material in _ALL}
"""Every known material by its code."""

HOUSING_MATERIALS: Final = ("aluminium", "cast_iron", "steel")
"""What a housing may be where nothing is said (common practice, no source)."""


def bush_materials(construction: Construction | None) -> tuple[str, ...]:
    """Return what a bush of a construction may be made of; without one, any that bushes are made of."""
    return tuple(
        material.code
        for material in _ALL
        if material.made_as is not None and construction in (None, material.made_as)
    )
