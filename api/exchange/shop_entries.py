"""What labour times and the terms of a workshop must be, and the values that a catalogue states. Pure."""

from collections.abc import Mapping

import attrs

from api.money.fractions import RateRefused, parse_fraction
from api.offers.check_offer import read_amount, read_currency
from api.starters.vocabulary import ACCESS_CLASSES, CONSTRUCTIONS, POSITION_KINDS
from api.wear_parts.entry_fields import EntryFields

LABOUR_FIELDS = ("scope", "code", "hours", "origin")
SHOP_TERMS_FIELDS = (
    "currency",
    "rate_per_hour",
    "consumables",
    "tax_parts",
    "tax_labour",
    "tax_deposit",
    "tax_included",
    "origin",
)
CODES_OF_SCOPE: dict[str, tuple[str, ...]] = {
    "access": ACCESS_CLASSES,
    "strip": CONSTRUCTIONS,
    "position": tuple(POSITION_KINDS),
}
MILLION = 1_000_000


@attrs.frozen
class LabourEntry:
    """Hours times 1,000 for an access class, for stripping a construction, or at a position."""

    scope: str
    code: str
    hours_thousandths: int
    origin: str


@attrs.frozen(kw_only=True)
class ShopTermsEntry:
    """A workshop's rate and consumables (minor units) and taxes (parts per million) in a currency."""

    currency: str
    rate_per_hour_minor: int
    consumables_minor: int
    tax_parts_millionths: int
    tax_labour_millionths: int
    tax_deposit_millionths: int
    tax_included: bool
    origin: str


def check_labour(entry: Mapping[str, object]) -> LabourEntry:
    """Return the labour time that an entry states (0 to 100 hours), or raise `InvalidInput`."""
    fields = EntryFields(entry, LABOUR_FIELDS)
    scope = fields.one_of("scope", CODES_OF_SCOPE)
    labour = LabourEntry(
        scope,
        fields.one_of("code", CODES_OF_SCOPE[scope]) if scope in CODES_OF_SCOPE else fields.text("code"),
        fields.scaled("hours", 1_000, 0, 100_000),
        fields.text("origin", prose=True),
    )
    fields.settle()
    return labour


def check_shop_terms(entry: Mapping[str, object]) -> ShopTermsEntry:
    """Return the terms that an entry states; taxes are fractions from 0 to 1, six decimals at most.

    Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, SHOP_TERMS_FIELDS)
    currency = read_currency(fields, "currency")
    terms = ShopTermsEntry(
        currency=currency.code if currency else "",
        rate_per_hour_minor=read_amount(fields, "rate_per_hour", currency),
        consumables_minor=read_amount(fields, "consumables", currency),
        tax_parts_millionths=_rate(fields, "tax_parts"),
        tax_labour_millionths=_rate(fields, "tax_labour"),
        tax_deposit_millionths=_rate(fields, "tax_deposit"),
        tax_included=fields.flag("tax_included"),
        origin=fields.text("origin", prose=True),
    )
    fields.settle()
    return terms


def _rate(fields: EntryFields, name: str) -> int:
    written = fields.text(name)
    if not written:
        return 0
    try:
        millionths = parse_fraction(written) * MILLION
    except RateRefused as refused:
        fields.take((refused.fault(),), name)
        return 0
    if millionths.denominator != 1:
        fields.refuse(
            name, written, "a fraction of six decimals at most, such as 0.0725", "too_many_decimals"
        )
    return int(millionths)
