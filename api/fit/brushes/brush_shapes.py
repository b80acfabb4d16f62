"""Wire models of `POST /v1/fit-checks/brush`."""

from typing import Annotated, Literal

from pydantic import Field

from api.fit.feature_fields import FeatureField, Text
from api.fit.reason_shapes import FitCaution, FitReason, FitReport, GradeName
from api.fit.stated_numbers import Amperes, AmperesPerSquareCentimetre, Newtons
from api.wire.inputs import Request
from api.wire.shapes import Answer

Terminal = Literal["eyelet", "fork", "tag", "bare"]
LeadExit = Literal["top", "side"]
Bevel = Literal["none", "single", "double"]
BrushGrade = Literal["copper_rich_12v", "copper_medium_12v", "copper_lean_24v"]

MOST_BRUSHES = 12

BrushCount = Annotated[
    int,
    Field(
        description="brushes in all: an even number, half of them on either side of the circuit",
        json_schema_extra={"minimum": 2, "maximum": MOST_BRUSHES, "multipleOf": 2},
    ),
]
Volts = Annotated[
    int, Field(description="rated voltage in volts", json_schema_extra={"minimum": 6, "maximum": 24})
]


class BrushHolderRequest(Request):
    """The holder, and the way that the lead has to span where it is known."""

    thickness: FeatureField | None = None
    width: FeatureField | None = None
    lead_reach: FeatureField | None = None


class BrushRequest(Request):
    """One brush of a set; what is left out is not known. A worn one is judged by its length as well."""

    condition: Literal["new", "worn"] = "new"
    thickness: FeatureField | None = None
    width: FeatureField | None = None
    length: FeatureField | None = None
    new_length: FeatureField | None = None
    lead_length: FeatureField | None = None
    count: BrushCount | None = None
    rated_voltage: Volts | None = None
    grade: BrushGrade | None = None
    terminal: Terminal | None = None
    lead_exit: LeadExit | None = None
    bevel: Bevel | None = None


class BrushStarterRequest(Request):
    """What the starter takes: brush count and voltage decide; the choices only where they are stated."""

    brush_count: BrushCount | None = None
    rated_voltage: Volts | None = None
    grade: BrushGrade | None = None
    terminal: Terminal | None = None
    lead_exit: LeadExit | None = None
    bevel: Bevel | None = None


class BrushCheckRequest(Request):
    """A brush, its holder and its starter; limits, spring force and current where they are known."""

    holder: BrushHolderRequest
    brush: BrushRequest
    starter: BrushStarterRequest
    discard_length: Text | None = None
    spring_force_newtons: Newtons | None = None
    least_spring_force_newtons: Newtons | None = None
    most_spring_force_newtons: Newtons | None = None
    cranking_current_amperes: Amperes | None = None
    greatest_current_density_amperes_per_square_centimetre: AmperesPerSquareCentimetre | None = None


class BrushCheckAnswer(Answer, frozen=True, kw_only=True):
    """The verdict, the reason that limits it, every reason, and what is only reported."""

    verdict: GradeName
    limiting: FitReason
    reasons: list[FitReason]
    reported: list[FitReport]
    cautions: list[FitCaution]
