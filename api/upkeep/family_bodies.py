"""What bodies state of families, their positions and seats, of starters and listings."""

from typing import Annotated, Literal

from pydantic import Field

from api.starters.check_position import MOST_OF_ONE_POSITION
from api.starters.shapes import AccessClass, Construction, FieldKind, PositionCode, Rotation, Voltage
from api.starters.vocabulary import POSITION_KINDS
from api.upkeep.entry_types import Code, LengthOrRange, Line, MakerNumber, Prose, Withdrawable
from api.wire.inputs import Request

OneLength = Annotated[
    str,
    Field(min_length=1, max_length=40, description="a length with its unit", examples=["66.68 mm"]),
]
Thread = Annotated[
    str, Field(min_length=1, max_length=40, description="a stud's thread", examples=["M8x1.25"])
]
Count = Annotated[int, Field(ge=0, le=999)]


class PinionRequest(Request):
    """The pinion of a family: its pitch is a diametral pitch (teeth per inch) or a module."""

    teeth: Annotated[int, Field(ge=6, le=20)]
    diametral_pitch: Annotated[int, Field(ge=3, le=40, description="teeth per inch")] | None = None
    module: OneLength | None = None
    pressure_angle: Annotated[float, Field(ge=10, le=30, description="degrees, 3 decimals at most")]
    profile_shift: Annotated[float, Field(ge=-1, le=1.5, description="in modules, 3 decimals at most")]


class SeatRequest(Request):
    """What is known of a seat, by feature."""

    housing_bore: LengthOrRange | None = None
    housing_depth: LengthOrRange | None = None
    housing_outside_diameter: LengthOrRange | None = None
    shaft_diameter: LengthOrRange | None = None
    holder_thickness: LengthOrRange | None = None
    holder_width: LengthOrRange | None = None
    lead_reach: LengthOrRange | None = None
    stud_diameter: LengthOrRange | None = None
    stud_spacing: LengthOrRange | None = None
    face_height: LengthOrRange | None = None
    face_gap: LengthOrRange | None = None
    disc_diameter: LengthOrRange | None = None
    disc_travel: LengthOrRange | None = None
    over_travel: LengthOrRange | None = None
    rest_clearance: LengthOrRange | None = None
    travel: LengthOrRange | None = None
    spline_major_diameter: LengthOrRange | None = None
    helix_lead: LengthOrRange | None = None
    drive_length: LengthOrRange | None = None
    fork_thickness: LengthOrRange | None = None
    centre_distance: LengthOrRange | None = None
    ring_gear_teeth: Count | None = None
    spline_count: Count | None = None
    housing_bore_form: Literal["through", "blind"] | None = None
    housing_material: Literal["aluminium", "cast_iron", "steel"] | None = None
    helix_hand: Literal["left", "right", "straight"] | None = None
    stud_thread: Thread | None = None


class FamilyPositionRequest(Request):
    """A place in a family where a wear part sits; a kind is left out where none covers it."""

    code: PositionCode
    kind: Annotated[Code, Field(description="code of a kind of wear part")] | None = None
    quantity: Annotated[int, Field(ge=1, le=MOST_OF_ONE_POSITION, description="pieces")]
    seat: SeatRequest | None = None


class SeatedPositionRequest(FamilyPositionRequest, Withdrawable):
    """A position of a family; the contacts of a solenoid come and go together, by the family's own list."""


class FamilyRequest(Withdrawable):
    """A family with all of its positions in their order: those that are not named again are withdrawn."""

    code: Code
    name: Line
    construction: Construction
    voltage: Voltage
    rated_power_w: Annotated[int, Field(ge=50, le=20_000)]
    rotation: Annotated[Rotation, Field(description="seen from the drive end")]
    field: FieldKind
    pole_count: Annotated[int, Field(ge=2, le=12, multiple_of=2)]
    brush_count: Annotated[int, Field(ge=2, le=12)]
    internal_reduction: Annotated[
        float,
        Field(ge=1, le=10, description="turns of the armature for one of the pinion, 3 decimals at most"),
    ]
    pinion: PinionRequest
    pilot_diameter: OneLength
    mounting_holes: Annotated[int, Field(ge=1, le=6)]
    access_class: AccessClass
    notes: Prose | None = None
    position: Annotated[list[FamilyPositionRequest], Field(min_length=1, max_length=len(POSITION_KINDS))]


class StarterRequest(Withdrawable):
    """One unit of a family, by the number that its maker gives it."""

    maker: Annotated[Code, Field(description="code of its maker")]
    number: MakerNumber
    family: Annotated[Code, Field(description="code of its family")]
    description: Line


class ListingRequest(Withdrawable):
    """A part that its maker lists for the position."""

    maker: Annotated[Code, Field(description="code of the part's maker")]
    number: MakerNumber
