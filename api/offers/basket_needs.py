"""What is needed, which offers can serve it at all, and why nothing can be bought. Pure."""

from collections.abc import Sequence
from datetime import date
from typing import Literal

import attrs

from api.money.currencies import Currency
from api.offers.offer_terms import OfferTerms, is_current

UnmetReason = Literal["no_current_offer", "other_currency_only", "lead_time_too_long", "stock_too_small"]
"""Why a need cannot be met: the first of these that leaves no offer, in this order."""


@attrs.frozen
class Need:
    """`quantity` pieces (1 or more) for `purpose`, of any one item that `offers` have.

    The pieces of one need are of one item and from one supplier: parts of two makes are not put into
    one position, and what is fitted as a set comes in one parcel (our judgement). They may come out of
    several offers of that supplier, such as a pair and a single piece.
    """

    purpose: str
    quantity: int
    offers: tuple[OfferTerms, ...]


@attrs.frozen
class Unmet:
    """A need that cannot be met, and why."""

    purpose: str
    reason: UnmetReason


@attrs.frozen(kw_only=True)
class BuyingTerms:
    """On which day and in which currency is bought, and the longest lead time taken (none: any)."""

    as_of: date
    currency: Currency
    longest_lead_days: int | None = None


def pieces_to_be_had(offer: OfferTerms) -> int | None:
    """Return how many pieces whole packs of an offer can give, at least its minimum; none: no limit."""
    if offer.stock is None:
        return None
    pieces = offer.stock // offer.pack_size * offer.pack_size
    return pieces if pieces >= offer.minimum_quantity else 0


def usable_offers(need: Need, terms: BuyingTerms) -> tuple[OfferTerms, ...] | UnmetReason:
    """Return the offers that can have a share in meeting a need, or why there is none.

    An offer counts once. Those of one item and supplier stay only where their stock together suffices.
    """
    current = {offer for offer in need.offers if is_current(offer, terms.as_of)}
    if not current:
        return "no_current_offer"
    priced = {
        offer for offer in current if offer.price.currency == offer.shipping.charge.currency == terms.currency
    }
    if not priced:
        return "other_currency_only"
    longest = terms.longest_lead_days
    quick = {offer for offer in priced if longest is None or offer.lead_time_days <= longest}
    if not quick:
        return "lead_time_too_long"
    stocked: set[OfferTerms] = set()
    for group in sources_of(sorted(quick, key=offer_order)):
        having = [offer for offer in group if pieces_to_be_had(offer) != 0]
        pieces = [pieces_to_be_had(offer) for offer in having]
        if any(each is None for each in pieces) or sum(each or 0 for each in pieces) >= need.quantity:
            stocked.update(having)
    return tuple(sorted(stocked, key=offer_order)) or "stock_too_small"


def sources_of(offers: Sequence[OfferTerms]) -> list[tuple[OfferTerms, ...]]:
    """Group offers by supplier, item and condition, in the order given: each group can serve a need alone."""
    groups: dict[tuple[str, str, str], list[OfferTerms]] = {}
    for offer in offers:
        groups.setdefault((offer.supplier_code, offer.item, offer.condition), []).append(offer)
    return [tuple(group) for group in groups.values()]


def offer_order(offer: OfferTerms) -> tuple[str, int, str, str, int]:
    """Return what offers are sorted by, so that the order in which they come decides nothing."""
    return (
        offer.supplier_code,
        offer.lead_time_days,
        offer.offer_id,
        offer.item,
        offer.price.minor,
    )
