"""The best offer of a wear part where offers may be priced in several currencies. Pure."""

from collections.abc import Sequence
from datetime import date

from api.offers.choose_offer import Choice, best_offer
from api.offers.offer_terms import OfferTerms, can_deliver


def best_part_offer(offers: Sequence[OfferTerms], quantity: int, as_of: date) -> Choice | None:
    """Return the cheapest offer that can deliver `quantity` (1 or more) pieces of a part on a day, or none.

    Used parts are left out: a worn part is not renewed with a worn one. Prices in two currencies cannot
    be compared, so only the currency of most offers that can deliver counts (the first code in the
    alphabet where several do).
    """
    unused = [one for one in offers if one.condition != "used" and can_deliver(one, quantity, as_of)]
    codes = [offer.price.currency.code for offer in unused]
    if not codes:
        return None
    code = min(set(codes), key=lambda one: (-codes.count(one), one))
    return best_offer((one for one in unused if one.price.currency.code == code), quantity, as_of)
