"""The cheapest basket for everything a repair needs, and the cheapest of another mix of suppliers. Pure.

A basket costs its packs and, for each supplier used, shipping, which is free from a limit on the goods
of that supplier's order without tax. Packs are whole; minimum quantity, stock and lead time are kept;
pieces of one pack serve several needs where the same offer serves them. Equal totals: the fewest
suppliers, then those whose codes come first (`api.offers.basket_programme` says what is decided how).

What cannot be bought is named with the reason, and the rest is bought without it. Where stock does not
suffice for all, the needs that come first are served.
"""

from collections.abc import Mapping, Sequence

import attrs

from api.money.amounts import Money, sum_amounts
from api.offers.basket_needs import BuyingTerms, Need, Unmet, usable_offers
from api.offers.basket_programme import BasketProgramme, Purchase
from api.offers.offer_terms import OfferTerms, shipping_of


@attrs.frozen
class BasketLine:
    """One offer bought: whole packs (1 or more), and how many of their pieces go to which purpose."""

    offer: OfferTerms
    packs: int
    pieces_for: Mapping[str, int]

    @property
    def pieces(self) -> int:
        """Return the pieces in the packs, needed or not."""
        return self.packs * self.offer.pack_size

    @property
    def goods(self) -> Money:
        """Return the price of the packs."""
        return self.offer.price * self.packs


@attrs.frozen
class SupplierShipping:
    """What shipping one supplier's part of a basket costs; nothing where it is free."""

    supplier_code: str
    supplier_name: str
    charge: Money


@attrs.frozen
class Basket:
    """What to buy: lines in the order of the first purpose each serves, shipping by supplier code.

    `total` is goods and shipping, without tax added: the sum of its lines and shipping.
    """

    lines: tuple[BasketLine, ...]
    shipping: tuple[SupplierShipping, ...]
    total: Money

    @property
    def suppliers(self) -> tuple[str, ...]:
        """Return the codes of the suppliers used, in order."""
        return tuple(each.supplier_code for each in self.shipping)


@attrs.frozen
class OtherMix:
    """The cheapest basket whose set of suppliers is another one, and how much dearer it is (0 or more)."""

    basket: Basket
    difference: Money


@attrs.frozen
class BasketChoice:
    """The cheapest basket for all needs that can be met, those that cannot, the next mix of suppliers."""

    basket: Basket
    unmet: tuple[Unmet, ...]
    other_mix: OtherMix | None


def cheapest_basket(
    needs: Sequence[Need], terms: BuyingTerms, *, with_other_mix: bool = True
) -> BasketChoice:
    """Return the basket that meets every need it can (purposes differ) at the least total.

    Without `with_other_mix` the other mix is not looked for, which takes half the time. Raises
    `NotSolvedExactly` where prices are too far apart to be weighed to the minor unit.
    """
    usable = {need.purpose: usable_offers(need, terms) for need in needs}
    kept = [
        attrs.evolve(need, offers=offers)
        for need in sorted(needs, key=lambda need: need.purpose)
        if not isinstance(offers := usable[need.purpose], str)
    ]
    programme = BasketProgramme(kept)
    places, best = _most_met(programme, kept, [need.purpose for need in needs])
    unmet = [
        Unmet(purpose, found if isinstance(found, str) else "stock_too_small")
        for purpose, found in usable.items()
        if purpose not in {kept[place].purpose for place in places}
    ]
    purposes = [need.purpose for need in needs]
    basket = _basket(best, kept, purposes, terms)
    other_mix = None
    if with_other_mix and places:
        other = programme.solve(places, other_than=best.suppliers)
        if other is not None:
            dearer = _basket(other, kept, purposes, terms)
            other_mix = OtherMix(dearer, dearer.total - basket.total)
    return BasketChoice(basket, tuple(unmet), other_mix)


def _most_met(
    programme: BasketProgramme, needs: Sequence[Need], purposes: Sequence[str]
) -> tuple[list[int], Purchase]:
    """Return the places of the needs that are met and the cheapest purchase for them.

    All of them where stock suffices; else each in the order of the purposes if it can be met beside those
    before it.
    """
    places = list(range(len(needs)))
    best = programme.solve(places) if places else Purchase({}, {})
    if best is not None:
        return places, best
    by_purpose = {need.purpose: place for place, need in enumerate(needs)}
    places, best = [], Purchase({}, {})
    for purpose in purposes:
        if purpose in by_purpose:
            more = programme.solve([*places, by_purpose[purpose]])
            if more is not None:
                places, best = [*places, by_purpose[purpose]], more
    return places, best


def _basket(purchase: Purchase, needs: Sequence[Need], purposes: Sequence[str], terms: BuyingTerms) -> Basket:
    order = {purpose: place for place, purpose in enumerate(purposes)}
    lines = []
    for offer, packs in purchase.packs.items():
        served = {
            needs[place].purpose: pieces for (place, each), pieces in purchase.pieces.items() if each == offer
        }
        lines.append(BasketLine(offer, packs, dict(sorted(served.items(), key=lambda one: order[one[0]]))))
    lines.sort(
        key=lambda line: (
            *(order[next(iter(line.pieces_for))],),
            line.offer.supplier_code,
            line.offer.offer_id,
        )
    )
    goods: dict[str, Money] = {}
    sellers: dict[str, OfferTerms] = {}
    for line in lines:
        code = line.offer.supplier_code
        goods[code] = goods.get(code, Money.zero(terms.currency)) + line.goods
        sellers[code] = line.offer
    shipping = tuple(
        SupplierShipping(code, sellers[code].supplier_name, shipping_of(goods[code], sellers[code].shipping))
        for code in sorted(goods)
    )
    total = sum_amounts([*goods.values(), *(each.charge for each in shipping)], terms.currency)
    return Basket(tuple(lines), shipping, total)
