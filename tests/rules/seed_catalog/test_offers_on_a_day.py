"""Offers are priced as the trade prices, and enough of them hold on a day in November 2026."""

from collections import Counter, defaultdict

from api.exchange.catalogue import Catalogue
from api.offers.entries import OfferEntry

DAY = "2026-11-25"
NEXT_YEAR = "2027-01-01"
# Common practice, no source: a pair of contacts costs a few units, some five for both; a drive clutch
# ten to fifty; starters a hundred and more. Brush sets, bushings and used starters: our judgement.
PRICE_OF_ONE = {
    "contact": (100, 350),
    "bushing": (100, 600),
    "brush_set": (500, 2500),
    "drive_clutch": (1000, 5000),
}
PRICE_OF_STARTER = {"new": (15000, 70000), "remanufactured": (10000, 40000), "used": (6000, 20000)}


def holds(offer: OfferEntry, day: str) -> bool:
    return offer.valid_from <= day and (offer.valid_until is None or day < offer.valid_until)


def test_parts_cost_what_such_parts_cost(catalogue: Catalogue) -> None:
    kind_of = {part.key: part.kind for part in catalogue.parts}
    each = defaultdict(list)
    for offer in catalogue.offers:
        if offer.item.owner == "part":
            lowest, highest = PRICE_OF_ONE[kind_of[offer.item]]
            assert lowest <= offer.price_minor / offer.pack_size <= highest, offer
            each[kind_of[offer.item]].append(offer.price_minor / offer.pack_size)
    assert set(each) == set(PRICE_OF_ONE)
    pair = 2 * sum(each["contact"]) / len(each["contact"])
    assert 200 <= pair <= 500


def test_starters_cost_what_such_starters_cost(catalogue: Catalogue) -> None:
    conditions = Counter()
    for offer in catalogue.offers:
        if offer.item.owner == "starter":
            lowest, highest = PRICE_OF_STARTER[offer.condition]
            assert lowest <= offer.price_minor <= highest, offer
            conditions[offer.condition] += 1
    assert set(conditions) == set(PRICE_OF_STARTER)
    assert min(conditions.values()) >= 50


def test_remanufactured_starters_carry_core_deposits_and_used_ones_do_not(catalogue: Catalogue) -> None:
    for offer in catalogue.offers:
        if offer.condition == "remanufactured":
            assert 0 < offer.core_deposit_minor < offer.price_minor, offer
        if offer.condition == "used" or offer.item.owner == "part":
            assert offer.core_deposit_minor == 0, offer


def test_wear_parts_are_sold_new(catalogue: Catalogue) -> None:
    assert {o.condition for o in catalogue.offers if o.item.owner == "part"} == {"new"}


def test_packs_and_least_quantities_occur(catalogue: Catalogue) -> None:
    assert {offer.pack_size for offer in catalogue.offers} >= {1, 2, 5, 10}
    assert {offer.minimum_quantity for offer in catalogue.offers} >= {1, 2}


def test_some_offers_have_run_out_and_some_have_not_begun(catalogue: Catalogue) -> None:
    over = sum(o.valid_until is not None and o.valid_until <= DAY for o in catalogue.offers)
    later = sum(o.valid_from >= NEXT_YEAR for o in catalogue.offers)
    holding = sum(holds(o, DAY) for o in catalogue.offers)
    assert over >= 50
    assert later >= 50
    assert holding > len(catalogue.offers) * 3 // 4
    assert over + later + holding == len(catalogue.offers)


def test_every_position_with_a_kind_can_be_bought_for_on_the_day(catalogue: Catalogue) -> None:
    on_sale = {o.item for o in catalogue.offers if o.item.owner == "part" and holds(o, DAY)}
    wanted = {(entry.family, entry.position) for entry in catalogue.listings}
    found = {
        (entry.family, entry.position)
        for entry in catalogue.listings
        if ("part", entry.maker, entry.number) in on_sale
    }
    assert found == wanted


def test_every_family_can_be_replaced_new_and_remanufactured_on_the_day(catalogue: Catalogue) -> None:
    family_of = {("starter", one.maker, one.number): one.family for one in catalogue.starters}
    conditions = defaultdict(set)
    for offer in catalogue.offers:
        if offer.item.owner == "starter" and holds(offer, DAY):
            conditions[family_of[tuple(offer.item)]].add(offer.condition)
    assert all(conditions[entry.code] >= {"new", "remanufactured"} for entry in catalogue.families)


def test_one_thing_has_at_most_one_price_at_a_time_from_a_supplier(catalogue: Catalogue) -> None:
    holding = Counter(
        (o.supplier, o.item, o.condition, o.pack_size) for o in catalogue.offers if holds(o, DAY)
    )
    assert max(holding.values()) == 1
