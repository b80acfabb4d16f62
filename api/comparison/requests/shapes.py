"""What `POST /v1/comparisons` takes.

A request either names a `family`, whose catalogue entry supplies what is left out, or states every
figure itself; and either asks for the costs now, or (with `keep_months`) for all costs until the starter
is given up: four models, so that the JSON Schema says which members are needed when.
"""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from pydantic import ConfigDict, Discriminator, Field, RootModel, Tag

from api.comparison.requests.contradictions import AGES, contradictions
from api.comparison.requests.months_members import (
    WORN_OR_FAILED,
    KeepMonths,
    PositionOfFamilyOverMonthsRequest,
    PositionOverMonthsRequest,
    RemainderOfFamilyRequest,
    RemainderRequest,
    RenewTogether,
    ReplacementOfFamilyOverMonthsRequest,
    ReplacementOverMonthsRequest,
    StartsPerMonth,
)
from api.comparison.requests.request_members import (
    Amount,
    Code,
    CurrencyCode,
    LabourOfFamilyRequest,
    LabourRequest,
    PositionOfFamilyRequest,
    PositionRequest,
    Rate,
    ReplacementRequest,
    TaxRequest,
)
from api.errors import FieldFault
from api.wire.inputs import Request

MOST_POSITIONS = 40
MOST_REPLACEMENTS = 40
MOST_POSITIONS_OVER_MONTHS = 20
MOST_REPLACEMENTS_OVER_MONTHS = 10
"""Over months fewer are taken: each adds some twenty calculations (our judgement)."""

OF_DOCUMENT = frozenset(
    {
        "keep_months",
        "starts_per_month",
        "discount_rate_per_year",
        "incident_cost",
        "remainder",
        "renew_together",
    }
)
OF_ENTRY = frozenset({"life", "warranty_months", "warranty_covers_labour", *AGES})
"""Members that only a comparison over months has, in the document and in its positions and replacements."""

ONE_FAILED_AT_LEAST = {
    "contains": {"type": "object", "properties": {"failed": {"const": True}}, "required": ["failed"]}
}
ONE_WORN_OR_FAILED_AT_LEAST = {"contains": WORN_OR_FAILED}


class ComparisonByFigures(Request):
    """A comparison of the costs now from stated figures alone."""

    currency: CurrencyCode
    labour: LabourRequest
    consumables: Amount
    tax: TaxRequest
    positions: Annotated[
        list[PositionRequest],
        Field(min_length=1, max_length=MOST_POSITIONS, json_schema_extra=ONE_FAILED_AT_LEAST),
    ]
    replacements: Annotated[list[ReplacementRequest], Field(max_length=MOST_REPLACEMENTS)] | None = None


class ComparisonByFamily(Request):
    """A comparison of the costs now for a starter family: the catalogue supplies what is left out."""

    currency: CurrencyCode
    family: Code
    labour: LabourOfFamilyRequest | None = None
    consumables: Amount | None = None
    tax: TaxRequest | None = None
    positions: Annotated[
        list[PositionOfFamilyRequest],
        Field(min_length=1, max_length=MOST_POSITIONS, json_schema_extra=ONE_FAILED_AT_LEAST),
    ]
    replacements: Annotated[list[ReplacementRequest], Field(max_length=MOST_REPLACEMENTS)] | None = None


class ComparisonOverMonthsByFigures(Request):
    """A comparison over the months the starter is kept, from stated figures alone."""

    currency: CurrencyCode
    keep_months: KeepMonths
    starts_per_month: StartsPerMonth
    discount_rate_per_year: Rate
    labour: LabourRequest
    incident_cost: Amount
    consumables: Amount
    tax: TaxRequest
    positions: Annotated[
        list[PositionOverMonthsRequest],
        Field(
            min_length=1, max_length=MOST_POSITIONS_OVER_MONTHS, json_schema_extra=ONE_WORN_OR_FAILED_AT_LEAST
        ),
    ]
    remainder: RemainderRequest | None = None
    renew_together: RenewTogether = Field(default=[])
    replacements: (
        Annotated[list[ReplacementOverMonthsRequest], Field(max_length=MOST_REPLACEMENTS_OVER_MONTHS)] | None
    ) = None


class ComparisonOverMonthsByFamily(Request):
    """A comparison over the months for a starter family: the catalogue supplies what is left out."""

    currency: CurrencyCode
    family: Code
    keep_months: KeepMonths
    starts_per_month: StartsPerMonth | None = None
    discount_rate_per_year: Rate | None = None
    labour: LabourOfFamilyRequest | None = None
    incident_cost: Amount | None = None
    consumables: Amount | None = None
    tax: TaxRequest | None = None
    positions: Annotated[
        list[PositionOfFamilyOverMonthsRequest],
        Field(
            min_length=1, max_length=MOST_POSITIONS_OVER_MONTHS, json_schema_extra=ONE_WORN_OR_FAILED_AT_LEAST
        ),
    ]
    remainder: RemainderOfFamilyRequest | None = None
    renew_together: RenewTogether | None = None
    replacements: (
        Annotated[list[ReplacementOfFamilyOverMonthsRequest], Field(max_length=MOST_REPLACEMENTS_OVER_MONTHS)]
        | None
    ) = None


OverMonthsRequest = ComparisonOverMonthsByFigures | ComparisonOverMonthsByFamily
ByFamily = ComparisonByFamily | ComparisonOverMonthsByFamily


def _entries(body: Mapping[str, Any], member: str) -> Iterator[Mapping[str, Any]]:
    listed = body.get(member)
    return (each for each in (listed if isinstance(listed, list) else ()) if isinstance(each, Mapping))


def _asks_over_months(body: Mapping[str, Any]) -> bool:
    """Return whether a member is there that only a comparison over months has."""
    if OF_DOCUMENT & body.keys():
        return True
    entries = [*_entries(body, "positions"), *_entries(body, "replacements")]
    return any(OF_ENTRY & entry.keys() for entry in entries)


def _branch(body: Any) -> str:
    if isinstance(body, Request):
        return type(body).__name__
    named = isinstance(body, Mapping) and "family" in body
    months = isinstance(body, Mapping) and _asks_over_months(body)
    return f"Comparison{'OverMonths' if months else ''}By{'Family' if named else 'Figures'}"


class ComparisonRequest(
    RootModel[
        Annotated[
            Annotated[ComparisonOverMonthsByFamily, Tag("ComparisonOverMonthsByFamily")]
            | Annotated[ComparisonOverMonthsByFigures, Tag("ComparisonOverMonthsByFigures")]
            | Annotated[ComparisonByFamily, Tag("ComparisonByFamily")]
            | Annotated[ComparisonByFigures, Tag("ComparisonByFigures")],
            Discriminator(_branch),
        ]
    ]
):
    """A comparison to make: by family or from stated figures alone, of the costs now or over the months."""

    model_config = ConfigDict(frozen=True)

    @classmethod
    def contradictions(cls, body: object) -> list[FieldFault]:
        """Return what is wrong between the values of a body, each by itself allowed."""
        return contradictions(body) if isinstance(body, Mapping) else []
