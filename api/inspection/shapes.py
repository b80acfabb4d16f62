"""Wire models of `POST /v1/inspections`: what is asked."""

from typing import Annotated, Final, Literal

from pydantic import Field

from api.fit.feature_fields import FeatureField, Text
from api.wire.inputs import Request

MOST_PIECES: Final = 20
MOST_REPEATS: Final = 20

PlaceName = Literal[
    "battery_side_contact",
    "motor_side_contact",
    "contact_disc",
    "drive_end_bushing",
    "commutator_end_bushing",
    "intermediate_bushing",
    "drive_end_bearing",
    "commutator_end_bearing",
    "brush_set",
    "drive_clutch",
    "plunger",
    "return_spring",
    "planet_gears",
    "armature",
    "commutator",
    "field",
    "ring_gear",
]
Face = Literal["clean", "pitted", "burnt", "welded"]
Condition = Literal["clean", "sticking", "oil_soaked", "chipped", "lead_loose"]
Teeth = Literal["sound", "worn", "milled", "broken"]
Action = Literal["smooth", "rough", "loose", "slips", "locked"]
Movement = Literal["free", "sticky", "bound"]
Spring = Literal["sound", "weak", "broken"]
Core = Literal["as_made", "rubbed_bright", "lifted"]
Windings = Literal["sound", "darkened", "burnt", "thrown_solder"]
Magnets = Literal["sound", "cracked", "loose"]
Surface = Literal["smooth", "oily", "grooved", "burnt_bars"]

Number = Annotated[
    float,
    Field(description="a number in the unit of the name", json_schema_extra={"minimum": 0, "maximum": 1e12}),
]


class NumberReading(Request):
    """A reading of a number: `value` with its `repeats`, or `above` where the meter was over its range."""

    value: Number | None = None
    above: Annotated[
        Number | None, Field(description="the meter was over its range: it is more than this")
    ] = None
    uncertainty: Annotated[Number | None, Field(description="the caller's own standard uncertainty")] = None
    repeats: Annotated[list[Number], Field(max_length=MOST_REPEATS, default_factory=list)]


LengthReadings = Annotated[
    FeatureField | Annotated[list[FeatureField], Field(min_length=1, max_length=MOST_PIECES)],
    Field(
        description="a reading: a length read by digital caliper (run-outs: dial indicator), limits, or an "
        "object with instrument, uncertainty, repeats; a list has one for each piece, of a bore or journal "
        'its diameters; "none" where there is no step, run-out, ovality or undercut',
        examples=["12.62 mm"],
    ),
]
NumberReadings = Annotated[Number | NumberReading, Field(description="a number, or an object")]


class BenchReadingsRequest(Request):
    """What was read or seen at one place; which features a place has stands in the README."""

    thickness: LengthReadings | None = None
    step: LengthReadings | None = None
    length: LengthReadings | None = None
    holder_thickness: LengthReadings | None = None
    holder_width: LengthReadings | None = None
    bore: LengthReadings | None = None
    oval: LengthReadings | None = None
    housing_bore: LengthReadings | None = None
    journal_diameter: LengthReadings | None = None
    base_tangent_2: LengthReadings | None = None
    base_tangent_3: LengthReadings | None = None
    diameter: LengthReadings | None = None
    run_out: LengthReadings | None = None
    undercut: LengthReadings | None = None
    shaft_run_out: LengthReadings | None = None
    core_run_out: LengthReadings | None = None
    spring_force_newtons: NumberReadings | None = None
    slip_torque_newton_metres: NumberReadings | None = None
    overrun_torque_newton_metres: NumberReadings | None = None
    resistance_to_ground_ohms: NumberReadings | None = None
    face: Face | None = None
    condition: Condition | None = None
    teeth: Teeth | None = None
    action: Action | None = None
    movement: Movement | None = None
    spring: Spring | None = None
    core: Core | None = None
    windings: Windings | None = None
    magnets: Magnets | None = None
    surface: Surface | None = None


class NewValuesRequest(Request):
    """Features when new, where they are known: exact, by limits, or read off a new piece."""

    thickness: FeatureField | None = None
    length: FeatureField | None = None
    bore: FeatureField | None = None
    journal_diameter: FeatureField | None = None
    base_tangent_2: FeatureField | None = None
    base_tangent_3: FeatureField | None = None
    diameter: FeatureField | None = None
    undercut: FeatureField | None = None
    spring_force_newtons: Number | None = None


class PlaceRequest(Request):
    """One place of the starter: a position of its family, or armature, commutator, field, ring gear."""

    position: PlaceName
    readings: BenchReadingsRequest
    new: NewValuesRequest = NewValuesRequest()


class StatedLimitRequest(Request):
    """A limit that the caller states, as the maker's manual has it: a length as text, or a number."""

    position: PlaceName
    feature: Text
    least: Text | Number | None = None
    most: Text | Number | None = None


class InspectionRequest(Request):
    """All readings of one stripped starter; its family supplies positions, new values and seats."""

    family: Text | None = None
    positions: Annotated[list[PlaceRequest], Field(min_length=1, max_length=20)]
    limits: Annotated[list[StatedLimitRequest], Field(max_length=60, default_factory=list)]
