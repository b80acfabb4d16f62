"""The terms of one offer, whether it can be taken, and what a quantity of it costs. Pure."""

from datetime import date

import attrs

from api.money.amounts import Money


@attrs.frozen
class Shipping:
    """What a supplier charges to ship one order: `charge`, or nothing from `free_from` upward.

    `free_from` is compared with the goods of the order without tax; none means never free.
    """

    charge: Money
    free_from: Money | None = None


@attrs.frozen(kw_only=True)
class OfferTerms:
    """A supplier's price for packs of one item (a part or a starter).

    `item` is whatever the caller knows it by. `price` and `core_deposit` are for one pack (a starter's
    pack holds one), without the other. `pack_size`, `minimum_quantity` and `stock` count pieces; no
    stock means that it is not stated. Valid from `valid_from` to the day before `valid_until`, or open.
    """

    offer_id: str
    item: str
    supplier_code: str
    supplier_name: str
    condition: str
    price: Money
    core_deposit: Money
    pack_size: int = 1
    minimum_quantity: int = 1
    warranty_months: int = 0
    lead_time_days: int = 0
    stock: int | None = None
    valid_from: date
    valid_until: date | None = None
    shipping: Shipping


@attrs.frozen
class OfferCost:
    """What a quantity costs of one offer: whole packs, the pieces in them, their price (no shipping)."""

    packs: int
    pieces: int
    goods: Money


def is_current(offer: OfferTerms, as_of: date) -> bool:
    """Return whether an offer is valid on a day: `valid_from <= as_of < valid_until`."""
    return offer.valid_from <= as_of and (offer.valid_until is None or as_of < offer.valid_until)


def cost_of(offer: OfferTerms, quantity: int) -> OfferCost:
    """Return what `quantity` pieces (1 or more) cost: whole packs, at least the minimum quantity."""
    packs = -(-max(quantity, offer.minimum_quantity) // offer.pack_size)
    return OfferCost(packs, packs * offer.pack_size, offer.price * packs)


def can_deliver(offer: OfferTerms, quantity: int, as_of: date) -> bool:
    """Return whether an offer is current and has the packs for `quantity` pieces, where stock is stated."""
    if not is_current(offer, as_of):
        return False
    return offer.stock is None or offer.stock >= cost_of(offer, quantity).pieces


def shipping_of(goods: Money, shipping: Shipping) -> Money:
    """Return what one order of these goods costs to ship."""
    if shipping.free_from is not None and shipping.free_from <= goods:
        return Money.zero(goods.currency)
    return shipping.charge
