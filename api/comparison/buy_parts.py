"""Which offers to take for the failed positions, as goods: the cheapest order of parts. Pure.

Each position is bought on its own. Parts that their makers list for the position come first; others of
the size of a listed part only where none of those can be had. Used parts are left out (a worn part is
not renewed with a worn one), and so are offers that ask for a core deposit on a part: only a
replacement's deposit is reckoned.
"""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import Literal

import attrs

from api.comparison.family_supply import OfferedPart, SuppliedPosition
from api.comparison.figures import Assumption, Goods
from api.money.currencies import Currency
from api.offers.choose_offer import Choice, Need, Order, cheapest_order
from api.offers.offer_terms import OfferTerms, can_deliver


@attrs.frozen
class BoughtParts:
    """What is bought, by position, where each price comes from, and what shipping costs.

    A position that no offer serves is in neither mapping.
    """

    goods: Mapping[str, Goods]
    assumed: tuple[Assumption, ...]
    shipping: tuple[Goods, ...]


def buy_parts(positions: Sequence[SuppliedPosition], currency: Currency, as_of: date) -> BoughtParts:
    """Return the cheapest order, goods and shipping, of what the positions take in parts."""
    order, parts = _order_within_stock(positions, currency, as_of)
    quantities = {position.code: position.quantity for position in positions}
    goods, assumed = {}, []
    for code, choice in order.chosen:
        part = parts[code][choice.offer]
        goods[code] = _goods(code, part, choice, quantities[code])
        assumed.append(_origin(code, part, choice, as_of))
    shipping = tuple(
        Goods(f"Shipping by {each.supplier_name}", 1, "order", each.charge)
        for each in order.shipping
        if each.charge.minor
    )
    return BoughtParts(goods, tuple(assumed), shipping)


def _order_within_stock(
    positions: Sequence[SuppliedPosition], currency: Currency, as_of: date
) -> tuple[Order, Mapping[str, Mapping[OfferTerms, OfferedPart]]]:
    """Return the cheapest order in which no offer gives more pieces than it has, and the parts on offer.

    Where two positions together ask one offer for more than it has, the later one looks elsewhere; each
    round takes one offer away from one position, so it ends.
    """
    barred: dict[str, set[OfferTerms]] = {position.code: set() for position in positions}
    while True:
        parts = {each.code: _usable(each, barred[each.code], currency, as_of) for each in positions}
        needs = [Need(each.code, each.quantity, tuple(parts[each.code])) for each in positions]
        order = cheapest_order(needs, as_of, currency)
        beyond = _beyond_stock(order)
        if beyond is None:
            return order, parts
        barred[beyond[0]].add(beyond[1])


def _usable(
    position: SuppliedPosition, barred: Collection[OfferTerms], currency: Currency, as_of: date
) -> Mapping[OfferTerms, OfferedPart]:
    usable = {
        offer: part
        for part in position.parts
        for offer in part.offers
        if offer not in barred
        and offer.condition != "used"
        and offer.core_deposit.minor == 0
        and offer.price.currency == offer.shipping.charge.currency == currency
        and can_deliver(offer, position.quantity, as_of)
    }
    return {offer: part for offer, part in usable.items() if part.listed} or usable


def _beyond_stock(order: Order) -> tuple[str, OfferTerms] | None:
    taken: Counter[OfferTerms] = Counter()
    for code, choice in order.chosen:
        taken[choice.offer] += choice.cost.pieces
        if choice.offer.stock is not None and taken[choice.offer] > choice.offer.stock:
            return code, choice.offer
    return None


def _goods(position: str, part: OfferedPart, choice: Choice, quantity: int) -> Goods:
    offer, cost = choice.offer, choice.cost
    label = f"{part.maker} {part.number} for {position.replace('_', ' ')}, from {offer.supplier_name}"
    unit: Literal["piece", "pack"] = "piece" if offer.pack_size == 1 else "pack"
    if unit == "pack":
        label += f", packs of {offer.pack_size}"
    if cost.pieces > quantity:
        label += f" ({quantity} of {cost.pieces} pieces needed)"
    return Goods(label, cost.packs, unit, offer.price)


def _origin(position: str, part: OfferedPart, choice: Choice, as_of: date) -> Assumption:
    offer = choice.offer
    why = (
        "listed by its maker"
        if part.listed
        else "of the same size as a listed part: compare it with the old one before fitting"
    )
    value = f"{choice.cost.packs} at {offer.price}: {part.maker} {part.number}"
    origin = f"offer {offer.offer_id} of {offer.supplier_name} on {as_of}; {why}"
    return Assumption(f"part_cost of {position}", value, origin)
