"""Members that the wire models of comparisons share: amounts, rates, names, tax, labour, positions, starters.

Amounts are decimal strings in the document's `currency`, rates fractions in strings, hours and chances
numbers.
"""

from typing import Annotated, Literal

from pydantic import Field

from api.money.amounts import AMOUNT_PATTERN, LONGEST_AMOUNT
from api.money.currencies import CURRENCY_CODES
from api.money.fractions import LONGEST_RATE, RATE_PATTERN
from api.wire.inputs import Request

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
