"""What the catalogue supplies of a comparison for one family: labour, terms, offers. Pure values."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

import attrs

from api.comparison.months.over_months import LifeInStarts
from api.fit.judging.reasons import Grade
from api.money.amounts import Money
from api.money.tax import TaxRates
from api.offers.offer_terms import OfferTerms


@attrs.frozen
class LabourHours:
    """Exact hours of one job, and where the figure comes from."""

    hours: Fraction
    origin: str


@attrs.frozen
class ShopDefaults:
    """A workshop's rate, consumables and taxes in one currency.

    `tax.included` says whether the catalogue's prices in this currency, the rate among them, hold the tax.
    """

    rate_per_hour: Money
    consumables: Money
    tax: TaxRates
    origin: str


@attrs.frozen
class UsualLife:
    """A Weibull life assumed where none is stated, and where the figures come from."""

    life: LifeInStarts
    origin: str


@attrs.frozen
class UsualFigure:
    """An exact figure of use assumed where none is stated, and where it comes from."""

    value: Fraction
    origin: str


@attrs.frozen
class OfferedPart:
    """A wear part that may be bought for a position, with the offers of it that hold on the day.

    `listed` says that its maker lists it for the position; else it is of the size of a listed part. `grade`
    says whether it fits there, `why_not` what speaks against it, in words.
    """

    maker: str
    number: str
    listed: bool
    offers: tuple[OfferTerms, ...]
    grade: Grade = "fits"
    why_not: str = ""


@attrs.frozen(kw_only=True)
class SuppliedPosition:
    """A position of the family: its kind (none covers some), how many parts it takes, bench hours, parts.

    `parts` is filled for positions whose part cost is asked for; the voltage of none contradicts the
    family's.
    """

    code: str
    kind: str | None
    quantity: int
    bench: LabourHours | None
    parts: tuple[OfferedPart, ...] = ()


@attrs.frozen
class OfferedStarter:
    """A starter of the family, with the offers of it that hold on the day."""

    maker: str
    number: str
    offers: tuple[OfferTerms, ...]


@attrs.frozen(kw_only=True)
class FamilySupply:
    """Everything that the catalogue has for a comparison of one family on a day.

    `access` is removal and refit by the family's access class, `strip` one strip and reassembly by its
    construction; `positions` are in the order of the family, by code. `lives` are by scope (`position`,
    `remainder`, `replacement`) and code, `usage` by code: both are filled for comparisons over months.
    """

    family: str
    as_of: date
    access: LabourHours | None
    strip: LabourHours | None
    shop: ShopDefaults | None
    positions: Mapping[str, SuppliedPosition]
    starters: tuple[OfferedStarter, ...] = ()
    lives: Mapping[tuple[str, str], UsualLife] = attrs.field(factory=dict)
    usage: Mapping[str, UsualFigure] = attrs.field(factory=dict)
