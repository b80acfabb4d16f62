"""What wear lives and usual figures must be, and the values that a catalogue states. Pure."""

from collections.abc import Mapping

import attrs

from api.money.currencies import UnknownCurrency, find_currency
from api.starters.vocabulary import POSITION_KINDS
from api.wear_parts.entry_fields import EntryFields

LIFE_FIELDS = ("scope", "code", "shape", "scale_starts", "origin")
USAGE_FIELDS = ("code", "currency", "value", "origin")

CODES_OF_SCOPE: dict[str, tuple[str, ...]] = {
    "position": tuple(POSITION_KINDS),
    "remainder": ("any",),
    "replacement": ("new", "remanufactured", "used"),
}
"""What may have a life: a position's part, what no wear part renews, a whole starter by condition."""

MILLION = 1_000_000
MOST_OF_USAGE: dict[str, int] = {
    "starts_per_month": 10_000 * MILLION,
    "discount_rate_per_year": MILLION,
    "incident_cost": 100_000_000 * MILLION,
}
"""Every usual figure with the most that it may be, in millionths."""


@attrs.frozen
class LifeEntry:
    """A Weibull life in starts: shape times 1,000 (500 to 10,000), scale in whole starts."""

    scope: str
    code: str
    shape_thousandths: int
    scale_starts: int
    origin: str


@attrs.frozen
class UsageEntry:
    """A figure assumed where a caller states none, in millionths; of money in units of `currency`."""

    code: str
    currency: str
    value_millionths: int
    origin: str


def check_life(entry: Mapping[str, object]) -> LifeEntry:
    """Return the wear life that an entry states, or raise `InvalidInput` with all faults."""
    fields = EntryFields(entry, LIFE_FIELDS)
    scope = fields.one_of("scope", CODES_OF_SCOPE)
    life = LifeEntry(
        scope,
        fields.one_of("code", CODES_OF_SCOPE[scope]) if scope in CODES_OF_SCOPE else fields.text("code"),
        fields.scaled("shape", 1_000, 500, 10_000),
        fields.whole("scale_starts", 1, 1_000_000_000),
        fields.text("origin", prose=True),
    )
    fields.settle()
    return life


def check_usage(entry: Mapping[str, object]) -> UsageEntry:
    """Return the usual figure that an entry states: of money with its currency, of others without.

    Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, USAGE_FIELDS)
    code = fields.one_of("code", MOST_OF_USAGE)
    currency = fields.given("currency") or ""
    value = fields.scaled("value", MILLION, 0, MOST_OF_USAGE.get(code, max(MOST_OF_USAGE.values())))
    if code == "incident_cost":
        currency = fields.text("currency")
        try:
            step = MILLION // find_currency(currency).minor_per_major if currency else 1
            if value % step:
                expected = f"no more decimals than {currency} has"
                fields.refuse("value", fields.given("value"), expected, "too_many_decimals")
        except UnknownCurrency as unknown:
            fields.take((unknown.fault(),), "currency")
    elif currency:
        fields.refuse("currency", currency, "nothing: this figure is no money", "not_money")
    usage = UsageEntry(code, currency, value, fields.text("origin", prose=True))
    fields.settle()
    return usage
