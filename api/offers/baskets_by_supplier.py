"""The cheapest purchases for every set of some needs, put together from what each supplier asks. Pure.

Each need is served by one supplier, and neither offers nor shipping are shared between suppliers. So the
cheapest purchase for a set is the cheapest split of the set between suppliers, found by adding one
supplier after another: exact, and much faster for all sets than one integer programme for each. What one
supplier asks for a set is the sum of its needs' cheapest sources; an integer programme of that supplier
alone finds it where packs, minimum quantities or stock are shared between needs, where pieces of several
offers may be mixed, and where a dearer purchase may reach free shipping.
"""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

import attrs

from api.money.amounts import Money
from api.offers.basket_needs import Need, offer_order, sources_of
from api.offers.basket_programme import BasketProgramme, Purchase, tie_weights
from api.offers.offer_terms import OfferTerms, Shipping, cost_of

MOST_NEEDS_TABULATED = 8
"""More needs than these have too many splits to look through (3 to their power, for each supplier)."""

_Price = tuple[int, int]  # minor units, then what tells equal totals apart


class BasketTable:
    """The cheapest purchase for every set of a few needs, whose offers are usable and of one currency."""

    def __init__(self, needs: Sequence[Need]) -> None:
        """Take `MOST_NEEDS_TABULATED` needs at most. Raises `NotSolvedExactly`."""
        codes = sorted({offer.supplier_code for need in needs for offer in need.offers})
        self._suppliers = [_Supplier(code, needs) for code in codes]
        self._splits: list[dict[int, int]] = []
        reached: dict[int, _Price] = {0: (0, 0)}
        for supplier, tie in zip(self._suppliers, tie_weights(len(codes)), strict=True):
            reached, split = _with_supplier(reached, supplier, tie, 2 ** len(needs) - 1)
            self._splits.append(split)
        self._reached = reached

    def solve(self, places: Collection[int]) -> Purchase | None:
        """Return the cheapest purchase for the needs at some places, or none where stock is too small."""
        left = sum(1 << place for place in places)
        if left not in self._reached:
            return None
        packs: dict[OfferTerms, int] = {}
        pieces: dict[tuple[int, OfferTerms], int] = {}
        for supplier, split in zip(reversed(self._suppliers), reversed(self._splits), strict=True):
            served = split.get(left, 0)
            bought = supplier.cheapest(served) if served else None
            if bought is not None:
                packs |= bought.packs
                pieces |= bought.pieces
            left ^= served
        return Purchase(packs, pieces)


def _with_supplier(
    reached: Mapping[int, _Price], supplier: "_Supplier", tie: int, everything: int
) -> tuple[dict[int, _Price], dict[int, int]]:
    """Return the least price of each set with one more supplier, and what of the set that one serves."""
    prices = dict(reached)
    split: dict[int, int] = {}
    for served in _subsets(supplier.able):
        price = supplier.price(served)
        if price is None:
            continue
        for rest in _subsets(everything ^ served, with_none=True):
            before = reached.get(rest)
            if before is None:
                continue
            total = (before[0] + price, before[1] + tie)
            whole = rest | served
            if whole not in prices or total < prices[whole]:
                prices[whole] = total
                split[whole] = served
    return prices, split


def _subsets(of: int, *, with_none: bool = False) -> Iterator[int]:
    part = of
    while part:
        yield part
        part = (part - 1) & of
    if with_none:
        yield 0


@attrs.frozen
class _Bought:
    goods: int
    packs: Mapping[OfferTerms, int]
    pieces: Mapping[tuple[int, OfferTerms], int]


class _Supplier:
    """What one supplier asks for each set of the needs that it can serve."""

    def __init__(self, code: str, needs: Sequence[Need]) -> None:
        self._needs = {
            place: attrs.evolve(need, offers=offers)
            for place, need in enumerate(needs)
            if (offers := tuple(offer for offer in need.offers if offer.supplier_code == code))
        }
        self.able = sum(1 << place for place in self._needs)
        self._shipping = next(iter(self._needs.values())).offers[0].shipping
        self._groups = _groups(self._needs)
        self._goods: dict[int, _Bought | None] = {}
        self._whole: dict[int, _Bought | None] = {}

    def price(self, served: int) -> int | None:
        """Return goods and shipping for a set (one need at least), or none where stock is too small."""
        bought = self.cheapest(served)
        return None if bought is None else bought.goods + self._charge(bought.goods)

    def cheapest(self, served: int) -> _Bought | None:
        """Return what is bought for a set, more than is needed where that reaches free shipping for less."""
        if served not in self._whole:
            self._whole[served] = self._find(served)
        return self._whole[served]

    def _find(self, served: int) -> _Bought | None:
        parts = [self._cheapest_goods(served & group) for group in self._groups if served & group]
        packs: Counter[OfferTerms] = Counter()
        pieces: dict[tuple[int, OfferTerms], int] = {}
        goods = 0
        for part in parts:
            if part is None:
                return None
            goods += part.goods
            packs.update(part.packs)
            pieces |= part.pieces
        limit = self._shipping.free_from
        if limit is not None and goods < limit.minor < goods + self._charge(goods):
            return self._programmed(served, self._shipping)
        return _Bought(goods, packs, pieces)

    def _charge(self, goods: int) -> int:
        limit = self._shipping.free_from
        return 0 if limit is not None and limit.minor <= goods else self._shipping.charge.minor

    def _cheapest_goods(self, served: int) -> _Bought | None:
        """Return the cheapest goods for needs of one group, whatever they cost to ship."""
        if served not in self._goods:
            places = [place for place in self._needs if served >> place & 1]
            simple = [self._cheapest_source(place) for place in places]
            if len(places) == 1 and simple[0] is not None:
                self._goods[served] = simple[0]
            else:
                free = Shipping(Money.zero(self._shipping.charge.currency))
                self._goods[served] = self._programmed(served, free)
        return self._goods[served]

    def _cheapest_source(self, place: int) -> _Bought | None:
        """Return the cheapest source of a need; none where pieces of several offers may be mixed."""
        need = self._needs[place]
        if need.quantity > 1 and any(len(source) > 1 for source in sources_of(need.offers)):
            return None
        costs = {offer: cost_of(offer, need.quantity) for offer in need.offers}
        best = min(costs, key=lambda offer: (costs[offer].goods.minor, offer_order(offer)))
        return _Bought(costs[best].goods.minor, {best: costs[best].packs}, {(place, best): need.quantity})

    def _programmed(self, served: int, shipping: Shipping) -> _Bought | None:
        places = [place for place in self._needs if served >> place & 1]
        known = {
            attrs.evolve(offer, shipping=shipping): offer
            for place in places
            for offer in self._needs[place].offers
        }
        needs = [
            attrs.evolve(
                self._needs[place],
                offers=tuple(attrs.evolve(offer, shipping=shipping) for offer in self._needs[place].offers),
            )
            for place in places
        ]
        found = BasketProgramme(needs).solve(range(len(needs)))
        if found is None:
            return None
        packs = {known[offer]: count for offer, count in found.packs.items()}
        pieces = {(places[place], known[offer]): count for (place, offer), count in found.pieces.items()}
        return _Bought(sum(offer.price.minor * count for offer, count in packs.items()), packs, pieces)


def _groups(needs: Mapping[int, Need]) -> list[int]:
    """Return the sets of needs that are joined by offers of which more than single pieces are shared."""
    groups = [(1 << place, _pooled_offers(need)) for place, need in needs.items()]
    joined: list[tuple[int, frozenset[OfferTerms]]] = []
    for group, offers in groups:
        apart = []
        for other, theirs in joined:
            if offers & theirs:
                group, offers = group | other, offers | theirs
            else:
                apart.append((other, theirs))
        joined = [*apart, (group, offers)]
    return [group for group, _ in joined]


def _pooled_offers(need: Need) -> frozenset[OfferTerms]:
    """Return the offers whose price for two needs may differ from the sum of theirs, or whose stock ends."""
    return frozenset(
        offer
        for offer in need.offers
        if offer.pack_size > 1 or offer.minimum_quantity > 1 or offer.stock is not None
    )
