"""Members of a comparison over months: how positions, the remainder and replacements wear, and their ages."""

from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, JsonValue

from api.comparison.months.over_months import LEAST_KEEP_MONTHS, MOST_KEEP_MONTHS
from api.comparison.requests.contradictions import AGES
from api.comparison.requests.request_members import (
    PositionLabel,
    PositionOfFamilyRequest,
    PositionRequest,
    ReplacementRequest,
)
from api.wear_life.weibull import GREATEST_SHAPE, LEAST_SHAPE
from api.wire.inputs import Request

MOST_STARTS = 1_000_000_000
LEAST_STARTS_PER_MONTH, MOST_STARTS_PER_MONTH = 0.01, 10_000
MOST_WARRANTY_MONTHS = 240
MOST_WEAR_SHARE = 100
MOST_GROUPS = 20

KeepMonths = Annotated[
    float,
    Field(
        ge=LEAST_KEEP_MONTHS,
        le=MOST_KEEP_MONTHS,
        description="How many months the starter will still be kept.",
        examples=[36],
    ),
]
StartsPerMonth = Annotated[
    float,
    Field(
        ge=LEAST_STARTS_PER_MONTH, le=MOST_STARTS_PER_MONTH, description="Starts in a month.", examples=[100]
    ),
]
AgeStarts = Annotated[float, Field(ge=0, le=MOST_STARTS, description="Age, counted in starts.")]
WearShare = Annotated[
    float,
    Field(
        ge=0,
        le=MOST_WEAR_SHARE,
        description="Wear as a share of what can wear: the age is that share of the mean life; "
        "a position at 1 or more counts as failed.",
    ),
]
WearShareBelowOne = Annotated[
    float,
    Field(
        ge=0, lt=1, description="Wear as a share of what can wear: the age is that share of the mean life."
    ),
]
AgeUnknown = Annotated[Literal[True], Field(description="Nobody knows the age.")]
WarrantyMonths = Annotated[
    float, Field(ge=0, le=MOST_WARRANTY_MONTHS, description="Warranty from today on, in months.")
]
CoversLabour = Annotated[bool, Field(description="Whether the warranty pays for the labour as well.")]


def _stated(age: str) -> dict[str, JsonValue]:
    """Return the schema of an object that states this age and no other one."""
    others: dict[str, JsonValue] = {name: {"type": "null"} for name in AGES if name != age}
    return {"required": [age], "properties": {**others, age: {"not": {"type": "null"}}}}


_NULLS: dict[str, JsonValue] = {name: {"type": "null"} for name in AGES}
NO_AGE: dict[str, JsonValue] = {"properties": _NULLS}
NO_AGE_BUT_FAILED: dict[str, JsonValue] = {
    "required": ["failed"],
    "properties": {**_NULLS, "failed": {"const": True}},
}
ONE_AGE: list[JsonValue] = [_stated(age) for age in AGES]

WORN_OR_FAILED: dict[str, Any] = {
    "type": "object",
    "anyOf": [
        {"properties": {"failed": {"const": True}}, "required": ["failed"]},
        {"properties": {"wear_share": {"type": "number", "minimum": 1}}, "required": ["wear_share"]},
    ],
}
"""The schema of a position that has failed, as stated or by its wear share."""


class LifeRequest(Request):
    """A Weibull life: its shape, and its scale in starts (by which 63.2 % have failed)."""

    shape: Annotated[float, Field(ge=LEAST_SHAPE, le=GREATEST_SHAPE, examples=[2.5])]
    scale_starts: Annotated[float, Field(ge=1, le=MOST_STARTS, examples=[45000])]


class PositionOverMonthsRequest(PositionRequest):
    """A position with its figures, its life, its age today, and the warranty of a part bought today.

    One of the ages is needed, save for a failed position.
    """

    model_config = ConfigDict(json_schema_extra={"oneOf": [*ONE_AGE, NO_AGE_BUT_FAILED]})

    life: LifeRequest
    age_starts: AgeStarts | None = None
    wear_share: WearShare | None = None
    age_unknown: AgeUnknown | None = None
    warranty_months: WarrantyMonths = 0
    warranty_covers_labour: CoversLabour = False


class PositionOfFamilyOverMonthsRequest(PositionOfFamilyRequest):
    """A position of the family; what is left out comes from the catalogue, and the age is then unknown."""

    model_config = ConfigDict(json_schema_extra={"oneOf": [*ONE_AGE, NO_AGE]})

    life: LifeRequest | None = None
    age_starts: AgeStarts | None = None
    wear_share: WearShare | None = None
    age_unknown: AgeUnknown | None = None
    warranty_months: WarrantyMonths | None = None
    warranty_covers_labour: CoversLabour = False


class RemainderRequest(Request):
    """What no wear part renews (armature, field, coils): its life, and one age; it has not failed."""

    model_config = ConfigDict(json_schema_extra={"oneOf": [*ONE_AGE]})

    life: LifeRequest
    age_starts: AgeStarts | None = None
    wear_share: WearShareBelowOne | None = None
    age_unknown: AgeUnknown | None = None


class RemainderOfFamilyRequest(Request):
    """The same; a life that is left out comes from the catalogue, and the age is then unknown."""

    model_config = ConfigDict(json_schema_extra={"oneOf": [*ONE_AGE, NO_AGE]})

    life: LifeRequest | None = None
    age_starts: AgeStarts | None = None
    wear_share: WearShareBelowOne | None = None
    age_unknown: AgeUnknown | None = None


class ReplacementOverMonthsRequest(ReplacementRequest):
    """A starter offered instead, how it wears from new, and its warranty."""

    life: LifeRequest
    warranty_months: WarrantyMonths = 0
    warranty_covers_labour: CoversLabour = False


class ReplacementOfFamilyOverMonthsRequest(ReplacementRequest):
    """The same; a life that is left out comes from the catalogue, by condition."""

    life: LifeRequest | None = None
    warranty_months: WarrantyMonths = 0
    warranty_covers_labour: CoversLabour = False


Group = Annotated[
    list[PositionLabel],
    Field(min_length=1, max_length=MOST_GROUPS, json_schema_extra={"uniqueItems": True}),
]
RenewTogether = Annotated[
    list[Group],
    Field(max_length=MOST_GROUPS, description="Positions that are renewed together or not at all."),
]
