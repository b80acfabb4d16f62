"""Wire models of `POST /v1/fit-checks/bushing`."""

from typing import Annotated, Literal

from msgspec import Meta
from pydantic import Field

from api.fit.bushings.materials import MATERIALS
from api.fit.feature_fields import FeatureField
from api.fit.reason_shapes import FitCaution, FitReason, GradeName
from api.wire.inputs import Request
from api.wire.shapes import Answer, RangeAnswer

MaterialCode = Annotated[
    str,
    Field(
        min_length=1,
        max_length=60,
        description="what it is made of",
        json_schema_extra={"enum": sorted(MATERIALS)},
    ),
]
Celsius = Annotated[float, Field(description="degrees Celsius")]


class BushRequest(Request):
    """A bush as far as it is known; the length includes the flange."""

    outside_diameter: FeatureField | None = None
    bore: FeatureField | None = None
    bore_state: Annotated[
        Literal["free", "installed"],
        Field(description="whether the bore is that of the loose bush or of the bush in its seat"),
    ] = "free"
    length: FeatureField | None = None
    flange_thickness: FeatureField | None = None
    flange_diameter: FeatureField | None = None
    material: MaterialCode | None = None
    construction: Literal["porous", "solid", "wrapped"] | None = None


class HousingRequest(Request):
    """The seat of the bush and the ring around it."""

    bore: FeatureField | None = None
    depth: FeatureField | None = None
    form: Literal["through", "blind"] | None = None
    material: MaterialCode | None = None
    outside_diameter: FeatureField | None = None


class ShaftRequest(Request):
    """The piece of the shaft that turns in the bush."""

    diameter: FeatureField | None = None
    material: MaterialCode = "steel"


class TemperaturesRequest(Request):
    """When the bush is pressed in, and the coldest and hottest it meets."""

    assembly: Celsius = 20.0
    cold: Celsius = -30.0
    hot: Celsius = 120.0


class BushingFitRequest(Request):
    """A bush, its housing and its shaft; what is not known is left out and makes the answer `unknown`."""

    bush: BushRequest
    housing: HousingRequest
    shaft: ShaftRequest
    temperatures_celsius: TemperaturesRequest | None = None


class LeastAndMost(Answer, frozen=True, kw_only=True):
    """A least and a most over all that is not known."""

    least: float
    most: float


class BushingStateAnswer(Answer, frozen=True, kw_only=True):
    """The bush at one temperature; null where a piece is not known.

    Interference and clearance are limits (readings widened by twice their uncertainty), below zero where
    there is none; chances run from 0 to 1.
    """

    moment: Literal["assembly", "cold", "hot"]
    celsius: float
    interference_mm: LeastAndMost | None
    chance_holds: LeastAndMost | None
    bore_closes_in_mm: LeastAndMost | None
    clearance_mm: LeastAndMost | None
    chance_runs_free: LeastAndMost | None


class PressingAnswer(Answer, frozen=True, kw_only=True):
    """What pressing in does, at the temperature of assembly; hoop stresses at the bores, tension above 0.

    `elastic_close_in_share` is the share of the interference by which the bore would close in if it were
    pressed in without a fitting pin.
    """

    pressure_mpa: LeastAndMost
    bush_hoop_stress_mpa: LeastAndMost
    housing_hoop_stress_mpa: LeastAndMost
    press_in_force_newtons: LeastAndMost | None
    elastic_close_in_share: LeastAndMost


class HousingStrainAnswer(Answer, frozen=True, kw_only=True):
    """How the housing bears the bush: the greatest pressure on its bore, and the pressure that it bears.

    Beyond that, brittle iron cracks and ductile metal yields through its wall; `strength_mpa` is the tensile
    or yield strength behind it, with its source. `chance` is that of the worst temperature.
    """

    greatest_pressure_mpa: float
    bears_mpa: float
    would: Literal["yield_through", "crack"]
    chance: float
    strength_mpa: float
    source: str


class ReworkAnswer(Answer, frozen=True, kw_only=True):
    """What has to be done to the bore in its seat, and the size to give it at 20 degrees Celsius."""

    operation: Literal["burnish", "ream"]
    bore: RangeAnswer
    text: str


class MaterialFigures(Answer, frozen=True, kw_only=True):
    """A material that was reckoned with, and where its figures come from."""

    piece: Literal["bush", "housing", "shaft"]
    code: Annotated[str, Meta(examples=["sintered_bronze"])]
    stated: bool
    modulus_gpa: float
    poisson_ratio: float
    expansion_ppm_per_kelvin: float
    sources: list[str]


class BushingFitAnswer(Answer, frozen=True, kw_only=True):
    """Whether the bush fits: the verdict, the reason that decides it, and all figures."""

    verdict: GradeName
    limiting: FitReason
    reasons: list[FitReason]
    states: list[BushingStateAnswer]
    pressing: PressingAnswer | None
    housing_strain: Annotated[
        HousingStrainAnswer | None,
        Meta(
            description="null unless material and outside diameter of the housing and a closed bush are known"
        ),
    ]
    rework: ReworkAnswer | None
    cautions: list[FitCaution]
    materials: list[MaterialFigures]
    assumptions: list[str]
