"""Fill the gaps of a comparison from the catalogue: parts, labour, terms and replacements of a family. Pure.

What is filled is listed with its origin; what the catalogue does not have stays a gap, to be named.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from typing import Any, cast

import attrs

from api.comparison.costs_now.figures import Assumption, Condition, Goods, Replacement
from api.comparison.from_catalogue.buy_parts import buy_parts
from api.comparison.from_catalogue.family_supply import FamilySupply, LabourHours, OfferedStarter
from api.comparison.requests.stated import StatedFigures, StatedPosition
from api.errors import FieldFault
from api.measurement.refusals import nearest_name
from api.money.amounts import Money
from api.money.currencies import Currency
from api.money.fractions import number_text
from api.offers.basket_needs import UnmetReason
from api.offers.offer_terms import OfferTerms, can_deliver, cost_of, shipping_of

CONDITIONS: tuple[Condition, ...] = ("new", "remanufactured", "used")
NOT_BOUGHT: Mapping[UnmetReason, str] = {
    "no_current_offer": "the catalogue has no offer in {code} or another currency that holds on {day} "
    "(used parts, parts with a core deposit, and parts that do not fit are left out)",
    "other_currency_only": "the catalogue has no offer in {code} that holds on {day}, only in others",
    "lead_time_too_long": "all offers in {code} that hold on {day} take longer to deliver than is taken",
    "stock_too_small": "the offers in {code} that hold on {day} have too few pieces in stock",
}
"""Why a part cost has to be stated, by what kept the part from being bought."""

CONTACT_PAIR = frozenset({"battery_side_contact", "motor_side_contact"})


def fill_from_family(stated: StatedFigures, supply: FamilySupply) -> StatedFigures:
    """Return the figures with every gap filled that the catalogue can fill, each listed in `assumed`.

    In `wanting` stand: a position that the family does not have, stated taxes that contradict the
    catalogue's prices (included or not), and part costs that have to be stated, with the reason.
    """
    filling = _Filling(stated, supply)
    filling.labour()
    filling.terms()
    filling.bench_hours()
    filling.parts()
    filling.replacements()
    filling.hint_at_pair()
    faults = (
        *_strangers(stated, supply),
        *_mixed_taxes(stated, supply),
        *_parts_wanting(filling.stated, supply, filling.unmet),
    )
    return attrs.evolve(filling.stated, wanting=faults)


def _strangers(stated: StatedFigures, supply: FamilySupply) -> list[FieldFault]:
    return [
        FieldFault(
            ("positions", place, "position"),
            each.position,
            f"a position of family {supply.family}: " + ", ".join(supply.positions),
            "unknown_position",
            nearest_name(each.position, supply.positions),
        )
        for place, each in enumerate(stated.positions)
        if each.position not in supply.positions
    ]


def _mixed_taxes(stated: StatedFigures, supply: FamilySupply) -> list[FieldFault]:
    """Refuse to put amounts of the catalogue beside stated ones that treat the tax the other way."""
    amounts = (stated.rate_per_hour, stated.consumables, stated.replacements)
    taken = None in amounts or stated.basket_of is not None
    taken = taken or any(each.failed and each.parts is None for each in stated.positions)
    if not stated.tax or not supply.shop or not taken or stated.tax.included == supply.shop.tax.included:
        return []
    word = "true" if supply.shop.tax.included else "false"
    expected = f"{word}, as for the catalogue's amounts in {stated.currency.code}; or every amount stated"
    return [FieldFault(("tax", "included"), str(stated.tax.included).lower(), expected, "mixed_taxes")]


def _parts_wanting(
    stated: StatedFigures, supply: FamilySupply, unmet: Mapping[str, UnmetReason]
) -> list[FieldFault]:
    faults = []
    for place, each in enumerate(stated.positions):
        if not each.failed or each.parts is not None or each.position not in supply.positions:
            continue
        if supply.positions[each.position].kind is None:
            why = "no kind of wear part covers this position"
        else:
            words = NOT_BOUGHT[unmet[each.position]]
            why = words.format(code=stated.currency.code, day=supply.as_of)
        expected = f"part_cost to be given: {why}"
        faults.append(FieldFault(("positions", place, "part_cost"), "", expected, "missing"))
    return faults


class _Filling:
    """Fills one gap after another and keeps where each value came from."""

    def __init__(self, stated: StatedFigures, supply: FamilySupply) -> None:
        self.stated, self.supply = stated, supply
        self.unmet: Mapping[str, UnmetReason] = {}

    def take(self, *assumed: Assumption, **values: Any) -> None:
        self.stated = attrs.evolve(self.stated, assumed=(*self.stated.assumed, *assumed), **values)

    def labour(self) -> None:
        for field, hours in (
            ("removal_and_refit_hours", self.supply.access),
            ("strip_hours", self.supply.strip),
        ):
            if getattr(self.stated, field) is None and hours is not None:
                self.take(_of_hours(f"labour.{field}", hours), **{field: hours.hours})

    def terms(self) -> None:
        shop = self.supply.shop
        if shop is None:
            if self.stated.tax is not None:
                held = "hold" if self.stated.tax.included else "do not hold"
                value = f"taken to {held} the tax, like the stated amounts"
                self.take(Assumption("prices of offers", value, "our judgement: the catalogue does not say"))
            return
        if self.stated.rate_per_hour is None:
            told = Assumption("labour.rate_per_hour", str(shop.rate_per_hour), shop.origin)
            self.take(told, rate_per_hour=shop.rate_per_hour)
        if self.stated.consumables is None:
            told = Assumption("consumables", str(shop.consumables), shop.origin)
            self.take(told, consumables=shop.consumables)
        if self.stated.tax is None:
            value = (
                f"parts {number_text(shop.tax.parts)}, labour {number_text(shop.tax.labour)}, "
                f"deposit {number_text(shop.tax.deposit)}, {'included' if shop.tax.included else 'added'}"
            )
            self.take(Assumption("tax", value, shop.origin), tax=shop.tax)

    def bench_hours(self) -> None:
        positions: list[StatedPosition] = []
        told = []
        for each in self.stated.positions:
            supplied = self.supply.positions.get(each.position)
            bench = supplied.bench if supplied else None
            if each.failed and each.bench_hours is None and bench is not None:
                told.append(_of_hours(f"bench_hours of {each.position}", bench))
                each = attrs.evolve(each, bench_hours=bench.hours)
            positions.append(each)
        self.take(*told, positions=tuple(positions))

    def parts(self) -> None:
        """Buy what the failed positions need and no price is stated for, in the cheapest basket."""
        needed = [
            self.supply.positions[each.position]
            for each in self.stated.positions
            if each.failed and each.parts is None and each.position in self.supply.positions
        ]
        bought = buy_parts(needed, self.stated.currency, self.supply.as_of)
        positions = tuple(
            attrs.evolve(each, parts=bought.goods[each.position]) if each.position in bought.goods else each
            for each in self.stated.positions
        )
        self.unmet = bought.unmet
        self.take(*bought.assumed, positions=positions, shipping=bought.shipping)

    def replacements(self) -> None:
        if self.stated.replacements is not None:
            return
        found: list[Replacement] = []
        told: list[Assumption] = []
        warranty: dict[str, int] = {}
        for condition in CONDITIONS:
            best = _cheapest_starter(self.supply.starters, condition, self.supply.as_of, self.stated.currency)
            if best is not None:
                starter, offer = best
                found.append(_replacement(starter, offer, condition))
                warranty[found[-1].id] = offer.warranty_months
                origin = f"offer {offer.offer_id} of {offer.supplier_name} on {self.supply.as_of}"
                price = f"{starter.maker} {starter.number} at {offer.price}"
                told.append(Assumption(f"replacement {found[-1].id}", price, origin))
                if offer.core_deposit.minor:
                    what = f"refund_chance of {found[-1].id}"
                    told.append(Assumption(what, "1", "our judgement: the old unit is returned complete"))
        if not found:
            code, day = self.stated.currency.code, self.supply.as_of
            told.append(
                Assumption("replacements", f"none on offer in {code}", f"the catalogue's offers on {day}")
            )
        self.take(*told, replacements=tuple(found), offered_warranty_months=warranty)

    def hint_at_pair(self) -> None:
        if self.stated.months is not None:
            return
        failed = {each.position for each in self.stated.positions if each.failed}
        if len(failed & CONTACT_PAIR) == 1 and set(self.supply.positions) >= CONTACT_PAIR:
            value = "one of the two is renewed, as stated; renewing both at once is usual"
            self.take(Assumption("contacts", value, "common practice, no source"))


def _of_hours(what: str, hours: LabourHours) -> Assumption:
    return Assumption(what, number_text(hours.hours), hours.origin)


def _cheapest_starter(
    starters: Iterable[OfferedStarter], condition: str, as_of: date, currency: Currency
) -> tuple[OfferedStarter, OfferTerms] | None:
    """Return the cheapest offer of a starter with its shipping; equals by supplier and offer."""
    usable = [
        (starter, offer)
        for starter in starters
        for offer in starter.offers
        if offer.condition == condition
        and offer.price.currency == offer.shipping.charge.currency == currency
        and can_deliver(offer, 1, as_of)
    ]
    return min(
        usable,
        key=lambda one: (_delivered(one[1]).minor, one[1].supplier_code, one[1].offer_id),
        default=None,
    )


def _delivered(offer: OfferTerms) -> Money:
    goods = cost_of(offer, 1).goods
    return goods + shipping_of(goods, offer.shipping)


def _replacement(starter: OfferedStarter, offer: OfferTerms, condition: Condition) -> Replacement:
    goods = cost_of(offer, 1).goods
    charge = shipping_of(goods, offer.shipping)
    return Replacement(
        id=f"{condition}_1",
        condition=cast(Condition, offer.condition),
        price=goods,
        core_deposit=offer.core_deposit,
        refund_chance=Fraction(1),
        label=f"{starter.maker} {starter.number}, {condition}, from {offer.supplier_name}",
        shipping=Goods(f"Shipping by {offer.supplier_name}", 1, "order", charge) if charge.minor else None,
    )
