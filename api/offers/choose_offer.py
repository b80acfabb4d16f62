"""Which offers to take: the cheapest for one item, and the cheapest set for everything a repair needs.

One item: lowest price of the packs needed, then shorter lead time, then supplier code, then offer.

Several items: shipping is paid once for each supplier used, so the cheapest offer of each item is not
always the cheapest order. Every choice of up to three suppliers (of the twelve that serve most needs)
is tried, each item at its cheapest among them, beside the choice that ignores shipping; the lowest
total of goods and shipping wins, then the fewest suppliers, then supplier codes. It does not buy more,
nor dearer, than is needed to reach free shipping.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date
from itertools import combinations

import attrs

from api.money.amounts import Money, sum_amounts
from api.money.currencies import Currency
from api.offers.offer_terms import OfferCost, OfferTerms, can_deliver, cost_of, shipping_of

MOST_SUPPLIERS_TRIED_TOGETHER = 3
"""How many suppliers an order is split over at most when shipping is weighed (our judgement)."""

MOST_SUPPLIERS_WEIGHED = 12
"""How many suppliers are combined at most, those that serve most needs first (bounds the work)."""


@attrs.frozen
class Choice:
    """One offer taken for a quantity, and what it costs."""

    offer: OfferTerms
    cost: OfferCost


@attrs.frozen
class Need:
    """`quantity` pieces (1 or more) for `purpose`, which any one of `offers` would serve."""

    purpose: str
    quantity: int
    offers: tuple[OfferTerms, ...]


@attrs.frozen
class SupplierShipping:
    """What shipping one supplier's part of an order costs; nothing where it is free."""

    supplier_code: str
    supplier_name: str
    charge: Money


@attrs.frozen
class Order:
    """What to buy: one choice for each need that can be met, shipping by supplier, the rest by name.

    `chosen` pairs each purpose with its choice in the order of the needs; `shipping` is ordered by
    supplier code; `unmet` names the purposes that no current offer serves; `total` has no tax.
    """

    chosen: tuple[tuple[str, Choice], ...]
    shipping: tuple[SupplierShipping, ...]
    unmet: tuple[str, ...]
    total: Money


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


def cheapest_order(needs: Sequence[Need], as_of: date, currency: Currency) -> Order:
    """Return the order that serves every need it can at the lowest total of goods and shipping.

    Offers in another currency than `currency` are left out: no rate between them is stated.
    """
    usable = [(need, _choices(need, as_of, currency)) for need in needs]
    met = [(need.purpose, choices) for need, choices in usable if choices]
    unmet = tuple(need.purpose for need, choices in usable if not choices)
    served = Counter(code for _, choices in met for code in {each.offer.supplier_code for each in choices})
    best = _order(met, list(served), unmet, currency)
    suppliers = sorted(served, key=lambda code: (-served[code], code))[:MOST_SUPPLIERS_WEIGHED]
    for count in range(1, min(MOST_SUPPLIERS_TRIED_TOGETHER, len(suppliers)) + 1):
        for chosen_suppliers in combinations(suppliers, count):
            order = _order(met, chosen_suppliers, unmet, currency)
            if len(order.chosen) == len(met) and _rank(order) < _rank(best):
                best = order
    return best


def _comes_before(left: Choice, right: Choice) -> bool:
    if left.cost.goods.currency == right.cost.goods.currency:
        return _preference(left) < _preference(right)
    return left.cost.goods < right.cost.goods  # raises: two currencies


def _preference(choice: Choice) -> tuple[int, int, str, str]:
    offer = choice.offer
    return (choice.cost.goods.minor, offer.lead_time_days, offer.supplier_code, offer.offer_id)


def _choices(need: Need, as_of: date, currency: Currency) -> list[Choice]:
    usable = (
        Choice(offer, cost_of(offer, need.quantity))
        for offer in need.offers
        if offer.price.currency == offer.shipping.charge.currency == currency
        and can_deliver(offer, need.quantity, as_of)
    )
    return sorted(usable, key=_preference)


def _order(
    met: Sequence[tuple[str, list[Choice]]],
    suppliers: Sequence[str],
    unmet: tuple[str, ...],
    currency: Currency,
) -> Order:
    chosen = []
    for purpose, choices in met:
        first = next((choice for choice in choices if choice.offer.supplier_code in suppliers), None)
        if first is not None:
            chosen.append((purpose, first))
    goods: dict[str, Money] = {}
    sellers: dict[str, OfferTerms] = {}
    for _, choice in chosen:
        code = choice.offer.supplier_code
        goods[code] = goods.get(code, Money.zero(currency)) + choice.cost.goods
        sellers[code] = choice.offer
    shipping = tuple(
        SupplierShipping(code, sellers[code].supplier_name, shipping_of(goods[code], sellers[code].shipping))
        for code in sorted(goods)
    )
    total = sum_amounts([*goods.values(), *(part.charge for part in shipping)], currency)
    return Order(tuple(chosen), shipping, unmet, total)


def _rank(order: Order) -> tuple[int, int, tuple[str, ...]]:
    codes = tuple(part.supplier_code for part in order.shipping)
    return (order.total.minor, len(codes), codes)
