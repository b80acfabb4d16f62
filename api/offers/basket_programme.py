"""The integer programme of the cheapest basket. Pure.

Unknowns: which source (the offers of one item from one supplier) serves each need; whole packs of every
offer, none or at least its minimum and no more than its stock; pieces given to a need out of each offer,
where several serve it; which suppliers are used; which of them ship free because their goods reach the
limit. More of an offer that is taken anyway may be bought where that reaches free shipping for less;
nothing is bought that no need takes. Least sum of goods and shipping first; among equals the fewest
suppliers, then those whose codes come first. What else is equal falls as the solver finds it, which
depends on the offers and not on the order in which they come.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from math import gcd

import attrs

from api.offers.basket_needs import Need, pieces_to_be_had, sources_of
from api.offers.integer_programme import IntegerProgramme
from api.offers.offer_terms import OfferTerms, cost_of

MOST_CODES_TOLD_APART = 24
"""Among more suppliers than these, the codes of the later ones decide no tie (keeps the weights small)."""


@attrs.frozen
class Purchase:
    """A solution: packs (1 or more) of every offer taken, pieces of them by place of need and offer."""

    packs: Mapping[OfferTerms, int]
    pieces: Mapping[tuple[int, OfferTerms], int]

    @property
    def suppliers(self) -> frozenset[str]:
        """Return the codes of the suppliers used."""
        return frozenset(offer.supplier_code for offer in self.packs)


@attrs.frozen
class _Use:
    """A need may take pieces of an offer: `each` for every unit of a column."""

    need: int
    column: int
    each: int
    whole: bool  # the column says whether the offer serves the whole need


@attrs.frozen
class _Supply:
    """A supplier's columns: whether it is used; whether it ships free, where its limit can matter."""

    used: int
    free: int | None


class BasketProgramme:
    """The programme of some needs, whose offers are usable and of one currency; solved for any of them."""

    def __init__(self, needs: Sequence[Need]) -> None:
        self._programme = IntegerProgramme()
        amounts = [amount for need in needs for offer in need.offers for amount in _amounts(offer)]
        self._unit = gcd(*amounts) or 1
        self._sharers: Counter[OfferTerms] = Counter()
        self._most_pieces: Counter[OfferTerms] = Counter()
        for need in needs:
            self._sharers.update(need.offers)
            self._most_pieces.update(dict.fromkeys(need.offers, need.quantity))
        self._packs: dict[OfferTerms, tuple[int, int]] = {}  # column, packs for a unit of it
        self._uses: defaultdict[OfferTerms, list[_Use]] = defaultdict(list)
        self._suppliers = self._write_suppliers(needs)
        self._chosen: defaultdict[str, list[int]] = defaultdict(list)
        self._demands = [self._write_need(place, need) for place, need in enumerate(needs)]
        for code, supply in self._suppliers.items():
            self._programme.row({supply.used: 1, **dict.fromkeys(self._chosen[code], -1)}, upper=0)
        for offer, uses in self._uses.items():
            self._write_offer(offer, uses)
        self._write_free_shipping()

    def solve(self, places: Collection[int], other_than: Collection[str] | None = None) -> Purchase | None:
        """Return the cheapest purchase for the needs at some places, or none where stock does not suffice.

        With `other_than`, the cheapest whose set of suppliers is not that one. Raises `NotSolvedExactly`.
        """
        if not places:
            return Purchase({}, {}) if other_than is None else None
        for place, row in enumerate(self._demands):
            wanted = int(place in places)
            self._programme.bound(row, wanted, wanted)
        if other_than is None:
            return self._purchase(self._programme.solve())
        differs = {supply.used: 1 if code in other_than else -1 for code, supply in self._suppliers.items()}
        last = self._programme.row(differs, upper=len(other_than) - 1)
        try:
            return self._purchase(self._programme.solve())
        finally:
            self._programme.forget_rows(last)

    def _write_suppliers(self, needs: Sequence[Need]) -> Mapping[str, _Supply]:
        """Write a column for each supplier, and one for free shipping where that can be reached and saves."""
        terms = {offer.supplier_code: offer.shipping for need in needs for offer in need.offers}
        codes = sorted(terms)
        written = {}
        for code, tie in zip(codes, tie_weights(len(codes)), strict=True):
            charge = terms[code].charge.minor // self._unit
            used = self._programme.column(1, charge, tie)
            free = None
            limit = terms[code].free_from
            if limit is not None and charge and limit.minor <= _most_goods(needs, code):
                free = self._programme.column(1, -charge)
                self._programme.row({used: 1, free: -1}, lower=0)
            written[code] = _Supply(used, free)
        return written

    def _write_need(self, place: int, need: Need) -> int:
        """Write the sources of a need; return the row that says whether it is met."""
        serving: defaultdict[str, list[int]] = defaultdict(list)
        for source in self._worth_weighing(need):
            chosen = self._programme.column(1)
            serving[source[0].supplier_code].append(chosen)
            if len(source) == 1:
                self._uses[source[0]].append(_Use(place, chosen, need.quantity, whole=True))
                continue
            taken = {}
            for offer in source:
                most = pieces_to_be_had(offer)
                upper = need.quantity if most is None else min(need.quantity, most)
                column = self._programme.column(upper)
                taken[column] = 1
                self._uses[offer].append(_Use(place, column, 1, whole=False))
            self._programme.row({**taken, chosen: -need.quantity}, lower=0, upper=0)
        for code, columns in serving.items():
            used = self._suppliers[code].used
            self._programme.row({used: 1, **dict.fromkeys(columns, -1)}, lower=0)
            self._chosen[code] += columns
        met = dict.fromkeys((column for columns in serving.values() for column in columns), 1)
        return self._programme.row(met, lower=1, upper=1)

    def _worth_weighing(self, need: Need) -> list[tuple[OfferTerms, ...]]:
        """Return the sources of a need without those that another of the same supplier always beats.

        Of sources of one offer that no other need can take, only the cheapest, and what is dearer by less
        than the shipping that its goods may save.
        """
        kept: list[tuple[OfferTerms, ...]] = []
        alone: defaultdict[str, list[OfferTerms]] = defaultdict(list)
        for source in sources_of(need.offers):
            if len(source) > 1 or self._sharers[source[0]] > 1:
                kept.append(source)
            else:
                alone[source[0].supplier_code].append(source[0])
        for code, offers in alone.items():
            first = min(offers, key=lambda offer: _goods(offer, need))
            spared = first.shipping.charge.minor if self._suppliers[code].free is not None else 0
            most = _goods(first, need) + spared
            kept += [(offer,) for offer in offers if offer == first or _goods(offer, need) < most]
        return kept

    def _write_offer(self, offer: OfferTerms, uses: Sequence[_Use]) -> None:
        """Write the packs of an offer: a column of their own unless the only need fixes them."""
        price = offer.price.minor // self._unit
        may_grow = self._suppliers[offer.supplier_code].free is not None
        if len(uses) == 1 and uses[0].whole and not may_grow:
            packs = cost_of(offer, uses[0].each).packs
            self._packs[offer] = (uses[0].column, packs)
            self._programme.add_cost(uses[0].column, price * packs)
            return
        most = self._most_packs(offer, may_grow)
        least = cost_of(offer, 1).packs
        packs_column = self._programme.column(most, price)
        self._packs[offer] = (packs_column, 1)
        supplied = {use.column: -use.each for use in uses}
        self._programme.row({packs_column: offer.pack_size, **supplied}, lower=0)
        for use in uses:
            if use.whole:
                needed = cost_of(offer, use.each).packs
                self._programme.row({packs_column: 1, use.column: -needed}, lower=0)
        if all(use.whole for use in uses):
            if may_grow:
                self._programme.row({packs_column: 1, **{use.column: -most for use in uses}}, upper=0)
            return
        taken = self._programme.column(1)
        self._programme.row({packs_column: 1, taken: -least}, lower=0)
        self._programme.row({packs_column: 1, taken: -most}, upper=0)
        self._programme.row({taken: 1, **{use.column: -1 for use in uses}}, upper=0)

    def _most_packs(self, offer: OfferTerms, may_grow: bool) -> int:
        packs = cost_of(offer, self._most_pieces[offer]).packs
        if may_grow:
            packs += offer.shipping.charge.minor // max(offer.price.minor, 1)
        return packs if offer.stock is None else min(packs, offer.stock // offer.pack_size)

    def _write_free_shipping(self) -> None:
        goods: defaultdict[str, dict[int, int]] = defaultdict(dict)
        limits = {}
        for offer, (column, packs) in self._packs.items():
            code = offer.supplier_code
            goods[code][column] = offer.price.minor * packs
            limits[code] = offer.shipping.free_from
        for code, supply in self._suppliers.items():
            limit = limits.get(code)
            if supply.free is not None and limit is not None:
                self._programme.row({**goods[code], supply.free: -limit.minor}, lower=0)

    def _purchase(self, found: Sequence[int] | None) -> Purchase | None:
        if found is None:
            return None
        packs = {offer: found[column] * each for offer, (column, each) in self._packs.items()}
        pieces = {
            (use.need, offer): found[use.column] * use.each
            for offer, uses in self._uses.items()
            for use in uses
            if found[use.column]
        }
        return Purchase({offer: count for offer, count in packs.items() if count}, pieces)


def tie_weights(suppliers: int) -> list[int]:
    """Return weights, in the order of codes, whose sum over the suppliers used tells equal totals apart.

    Fewer suppliers weigh less; among as many, those weigh less whose codes come first.
    """
    told_apart = min(suppliers, MOST_CODES_TOLD_APART)
    return [2**told_apart - 2 ** max(told_apart - 1 - place, 0) for place in range(suppliers)]


def _amounts(offer: OfferTerms) -> tuple[int, int]:
    return offer.price.minor, offer.shipping.charge.minor


def _goods(offer: OfferTerms, need: Need) -> int:
    return cost_of(offer, need.quantity).goods.minor


def _most_goods(needs: Sequence[Need], code: str) -> int:
    """Return an amount of goods that no sensible purchase from a supplier exceeds.

    For each need its dearest source there, every offer of it whole; besides no more than shipping costs.
    """
    most = 0
    charge = 0
    for need in needs:
        sources = sources_of([offer for offer in need.offers if offer.supplier_code == code])
        most += max((sum(_goods(offer, need) for offer in source) for source in sources), default=0)
        charge = max((source[0].shipping.charge.minor for source in sources), default=charge)
    return most + charge
