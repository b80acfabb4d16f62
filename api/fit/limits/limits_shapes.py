"""Wire models of `POST /v1/fit-checks/limits-and-fits`."""

from typing import Annotated, Literal

from msgspec import Meta
from pydantic import Field

from api.fit.limits.tolerance_classes import HOLE_CLASSES, SHAFT_CLASSES
from api.wire.inputs import Request
from api.wire.shapes import Answer, LengthAnswer, RangeAnswer

SOURCE = (
    "ISO 286 as independently typed public tables agree on it (pressfit 0.1.0, isofits 1.0, FreeCAD "
    "TechDraw, excerpts of JIS B 0401); the standard's own text was not read"
)


class LimitsAndFitsRequest(Request):
    """A nominal size with the tolerance classes of its hole and its shaft."""

    size: Annotated[
        str,
        Field(
            max_length=60,
            description="nominal size with its unit, above 0 and up to 80 mm",
            examples=["25 mm"],
        ),
    ]
    hole: Annotated[
        str,
        Field(
            max_length=60,
            description="tolerance class of the hole, in capitals",
            json_schema_extra={"enum": list(HOLE_CLASSES)},
            examples=["H7"],
        ),
    ]
    shaft: Annotated[
        str,
        Field(
            max_length=60,
            description="tolerance class of the shaft, in small letters",
            json_schema_extra={"enum": list(SHAFT_CLASSES)},
            examples=["p6"],
        ),
    ]
    unit: Annotated[
        str | None,
        Field(max_length=12, description="unit of a size that states none: mm, in, cm, um, thou"),
    ] = None


class ClearanceAnswer(Answer, frozen=True, kw_only=True):
    """The least and the greatest clearance, in millimetres; below zero it is interference."""

    minimum: float
    maximum: float


class LimitsAndFitsAnswer(Answer, frozen=True, kw_only=True):
    """Limits of size of hole and shaft, both ends included, and what lies between them."""

    hole: RangeAnswer
    shaft: RangeAnswer
    clearance_mm: ClearanceAnswer
    character: Literal["clearance", "transition", "interference"]
    size: LengthAnswer
    fit: Annotated[str, Meta(examples=["H7/p6"])]
    source: str
