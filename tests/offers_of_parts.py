"""Offers for the tests of what to buy: everything usual unless told otherwise."""

from datetime import date
from typing import Any

from api.money.amounts import Money
from api.money.currencies import find_currency
from api.offers.offer_terms import OfferTerms, Shipping

USD = find_currency("USD")
TODAY = date(2026, 3, 10)
EIGHT = Shipping(Money(800, USD))


def offer(price: int, supplier: str = "S1", **terms: Any) -> OfferTerms:
    """Return an offer of a single piece at a price in cents, shipped for 8.00."""
    currency = terms.pop("currency", USD)
    given = {
        "offer_id": f"{supplier}-{price}",
        "item": "contact",
        "supplier_code": supplier,
        "supplier_name": f"Supplier {supplier}",
        "condition": "new",
        "price": Money(price, currency),
        "core_deposit": Money(0, currency),
        "valid_from": date(2026, 1, 1),
        "shipping": EIGHT,
    }
    return OfferTerms(**{**given, **terms})
