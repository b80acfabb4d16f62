"""Offers: packs, validity, the cheapest for one item."""

from datetime import date

import pytest
from offers_of_parts import EIGHT, TODAY, USD, offer

from api.money.amounts import Money
from api.money.currencies import CurrencyMismatch, find_currency
from api.offers.choose_offer import best_offer
from api.offers.offer_terms import Shipping, can_deliver, cost_of, is_current, shipping_of

EUR = find_currency("EUR")


@pytest.mark.parametrize(
    ("pack_size", "minimum", "quantity", "packs", "pieces", "goods"),
    [
        (1, 1, 2, 2, 2, 900),  # two single contacts
        (2, 1, 2, 1, 2, 450),  # one pair
        (2, 1, 3, 2, 4, 900),  # a pack more than needed
        (5, 1, 1, 1, 5, 450),
        (2, 5, 2, 3, 6, 1350),  # the minimum of five pieces needs three pairs
        (10, 10, 2, 1, 10, 450),
    ],
)
def test_whole_packs_and_the_minimum_are_paid(pack_size, minimum, quantity, packs, pieces, goods) -> None:
    cost = cost_of(offer(450, pack_size=pack_size, minimum_quantity=minimum), quantity)
    assert (cost.packs, cost.pieces, cost.goods) == (packs, pieces, Money(goods, USD))


@pytest.mark.parametrize(
    ("valid_from", "valid_until", "current"),
    [
        (date(2026, 3, 10), None, True),
        (date(2026, 3, 11), None, False),
        (date(2026, 1, 1), date(2026, 3, 11), True),
        (date(2026, 1, 1), date(2026, 3, 10), False),
    ],
)
def test_an_offer_holds_from_its_first_day_to_the_day_before_its_end(
    valid_from, valid_until, current
) -> None:
    terms = offer(450, valid_from=valid_from, valid_until=valid_until)
    assert is_current(terms, TODAY) is current
    assert can_deliver(terms, 1, TODAY) is current


def test_stock_must_cover_the_packs_where_it_is_stated() -> None:
    assert can_deliver(offer(450, stock=None), 100, TODAY)
    assert can_deliver(offer(450, stock=4, pack_size=2), 3, TODAY)
    assert not can_deliver(offer(450, stock=3, pack_size=2), 3, TODAY)


def test_the_cheapest_for_the_quantity_wins_not_the_cheapest_piece() -> None:
    # Two needed: a pack of ten at 4.00 beats two singles at 2.10 (4.20); for one the single wins.
    singles, ten = offer(210, "S1"), offer(400, "S2", pack_size=10)
    assert best_offer([singles, ten], 2, TODAY).offer is ten
    assert best_offer([singles, ten], 1, TODAY).offer is singles


def test_ties_go_to_the_shorter_lead_then_the_supplier_code_then_the_offer() -> None:
    slow, quick = offer(450, "S1", lead_time_days=9), offer(450, "S2", lead_time_days=2)
    assert best_offer([slow, quick], 1, TODAY).offer is quick
    first, second = offer(450, "S1", offer_id="b"), offer(450, "S2", offer_id="a")
    assert best_offer([second, first], 1, TODAY).offer is first
    one, two = offer(450, "S1", offer_id="1"), offer(450, "S1", offer_id="2")
    assert best_offer([two, one], 1, TODAY).offer is one


def test_without_a_current_offer_there_is_none() -> None:
    assert best_offer([], 1, TODAY) is None
    assert best_offer([offer(450, valid_until=TODAY), offer(450, stock=0)], 1, TODAY) is None


def test_two_currencies_cannot_be_ranked() -> None:
    with pytest.raises(CurrencyMismatch):
        best_offer([offer(450), offer(440, "S2", currency=EUR)], 1, TODAY)
    assert (
        best_offer([offer(450), offer(1, "S2", currency=EUR, stock=0)], 1, TODAY).offer.price.currency == USD
    )


def test_shipping_is_free_from_its_limit() -> None:
    shipping = Shipping(Money(800, USD), free_from=Money(5000, USD))
    assert shipping_of(Money(4999, USD), shipping) == Money(800, USD)
    assert shipping_of(Money(5000, USD), shipping) == Money(0, USD)
    assert shipping_of(Money(10**9, USD), EIGHT) == Money(800, USD)
