"""Offers that hold at the same time though they are one price of one thing. Pure."""

from collections import defaultdict
from collections.abc import Hashable, Iterable
from typing import Final

from api.offers.entries import OfferEntry

_OPEN: Final = "9999-12-32"
"""Compares behind every calendar day: an offer without an end holds until further notice."""


def same_price(offer: OfferEntry) -> Hashable:
    """Return what two offers share that may not hold on the same day: whose, of what, how, by how many."""
    return offer.supplier, offer.item, offer.condition, offer.pack_size


def find_overlaps(offers: Iterable[OfferEntry]) -> tuple[tuple[OfferEntry, OfferEntry], ...]:
    """Return every offer that begins while an earlier one of the same price holds, and that earlier one.

    Two offers clash where supplier, item, condition and pack size are the same and a day lies in both:
    `valid_from` <= day < `valid_until`, or open. Of several earlier ones the one that holds longest is told,
    so that each offer comes up once as the later one. Takes the time of sorting them.
    """
    of_one_price: dict[Hashable, list[OfferEntry]] = defaultdict(list)
    for offer in offers:
        of_one_price[same_price(offer)].append(offer)
    found = []
    for shared in of_one_price.values():
        shared.sort(key=lambda offer: (offer.valid_from, offer.number))
        longest = shared[0]
        for offer in shared[1:]:
            if offer.valid_from < _end(longest):
                found.append((offer, longest))
            if _end(offer) > _end(longest):
                longest = offer
    return tuple(found)


def _end(offer: OfferEntry) -> str:
    return offer.valid_until or _OPEN
