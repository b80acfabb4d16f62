"""Every way to buy for some needs, tried one by one: what the cheapest basket is compared with.

Nothing of the programme is used here, only the terms of offers: each need is served by one item of one
supplier, its pieces spread over that supplier's offers of the item in every way; packs as needed, at
least the minimum; then every number of further packs of what is taken that shipping could pay for.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from itertools import product

import attrs

from api.offers.basket_needs import Need
from api.offers.offer_terms import OfferTerms


def spreads(quantity: int, offers: Sequence[OfferTerms]) -> Iterator[dict[OfferTerms, int]]:
    """Yield every way to take pieces from offers that adds up to a quantity."""
    if len(offers) == 1:
        yield {offers[0]: quantity}
        return
    for first in range(quantity + 1):
        for rest in spreads(quantity - first, offers[1:]):
            yield {offers[0]: first, **rest}


def ways(need: Need) -> list[dict[OfferTerms, int]]:
    """Return every way to serve a need from one supplier and item."""
    groups = defaultdict(list)
    for offer in dict.fromkeys(need.offers):
        groups[offer.supplier_code, offer.item, offer.condition].append(offer)
    return [way for group in groups.values() for way in spreads(need.quantity, group)]


def packs_needed(offer: OfferTerms, pieces: int) -> int:
    packs = 1
    while packs * offer.pack_size < max(pieces, offer.minimum_quantity):
        packs += 1
    return packs


def cost_at(supplier_offers: dict[OfferTerms, int]) -> int:
    """Return goods and shipping of one supplier, with the further packs that lower it."""
    offers = list(supplier_offers)
    terms = offers[0].shipping
    charge = terms.charge.minor
    totals = []
    further = [
        range(charge // offer.price.minor + 1) if terms.free_from is not None else range(1)
        for offer in offers
    ]
    for more in product(*further):
        packs = [supplier_offers[offer] + extra for offer, extra in zip(offers, more, strict=True)]
        if any(
            offer.stock is not None and count * offer.pack_size > offer.stock
            for offer, count in zip(offers, packs, strict=True)
        ):
            continue
        goods = sum(offer.price.minor * count for offer, count in zip(offers, packs, strict=True))
        free = terms.free_from is not None and goods >= terms.free_from.minor
        totals.append(goods + (0 if free else charge))
    return min(totals)


def least_by_mix(needs: Sequence[Need]) -> dict[frozenset[str], int]:
    """Return the least total of every set of suppliers that can meet all needs; empty where none can."""
    least: dict[frozenset[str], int] = {}
    for taken in product(*(ways(need) for need in needs)):
        pieces: Counter[OfferTerms] = Counter()
        for way in taken:
            pieces.update({offer: count for offer, count in way.items() if count})
        packs = {offer: packs_needed(offer, count) for offer, count in pieces.items()}
        if any(
            offer.stock is not None and offer.stock < count * offer.pack_size
            for offer, count in packs.items()
        ):
            continue
        by_supplier: dict[str, dict[OfferTerms, int]] = defaultdict(dict)
        for offer, count in packs.items():
            by_supplier[offer.supplier_code][offer] = count
        total = sum(cost_at(offers) for offers in by_supplier.values())
        mix = frozenset(by_supplier)
        least[mix] = min(total, least.get(mix, total))
    return least


def met_in_turn(needs: Sequence[Need]) -> list[Need]:
    """Return all needs where they can be met together; else each that can be met beside those before it."""
    if least_by_mix(needs):
        return list(needs)
    met: list[Need] = []
    for need in needs:
        if need.offers and least_by_mix([*met, need]):
            met.append(need)
    return met


def without_offers(need: Need, *, longest_lead_days: int | None) -> Need:
    """Return the need without the offers that take too long."""
    if longest_lead_days is None:
        return need
    quick = tuple(offer for offer in need.offers if offer.lead_time_days <= longest_lead_days)
    return attrs.evolve(need, offers=quick)
