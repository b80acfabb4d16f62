"""The cheapest basket for everything a repair needs, and the cheapest of another mix of suppliers. Pure.

A basket costs its packs and, for each supplier used, shipping, which is free from a limit on the goods
of that supplier's order without tax. Packs are whole; minimum quantity, stock and lead time are kept;
pieces of one pack serve several needs where the same offer serves them. Equal totals: the fewest
suppliers, then those whose codes come first (`api.offers.basket_programme` says what is decided how).

What cannot be bought is named with the reason, and the rest is bought without it. Where stock does not
suffice for all, the needs that come first are served.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence

import attrs

from api.money.amounts import Money, sum_amounts
from api.money.currencies import Currency
from api.offers.basket_needs import BuyingTerms, Need, Unmet, offer_order, usable_offers
from api.offers.basket_programme import BasketProgramme, Purchase
from api.offers.baskets_by_supplier import MOST_NEEDS_TABULATED, BasketTable
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


def cheapest_basket(needs: Sequence[Need], terms: BuyingTerms) -> BasketChoice:
    """Return the basket that meets every need it can (purposes differ) at the least total.

    With the cheapest of another mix of suppliers. Raises `NotSolvedExactly` where prices are too far
    apart to be weighed to the minor unit.
    """
    return Baskets(needs, terms).cheapest(with_other_mix=True)


def cheapest_baskets(
    needs: Sequence[Need], subsets: Iterable[Collection[str]], terms: BuyingTerms
) -> tuple[BasketChoice, ...]:
    """Return the cheapest basket for each set of purposes, without other mixes; raises the same."""
    baskets = Baskets(needs, terms, many_sets=True)
    return tuple(baskets.cheapest(purposes) for purposes in subsets)


class Baskets:
    """The cheapest baskets for any of some needs, from one programme."""

    def __init__(self, needs: Sequence[Need], terms: BuyingTerms, *, many_sets: bool = False) -> None:
        """Take needs whose purposes differ; `many_sets` says that many sets of them will be asked for."""
        self._terms = terms
        self._usable = {need.purpose: usable_offers(need, terms) for need in needs}
        self._needs = [
            attrs.evolve(need, offers=offers)
            for need in sorted(needs, key=lambda need: need.purpose)
            if not isinstance(offers := self._usable[need.purpose], str)
        ]
        self._places = {need.purpose: place for place, need in enumerate(self._needs)}
        self._programme = BasketProgramme(self._needs)
        tabulated = many_sets and len(self._needs) <= MOST_NEEDS_TABULATED
        self._table = BasketTable(self._needs) if tabulated else None

    def cheapest(
        self, purposes: Collection[str] | None = None, *, with_other_mix: bool = False
    ) -> BasketChoice:
        """Return the cheapest basket for some purposes (none: all). Raises `NotSolvedExactly`.

        The other mix is looked for only if asked for: it takes as long again.
        """
        asked = [purpose for purpose in self._usable if purposes is None or purpose in purposes]
        met, purchase = self._most_met([purpose for purpose in asked if purpose in self._places])
        unmet = tuple(
            Unmet(purpose, reason if isinstance(reason := self._usable[purpose], str) else "stock_too_small")
            for purpose in asked
            if purpose not in met
        )
        basket = self._basket(purchase)
        other_mix = None
        if with_other_mix and met:
            other = self._solve(met, other_than=purchase.suppliers)
            if other is not None:
                dearer = self._basket(other)
                other_mix = OtherMix(dearer, dearer.total - basket.total)
        return BasketChoice(basket, unmet, other_mix)

    def _most_met(self, purposes: Sequence[str]) -> tuple[Sequence[str], Purchase]:
        """Return the purposes that are met and the cheapest purchase for them.

        All of them where stock suffices; else each in turn if it can be met beside those before it.
        """
        best = self._solve(purposes)
        if best is not None:
            return purposes, best
        met: list[str] = []
        bought = Purchase({}, {})
        for purpose in purposes:
            more = self._solve([*met, purpose])
            if more is not None:
                met, bought = [*met, purpose], more
        return met, bought

    def _solve(self, purposes: Iterable[str], other_than: Collection[str] | None = None) -> Purchase | None:
        places = {self._places[purpose] for purpose in purposes}
        if self._table is not None and other_than is None:
            return self._table.solve(places)
        return self._programme.solve(places, other_than)

    def _basket(self, purchase: Purchase) -> Basket:
        order = {purpose: place for place, purpose in enumerate(self._usable)}
        served: defaultdict[OfferTerms, dict[str, int]] = defaultdict(dict)
        for (place, offer), pieces in purchase.pieces.items():
            served[offer][self._needs[place].purpose] = pieces
        lines = [
            BasketLine(offer, packs, dict(sorted(served[offer].items(), key=lambda one: order[one[0]])))
            for offer, packs in purchase.packs.items()
        ]
        lines.sort(key=lambda line: (order[next(iter(line.pieces_for))], offer_order(line.offer)))
        return _with_shipping(lines, self._terms.currency)


def _with_shipping(lines: Sequence[BasketLine], currency: Currency) -> Basket:
    goods: dict[str, Money] = {}
    sellers: dict[str, OfferTerms] = {}
    for line in lines:
        code = line.offer.supplier_code
        goods[code] = goods.get(code, Money.zero(currency)) + line.goods
        sellers[code] = line.offer
    shipping = tuple(
        SupplierShipping(code, sellers[code].supplier_name, shipping_of(goods[code], sellers[code].shipping))
        for code in sorted(goods)
    )
    total = sum_amounts([*goods.values(), *(each.charge for each in shipping)], currency)
    return Basket(tuple(lines), shipping, total)
