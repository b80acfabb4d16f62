"""Which offers to take for positions that are renewed together: the cheapest basket of parts. Pure.

Parts that their makers list for a position come first; others of the size of a listed part only where
none of those can be had. Used parts are left out (a worn part is not renewed with a worn one), and so
are offers that ask for a core deposit on a part: only a replacement's deposit is reckoned. Parts that
do not fit are left out, whoever lists them, and told; of one that may fit or not the origin says so.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import Literal

import attrs

from api.comparison.costs_now.figures import Assumption, Goods
from api.comparison.from_catalogue.family_supply import OfferedPart, SuppliedPosition
from api.money.currencies import Currency
from api.offers.basket_needs import BuyingTerms, Need, UnmetReason, usable_offers
from api.offers.cheapest_basket import BasketChoice, BasketLine, Baskets, OtherMix
from api.offers.offer_terms import OfferTerms

_OPEN_GRADES: Mapping[str, str] = {
    "unknown": "; the catalogue cannot tell whether it fits: compare it with the old one and its seat",
    "fits_with_rework": "; it fits with rework, which the family's interchange names",
}
"""What is said beside a part of a grade that is no plain fit."""


@attrs.frozen
class BoughtParts:
    """What is bought for some positions, where each price comes from, and what shipping costs.

    `goods` holds every position that is supplied, with the packs bought for it: none where a pack that
    stands at an earlier position serves it too. `unmet` holds the others, with the reason.
    `warranty_months` is that of the offers taken for a position, the shortest where there are several.
    """

    goods: Mapping[str, tuple[Goods, ...]]
    unmet: Mapping[str, UnmetReason]
    assumed: tuple[Assumption, ...]
    shipping: tuple[Goods, ...]
    warranty_months: Mapping[str, int] = attrs.field(factory=dict)


def buy_parts(positions: Sequence[SuppliedPosition], currency: Currency, as_of: date) -> BoughtParts:
    """Return the cheapest basket, goods and shipping, of what the positions take in parts.

    Among what is assumed stands the cheapest basket from another set of suppliers. Raises
    `NotSolvedExactly`.
    """
    on_offer = PartsOnOffer(positions, currency, as_of, many_sets=False)
    bought = on_offer.buy(with_other_mix=True)
    return attrs.evolve(bought, assumed=(*bought.assumed, *on_offer.left_out))


class PartsOnOffer:
    """What the positions of a family can be supplied with, to be bought for any sets of them."""

    def __init__(
        self,
        positions: Sequence[SuppliedPosition],
        currency: Currency,
        as_of: date,
        *,
        many_sets: bool = True,
    ) -> None:
        """Take positions whose codes differ; `many_sets` says that many sets will be asked for."""
        self._positions = {position.code: position for position in positions}
        self._terms = BuyingTerms(as_of=as_of, currency=currency)
        self._parts = {position.code: _parts_by_offer(position) for position in positions}
        self._listed_first = Baskets(
            [self._need(code, listed_only=self._has_listed(code)) for code in self._positions],
            self._terms,
            many_sets=many_sets,
        )

    @property
    def left_out(self) -> tuple[Assumption, ...]:
        """Return which parts on offer are not bought since they do not fit, and why."""
        return tuple(
            Assumption(
                f"parts for {position.code}",
                f"left out: {part.maker} {part.number} does not fit",
                f"its grade at this position; {part.why_not}",
            )
            for position in self._positions.values()
            for part in position.parts
            if part.grade == "does_not_fit"
        )

    def buy(self, codes: Collection[str] | None = None, *, with_other_mix: bool = False) -> BoughtParts:
        """Return the cheapest basket for some of the positions (none: all). Raises `NotSolvedExactly`.

        Where the stock of listed parts does not suffice for all of them, the positions that come last
        take parts of the same size.
        """
        asked = [code for code in self._positions if codes is None or code in codes]
        choice = self._listed_first.cheapest(asked, with_other_mix=with_other_mix)
        short = {each.purpose for each in choice.unmet if self._has_listed(each.purpose)}
        if short:
            needs = [
                self._need(code, listed_only=self._has_listed(code) and code not in short) for code in asked
            ]
            choice = Baskets(needs, self._terms).cheapest(with_other_mix=with_other_mix)
        return self._bought(asked, choice)

    def _need(self, code: str, *, listed_only: bool) -> Need:
        offers = (offer for offer, part in self._parts[code].items() if part.listed or not listed_only)
        return Need(code, self._positions[code].quantity, tuple(offers))

    def _has_listed(self, code: str) -> bool:
        return not isinstance(usable_offers(self._need(code, listed_only=True), self._terms), str)

    def _bought(self, asked: Sequence[str], choice: BasketChoice) -> BoughtParts:
        unmet = {each.purpose: each.reason for each in choice.unmet}
        goods: dict[str, list[Goods]] = {code: [] for code in asked if code not in unmet}
        origins: defaultdict[str, list[Assumption]] = defaultdict(list)
        warranty: dict[str, int] = {}
        for line in choice.basket.lines:
            first = next(iter(line.pieces_for))
            part = self._parts[first][line.offer]
            goods[first].append(_goods(part, line))
            for code in line.pieces_for:
                origins[code].append(self._origin(code, line, first))
                months = line.offer.warranty_months
                warranty[code] = min(months, warranty.get(code, months))
        assumed = [each for code in goods for each in origins[code]]
        if choice.other_mix is not None:
            assumed.append(_next_mix(choice.other_mix))
        shipping = tuple(
            Goods(f"Shipping by {each.supplier_name}", 1, "order", each.charge)
            for each in choice.basket.shipping
            if each.charge.minor
        )
        bought = {code: tuple(lines) for code, lines in goods.items()}
        return BoughtParts(bought, unmet, tuple(assumed), shipping, warranty)

    def _origin(self, code: str, line: BasketLine, first: str) -> Assumption:
        offer, part = line.offer, self._parts[code][line.offer]
        why = (
            "listed by its maker"
            if part.listed
            else "of the same size as a listed part: compare it with the old one before fitting"
        )
        why += _OPEN_GRADES.get(part.grade, "")
        value = f"{line.packs} at {offer.price}: {part.maker} {part.number}"
        if code != first:
            value = f"in what is bought for {first}: {part.maker} {part.number}"
        origin = f"offer {offer.offer_id} of {offer.supplier_name} on {self._terms.as_of}; {why}"
        return Assumption(f"part_cost of {code}", value, origin)


def _parts_by_offer(position: SuppliedPosition) -> Mapping[OfferTerms, OfferedPart]:
    return {
        offer: part
        for part in position.parts
        for offer in part.offers
        if part.grade != "does_not_fit" and offer.condition != "used" and offer.core_deposit.minor == 0
    }


def _goods(part: OfferedPart, line: BasketLine) -> Goods:
    offer = line.offer
    places = " and ".join(code.replace("_", " ") for code in line.pieces_for)
    label = f"{part.maker} {part.number} for {places}, from {offer.supplier_name}"
    unit: Literal["piece", "pack"] = "piece" if offer.pack_size == 1 else "pack"
    if unit == "pack":
        label += f", packs of {offer.pack_size}"
    needed = sum(line.pieces_for.values())
    if line.pieces > needed:
        label += f" ({needed} of {line.pieces} pieces needed)"
    return Goods(label, line.packs, unit, offer.price)


def _next_mix(other: OtherMix) -> Assumption:
    sellers = " and ".join(each.supplier_name for each in other.basket.shipping)
    value = f"{other.basket.total} from {sellers}: {other.difference} more"
    return Assumption("next cheapest suppliers", value, "the cheapest basket from another set of suppliers")
