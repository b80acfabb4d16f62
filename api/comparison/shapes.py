"""Wire models of `POST /v1/comparisons`.

A request either names a `family`, whose catalogue entry supplies what is left out, or states every
figure itself: two models, so that the JSON Schema says which members are needed when. Amounts are
decimal strings in the document's `currency`, rates fractions in strings, hours and chances numbers.
"""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Discriminator, Field, RootModel, Tag

from api.money.amounts import AMOUNT_PATTERN, LONGEST_AMOUNT
from api.money.currencies import CURRENCY_CODES
from api.money.fractions import LONGEST_RATE, RATE_PATTERN
from api.wire.inputs import Request
from api.wire.shapes import Answer, MoneyAnswer

MOST_POSITIONS = 40
MOST_REPLACEMENTS = 40
MOST_HOURS = 100

CurrencyCode = Annotated[
    str,
    Field(
        pattern="^[A-Z]{3}$",
        description="Currency of every amount of this document: a code of ISO 4217 with a minor unit.",
        json_schema_extra={"enum": list(CURRENCY_CODES)},
    ),
]
Amount = Annotated[
    str,
    Field(
        pattern=AMOUNT_PATTERN,
        max_length=LONGEST_AMOUNT,
        description="Amount in the document's currency, with no more decimals than it has.",
        examples=["5.00"],
    ),
]
Rate = Annotated[
    str,
    Field(
        pattern=RATE_PATTERN,
        max_length=LONGEST_RATE,
        description='Fraction from 0 to 1; "0.05" is 5 %.',
        examples=["0.05"],
    ),
]
Hours = Annotated[float, Field(ge=0, le=MOST_HOURS, allow_inf_nan=False, description="Hours.")]
Chance = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False, description="Chance, 0 to 1.")]
PositionLabel = Annotated[str, Field(pattern="^[a-z_]{1,40}$", description="Position in the starter.")]
OptionId = Annotated[str, Field(pattern=r"^[A-Za-z0-9._-]{1,64}$", description="Name of this replacement.")]
Code = Annotated[str, Field(pattern=r"^[A-Za-z0-9._-]{1,64}$", description="Code of a starter family.")]

ONE_FAILED_AT_LEAST = {
    "contains": {"type": "object", "properties": {"failed": {"const": True}}, "required": ["failed"]}
}


class TaxRequest(Request):
    """Tax rates; `included` says that the amounts of this document already contain the tax."""

    parts: Rate
    labour: Rate
    deposit: Rate
    included: bool = False


class LabourRequest(Request):
    """A workshop's time, stated in full."""

    rate_per_hour: Amount
    removal_and_refit_hours: Hours
    strip_hours: Hours = 0


class LabourOfFamilyRequest(Request):
    """A workshop's time; what is left out comes from the catalogue."""

    rate_per_hour: Amount | None = None
    removal_and_refit_hours: Hours | None = None
    strip_hours: Hours | None = None


class PositionRequest(Request):
    """A position with its figures."""

    position: PositionLabel
    failed: bool
    part_cost: Amount
    bench_hours: Hours


class PositionOfFamilyRequest(Request):
    """A position of the family; what is left out comes from the catalogue and its offers."""

    position: PositionLabel
    failed: bool
    part_cost: Amount | None = None
    bench_hours: Hours | None = None


class ReplacementRequest(Request):
    """A starter offered instead, its core deposit, and the chance that the deposit comes back."""

    id: OptionId | None = None
    condition: Literal["new", "remanufactured", "used"]
    price: Amount
    core_deposit: Amount = "0"
    refund_chance: Chance = 1


Replacements = Annotated[list[ReplacementRequest], Field(max_length=MOST_REPLACEMENTS)]


class ComparisonByFigures(Request):
    """A comparison from stated figures alone."""

    currency: CurrencyCode
    labour: LabourRequest
    consumables: Amount
    tax: TaxRequest
    positions: Annotated[
        list[PositionRequest],
        Field(min_length=1, max_length=MOST_POSITIONS, json_schema_extra=ONE_FAILED_AT_LEAST),
    ]
    replacements: Replacements | None = None


class ComparisonByFamily(Request):
    """A comparison for a starter family: the catalogue supplies what is left out."""

    currency: CurrencyCode
    family: Code
    labour: LabourOfFamilyRequest | None = None
    consumables: Amount | None = None
    tax: TaxRequest | None = None
    positions: Annotated[
        list[PositionOfFamilyRequest],
        Field(min_length=1, max_length=MOST_POSITIONS, json_schema_extra=ONE_FAILED_AT_LEAST),
    ]
    replacements: Replacements | None = None


def _branch(body: Any) -> str:
    named = isinstance(body, ComparisonByFamily) or (isinstance(body, Mapping) and "family" in body)
    return "by_family" if named else "by_figures"


class ComparisonRequest(
    RootModel[
        Annotated[
            Annotated[ComparisonByFamily, Tag("by_family")]
            | Annotated[ComparisonByFigures, Tag("by_figures")],
            Discriminator(_branch),
        ]
    ]
):
    """A comparison to make: by family, or from stated figures alone."""

    model_config = ConfigDict(frozen=True)


class CostLineAnswer(Answer, frozen=True, kw_only=True):
    """One line of a cost; `net + tax = gross`; `unit_price` as stated; `position` for parts alone."""

    code: Literal["part", "replacement", "shipping", "consumables", "labour", "core_deposit_not_refunded"]
    label: str
    position: str | None
    quantity: float
    unit: Literal["piece", "pack", "order", "job", "hour"]
    unit_price: MoneyAnswer
    net: MoneyAnswer
    tax: MoneyAnswer
    gross: MoneyAnswer


class CostNowAnswer(Answer, frozen=True, kw_only=True):
    """A cost now; `net`, `tax` and `total` are the sums of the lines' net, tax and gross."""

    lines: list[CostLineAnswer]
    net: MoneyAnswer
    tax: MoneyAnswer
    total: MoneyAnswer


class CoreDepositAnswer(Answer, frozen=True, kw_only=True):
    """A core deposit with its tax: paid at the counter, expected back, and the rest (in the total)."""

    paid: MoneyAnswer
    expected_refund: MoneyAnswer
    not_refunded: MoneyAnswer
    refund_chance: float


class OptionAnswer(Answer, frozen=True, kw_only=True):
    """Repair or a replacement: what it renews, its cost now, and what to bring to the counter."""

    id: str
    option: Literal["repair", "new", "remanufactured", "used"]
    renewed: list[str]
    cost_now: CostNowAnswer
    core_deposit: CoreDepositAnswer | None
    pay_at_counter: MoneyAnswer


class AssumptionAnswer(Answer, frozen=True, kw_only=True):
    """What was assumed, the value taken, and where it comes from."""

    what: str
    value: str
    origin: str


class ComparisonAnswer(Answer, frozen=True, kw_only=True):
    """The options (repair first), the id of the recommended one, why, and on which assumptions."""

    currency: str
    tax_included: bool
    options: list[OptionAnswer]
    recommended: str
    reasons: list[str]
    assumptions: list[AssumptionAnswer]
