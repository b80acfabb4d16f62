"""Offers: packs, validity, the cheapest for one item, the cheapest order for several."""

from datetime import date

import pytest

from api.money.amounts import Money
from api.money.currencies import CurrencyMismatch, find_currency
from api.offers.choose_offer import Need, best_offer, cheapest_order
from api.offers.offer_terms import OfferTerms, Shipping, can_deliver, cost_of, is_current, shipping_of

USD, EUR = find_currency("USD"), find_currency("EUR")
TODAY = date(2026, 3, 10)
EIGHT = Shipping(Money(800, USD))


def offer(price: int, supplier: str = "S1", **terms) -> OfferTerms:
    currency = terms.pop("currency", USD)
    given = {
        "offer_id": f"{supplier}-{price}",
        "item": "contact",
        "supplier_code": supplier,
        "supplier_name": f"Supplier {supplier}",
        "condition": "new",
        "price": Money(price, currency),
        "core_deposit": Money(0, currency),
        "valid_from": date(2026, 1, 1),
        "shipping": EIGHT,
    }
    return OfferTerms(**{**given, **terms})


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


def need(purpose: str, *offers: OfferTerms, quantity: int = 1) -> Need:
    return Need(purpose, quantity, offers)


def test_one_supplier_may_beat_the_cheapest_of_each() -> None:
    # Each cheapest: 5.00 (A) + 9.00 (B) + shipping 8 + 8 = 30.00. All from B: 6.00 + 9.00 + 8 = 23.00.
    order = cheapest_order(
        [
            need("contacts", offer(500, "A"), offer(600, "B")),
            need("bushing", offer(900, "B"), offer(1400, "A")),
        ],
        TODAY,
        USD,
    )
    assert [(purpose, choice.offer.supplier_code) for purpose, choice in order.chosen] == [
        ("contacts", "B"),
        ("bushing", "B"),
    ]
    assert [(part.supplier_code, part.charge.minor) for part in order.shipping] == [("B", 800)]
    assert order.total == Money(2300, USD)
    assert order.unmet == ()


def test_two_suppliers_are_used_where_that_is_cheaper() -> None:
    # Split: 5.00 + 40.00 + 8 + 0 (free from 30.00) = 53.00; all from A: 5.00 + 70.00 + 8 = 83.00.
    free = Shipping(Money(800, USD), free_from=Money(3000, USD))
    order = cheapest_order(
        [
            need("contacts", offer(500, "A")),
            need("clutch", offer(7000, "A"), offer(4000, "B", shipping=free)),
        ],
        TODAY,
        USD,
    )
    assert order.total == Money(5300, USD)
    assert [(part.supplier_name, part.charge.minor) for part in order.shipping] == [
        ("Supplier A", 800),
        ("Supplier B", 0),
    ]


def test_more_suppliers_than_are_tried_together_still_make_an_order() -> None:
    order = cheapest_order([need(f"n{code}", offer(500, code)) for code in "ABCDE"], TODAY, USD)
    assert len(order.chosen) == 5
    assert order.total == Money(5 * 1300, USD)


def test_what_cannot_be_bought_is_named_and_other_currencies_are_left_out() -> None:
    order = cheapest_order(
        [need("contacts", offer(500, currency=EUR)), need("bushing", offer(900))],
        TODAY,
        USD,
    )
    assert order.unmet == ("contacts",)
    assert [purpose for purpose, _ in order.chosen] == ["bushing"]
    assert order.total == Money(1700, USD)


def test_nothing_needed_costs_nothing() -> None:
    order = cheapest_order([], TODAY, USD)
    assert (order.chosen, order.shipping, order.total) == ((), (), Money(0, USD))


def test_equal_totals_go_to_the_first_supplier_whatever_the_order_given() -> None:
    offers = (offer(500, "B"), offer(500, "A"))
    for given in (offers, offers[::-1]):
        order = cheapest_order([need("contacts", *given)], TODAY, USD)
        assert order.chosen[0][1].offer.supplier_code == "A"


def test_many_suppliers_are_weighed_in_bounded_work() -> None:
    # Forty suppliers of one item each: the cheapest of each need; one of them serves both needs for less.
    codes = [f"S{number:02d}" for number in range(40)]
    first = need("contacts", *(offer(500 + place, code) for place, code in enumerate(codes)))
    second = need("bushing", offer(700, "Z1"), offer(900, "S39"))
    order = cheapest_order([first, second], TODAY, USD)
    assert [part.supplier_code for part in order.shipping] == ["S39"]
    assert order.total == Money(539 + 900 + 800, USD)
