"""Which offer to take for one item: the cheapest for a quantity, shipping left out. Pure.

Lowest price of the packs needed, then shorter lead time, then supplier code, then offer.
"""

from collections.abc import Iterable
from datetime import date

import attrs

from api.offers.offer_terms import OfferCost, OfferTerms, can_deliver, cost_of


@attrs.frozen
class Choice:
    """One offer taken for a quantity, and what it costs."""

    offer: OfferTerms
    cost: OfferCost


def best_offer(offers: Iterable[OfferTerms], quantity: int, as_of: date) -> Choice | None:
    """Return the cheapest offer that can deliver `quantity` pieces on a day, or none.

    Shipping and core deposit are left out. Raises `CurrencyMismatch` when those that can deliver are
    priced in two currencies: choose the document's currency first.
    """
    best: Choice | None = None
    for offer in offers:
        if can_deliver(offer, quantity, as_of):
            choice = Choice(offer, cost_of(offer, quantity))
            if best is None or _comes_before(choice, best):
                best = choice
    return best


def _comes_before(left: Choice, right: Choice) -> bool:
    if left.cost.goods.currency == right.cost.goods.currency:
        return _preference(left) < _preference(right)
    return left.cost.goods < right.cost.goods  # raises: two currencies


def _preference(choice: Choice) -> tuple[int, int, str, str]:
    offer = choice.offer
    return (choice.cost.goods.minor, offer.lead_time_days, offer.supplier_code, offer.offer_id)
