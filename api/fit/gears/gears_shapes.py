"""Wire models of the checks of gears: which pinion it is, and how a pinion meshes with a ring gear.

Lengths are text with unit, pressure angles degrees, profile shifts and addenda modules, as JSON numbers.
"""

from typing import Annotated, Literal

from msgspec import Meta
from pydantic import Field

from api.fit.feature_fields import FeatureField
from api.wire.inputs import Request
from api.wire.shapes import Answer, LengthAnswer

LengthText = Annotated[str, Field(min_length=1, max_length=60, examples=["29.63 mm"])]
Shift = Annotated[float, Field(ge=-1, le=1.5, description="profile shift in modules, -1 to 1.5")]


class PinionIdentityRequest(Request):
    """The counted teeth of a pinion and what was measured of it: one length at least."""

    teeth: Annotated[int, Field(ge=5, le=40, description="counted teeth, 5 to 40", examples=[9])]
    tip_diameter: Annotated[
        FeatureField | None,
        Field(
            description="greatest reading across the tips; on an odd count it is low, which is allowed for"
        ),
    ] = None
    base_tangent_2: Annotated[
        FeatureField | None, Field(description="span over two teeth, the least reading")
    ] = None
    base_tangent_3: Annotated[
        FeatureField | None, Field(description="span over three teeth, the least reading")
    ] = None
    tip_read: Annotated[
        Literal["across_tips", "true_diameter"] | None,
        Field(description="whether `tip_diameter` is as read across the tips; left out: both are weighed"),
    ] = None


class GearRequest(Request):
    """One gear of a mesh."""

    teeth: Annotated[int, Field(ge=5, le=600, description="teeth, 5 to 600")]
    profile_shift: Shift = 0.0
    tip_diameter: Annotated[
        LengthText | None, Field(description="true tip diameter; left out: from teeth, shift and addendum")
    ] = None
    addendum: Annotated[
        float,
        Field(
            ge=0.5,
            le=1.3,
            description="addendum in modules: 1 full depth, 0.8333 stub 10/12, 0.8 stub 8/10",
        ),
    ] = 1.0


class GearMeshRequest(Request):
    """A pinion, a ring gear outside of the flywheel, their common pitch, and how far apart they stand."""

    pinion: GearRequest
    ring: GearRequest
    diametral_pitch: Annotated[
        float | None, Field(ge=1, le=100, description="teeth per inch of pitch diameter; or `module`")
    ] = None
    module: Annotated[LengthText | None, Field(description="module as a length; or `diametral_pitch`")] = None
    pressure_angle: Annotated[float, Field(ge=10, le=35, description="pressure angle in degrees")] = 20.0
    centre_distance: Annotated[
        LengthText | None, Field(description="between the axes; left out: the distance without backlash")
    ] = None
    engine_rpm: Annotated[
        float | None, Field(gt=0, le=20_000, description="engine speed, for the armature's overspeed")
    ] = None
    internal_reduction: Annotated[
        float, Field(ge=1, le=20, description="armature turns for one of the pinion; 1: direct drive")
    ] = 1.0


class ShiftRangeAnswer(Answer, frozen=True, kw_only=True):
    """Profile shifts between which 95 % of the weight lies, in modules."""

    lower: float
    upper: float


class PinionCandidateAnswer(Answer, frozen=True, kw_only=True):
    """A standard pitch and pressure angle that agrees; lengths are those of an unworn pinion."""

    name: Annotated[str, Meta(examples=["10 DP at 20 degrees"])]
    weight: Annotated[float, Meta(description="share among all candidates that agree, 0 to 1")]
    diametral_pitch: int | None
    module_mm: float
    pressure_angle_degrees: float
    profile_shift: Annotated[float, Meta(description="likeliest, in modules")]
    profile_shift_range: ShiftRangeAnswer
    profile_shift_as_read: Annotated[
        float | None, Meta(description="from the spans as if unworn: the true one is this or more")
    ]
    tooth_height: Annotated[str, Meta(examples=["stub 10/12"])]
    addendum_modules: float
    base_pitch_mm: float
    base_pitch_gap: Annotated[
        float | None, Meta(description="difference of the spans less the base pitch, in standard deviations")
    ]
    worst_gap: Annotated[float, Meta(description="the figure that is furthest off, in standard deviations")]
    tip_diameter: LengthAnswer
    base_tangent_2: LengthAnswer
    base_tangent_3: LengthAnswer
    reasons: list[str]
    cautions: list[str]


class ReadAnswer(Answer, frozen=True, kw_only=True):
    """A reading as it was taken into account."""

    dimension: str
    mm: float
    standard_uncertainty_mm: float


class PinionIdentityAnswer(Answer, frozen=True, kw_only=True):
    """The candidates that agree, likeliest first, and how far they are told apart."""

    teeth: int
    readings: list[ReadAnswer]
    read_base_pitch_mm: Annotated[float | None, Meta(description="difference of the two spans")]
    identified: Annotated[
        bool, Meta(description="whether the first candidate has 95 % of the weight or more")
    ]
    statement: str
    candidates: list[PinionCandidateAnswer]
    candidate_count: int
    remaining_weight: Annotated[float, Meta(description="of candidates that are not listed")]
    cautions: list[str]
    assumptions: list[str]


class ContactRatioAnswer(Answer, frozen=True, kw_only=True):
    """Transverse contact ratios at the centre distance judged."""

    without_tip_shortening: float
    with_tip_shortening: Annotated[
        float, Meta(description="tips shortened to keep the root clearance, where none is stated")
    ]
    between_base_circles: Annotated[
        float, Meta(description="without tip shortening, the path ended where the involutes end")
    ]


class BacklashAnswer(Answer, frozen=True, kw_only=True):
    """Backlash in mm: along the working pitch circles, and along the line of action."""

    circumferential: float
    normal: float


class ToothAnswer(Answer, frozen=True, kw_only=True):
    """One gear in the mesh."""

    teeth: int
    profile_shift: float
    tip_diameter: LengthAnswer
    tip_diameter_shortened: LengthAnswer
    root_diameter: LengthAnswer
    base_diameter: LengthAnswer
    working_pitch_diameter: LengthAnswer
    tip_thickness_mm: float
    tip_clearance_mm: Annotated[
        float, Meta(description="from its tip to the other's root; below 0 it strikes")
    ]
    tip_past_base_circle_mm: Annotated[
        float,
        Meta(description="by how much its tip reaches past the other's base circle, on the line of action"),
    ]
    tip_below_flank_mm: Annotated[
        float, Meta(description="by how much its tip would touch below the start of the other's flank")
    ]
    tip_interference: bool
    undercut: bool
    least_profile_shift: Annotated[float, Meta(description="below which a rack cutter undercuts it, modules")]


class GearMeshAnswer(Answer, frozen=True, kw_only=True):
    """How the two mesh at `centre_distance`: the stated one, or the one without backlash."""

    module_mm: float
    diametral_pitch: float
    pressure_angle_degrees: float
    standard_centre_distance: LengthAnswer
    zero_backlash_centre_distance: LengthAnswer
    centre_distance: LengthAnswer
    zero_backlash_pressure_angle_degrees: float
    working_pressure_angle_degrees: float
    contact_ratio: ContactRatioAnswer
    backlash_mm: BacklashAnswer
    shift_sum: float
    required_shift_sum: Annotated[float, Meta(description="that would leave no backlash at this distance")]
    tip_interference: bool
    undercut: bool
    pinion: ToothAnswer
    ring: ToothAnswer
    armature_speed_rpm: Annotated[
        float | None, Meta(description="should the clutch fail to free at this engine speed")
    ]
    findings: list[str]
    cautions: list[str]
    assumptions: list[str]
