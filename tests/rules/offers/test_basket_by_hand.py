"""The cheapest basket: worked cases by hand, what cannot be bought and why, ties, the next mix."""

import attrs
import pytest
from offers_of_parts import EIGHT, TODAY, USD, offer

from api.money.amounts import Money
from api.money.currencies import find_currency
from api.offers.basket_needs import BuyingTerms, Need, Unmet
from api.offers.cheapest_basket import Basket, BasketChoice, cheapest_basket, cheapest_baskets
from api.offers.integer_programme import NotSolvedExactly
from api.offers.offer_terms import OfferTerms, Shipping

EUR = find_currency("EUR")
TERMS = BuyingTerms(as_of=TODAY, currency=USD)
POST_FREE = Shipping(Money(0, USD))


def need(purpose: str, *offers: OfferTerms, quantity: int = 1) -> Need:
    return Need(purpose, quantity, offers)


def buy(*needs: Need, **terms) -> BasketChoice:
    return cheapest_basket(needs, attrs.evolve(TERMS, **terms))


def lines(basket: Basket) -> list[tuple[str, int, dict[str, int]]]:
    return [(line.offer.offer_id, line.packs, dict(line.pieces_for)) for line in basket.lines]


def shipping(basket: Basket) -> list[tuple[str, int]]:
    return [(each.supplier_code, each.charge.minor) for each in basket.shipping]


def test_one_supplier_may_beat_the_cheapest_of_each() -> None:
    # Each cheapest: 5.00 (A) + 9.00 (B) + shipping 8 + 8 = 30.00. All from B: 6.00 + 9.00 + 8 = 23.00.
    # The next mix is A alone: 5.00 + 14.00 + 8 = 27.00.
    choice = buy(
        need("contacts", offer(500, "A"), offer(600, "B")),
        need("bushing", offer(900, "B"), offer(1400, "A")),
    )
    assert lines(choice.basket) == [("B-600", 1, {"contacts": 1}), ("B-900", 1, {"bushing": 1})]
    assert shipping(choice.basket) == [("B", 800)]
    assert choice.basket.total == Money(2300, USD)
    assert choice.unmet == ()
    assert choice.other_mix is not None
    assert choice.other_mix.basket.suppliers == ("A",)
    assert choice.other_mix.basket.total == Money(2700, USD)
    assert choice.other_mix.difference == Money(400, USD)


def test_two_suppliers_are_used_where_that_is_cheaper() -> None:
    # Split: 5.00 + 40.00 + 8 + 0 (free from 30.00) = 53.00; all from A: 5.00 + 70.00 + 8 = 83.00.
    free = Shipping(Money(800, USD), free_from=Money(3000, USD))
    choice = buy(
        need("contacts", offer(500, "A")),
        need("clutch", offer(7000, "A"), offer(4000, "B", shipping=free)),
    )
    assert choice.basket.total == Money(5300, USD)
    assert [(each.supplier_name, each.charge.minor) for each in choice.basket.shipping] == [
        ("Supplier A", 800),
        ("Supplier B", 0),
    ]


def test_the_other_mix_may_split_what_one_supplier_has_and_there_may_be_none() -> None:
    # A alone 5.00 + 6.00 + 8 = 19.00; A and B 5.00 + 7.00 + 16 = 28.00.
    split = buy(need("contacts", offer(500, "A")), need("bushing", offer(600, "A"), offer(700, "B")))
    assert split.other_mix is not None
    assert (split.other_mix.basket.suppliers, split.other_mix.difference.minor) == (("A", "B"), 900)
    assert buy(need("contacts", offer(500, "A"), offer(450, "A"))).other_mix is None


def test_a_pack_that_serves_two_needs_is_bought_once() -> None:
    # A pair at 4.50 for both contacts; singles would be 2.40 each.
    pair = offer(450, "A", pack_size=2)
    choice = buy(
        need("motor_side", pair, offer(240, "A", item="single")),
        need("battery_side", pair, offer(240, "A", item="single", offer_id="other")),
    )
    assert lines(choice.basket) == [("A-450", 1, {"motor_side": 1, "battery_side": 1})]
    assert choice.basket.total == Money(450 + 800, USD)
    assert choice.basket.lines[0].pieces == 2


def test_the_minimum_quantity_counts_the_pieces_of_all_needs() -> None:
    # At least four pieces: two of one need and two of the other make them, at 1.00 each.
    gears = offer(100, "A", minimum_quantity=4)
    choice = buy(need("one", gears, quantity=2), need("two", gears, quantity=2))
    assert lines(choice.basket) == [("A-100", 4, {"one": 2, "two": 2})]
    assert buy(need("one", gears, quantity=2)).basket.lines[0].packs == 4


def test_a_pair_and_a_single_piece_of_one_item_serve_three() -> None:
    # Two pairs 6.00, three singles 6.00, a pair and a single piece 5.00.
    choice = buy(need("planet_gears", offer(300, "A", pack_size=2), offer(200, "A"), quantity=3))
    assert lines(choice.basket) == [
        ("A-200", 1, {"planet_gears": 1}),
        ("A-300", 1, {"planet_gears": 2}),
    ]
    assert choice.basket.total == Money(500 + 800, USD)


def test_pieces_of_two_makes_are_not_put_into_one_position() -> None:
    two_of_each = [offer(200, "A", item=item, offer_id=item, stock=2) for item in ("one", "other")]
    assert buy(need("planet_gears", *two_of_each, quantity=3)).unmet == (
        Unmet("planet_gears", "stock_too_small"),
    )


def test_more_is_bought_where_that_reaches_free_shipping_for_less() -> None:
    # One costs 9.00 + 8.00 shipping; a second one for 9.00 would be dearer than shipping: 17.00.
    # At 6.00 two cost 12.00, free from 12.00; one costs 6.00 + 8.00 = 14.00.
    free = Shipping(Money(800, USD), free_from=Money(1200, USD))
    assert buy(need("disc", offer(900, "A", shipping=free))).basket.total == Money(1700, USD)
    choice = buy(need("disc", offer(600, "A", shipping=free)))
    assert lines(choice.basket) == [("A-600", 2, {"disc": 1})]
    assert (choice.basket.total, shipping(choice.basket)) == (Money(1200, USD), [("A", 0)])
    assert buy(need("disc", offer(600, "A", shipping=free, stock=1))).basket.total == Money(1400, USD)


def test_nothing_is_bought_that_no_need_takes() -> None:
    # The cheap washer of A would lift its goods to the limit, but the washer needed is B's (in stock).
    free = Shipping(Money(800, USD), free_from=Money(3000, USD))
    dear = need("clutch", offer(2950, "A", shipping=free))
    washer = need(
        "washers", offer(60, "A", shipping=free, stock=1), offer(10, "B", shipping=POST_FREE), quantity=2
    )
    choice = buy(dear, washer)
    assert lines(choice.basket) == [("A-2950", 1, {"clutch": 1}), ("B-10", 2, {"washers": 2})]
    assert choice.basket.total == Money(2950 + 800 + 20, USD)


def test_a_dearer_part_is_taken_where_it_reaches_free_shipping() -> None:
    # 20.00 + 8.00 shipping against 25.00 shipped free.
    free = Shipping(Money(800, USD), free_from=Money(2500, USD))
    choice = buy(
        need("clutch", offer(2000, "A", shipping=free), offer(2500, "A", shipping=free, item="other"))
    )
    assert (lines(choice.basket), choice.basket.total.minor) == ([("A-2500", 1, {"clutch": 1})], 2500)


def test_stock_is_shared_and_the_needs_that_come_first_are_served() -> None:
    last = offer(100, "A", stock=3)
    first, second = need("one", last, quantity=2), need("two", last, quantity=2)
    third = need("three", last)
    choice = buy(first, second, third)
    assert choice.unmet == (Unmet("two", "stock_too_small"),)
    assert lines(choice.basket) == [("A-100", 3, {"one": 2, "three": 1})]
    assert buy(second, first).unmet == (Unmet("one", "stock_too_small"),)
    elsewhere = attrs.evolve(second, offers=(last, offer(400, "B")))
    assert lines(buy(first, elsewhere).basket) == [("A-100", 2, {"one": 2}), ("B-400", 2, {"two": 2})]


@pytest.mark.parametrize(
    ("offers", "reason"),
    [
        ((), "no_current_offer"),
        ((offer(500, valid_until=TODAY), offer(500, currency=EUR, valid_until=TODAY)), "no_current_offer"),
        ((offer(500, currency=EUR), offer(500, valid_until=TODAY)), "other_currency_only"),
        ((offer(500, shipping=Shipping(Money(0, EUR))),), "other_currency_only"),
        ((offer(500, lead_time_days=8, stock=0), offer(500, currency=EUR)), "lead_time_too_long"),
        ((offer(500, lead_time_days=8), offer(400, stock=1)), "stock_too_small"),
        ((offer(500, stock=5, pack_size=5, minimum_quantity=6),), "stock_too_small"),
        ((offer(500, stock=3, pack_size=4),), "stock_too_small"),
    ],
)
def test_what_cannot_be_bought_is_named_with_the_reason(offers: tuple[OfferTerms, ...], reason: str) -> None:
    choice = buy(need("contacts", *offers, quantity=2), need("bushing", offer(900)), longest_lead_days=7)
    assert choice.unmet == (Unmet("contacts", reason),)
    assert lines(choice.basket) == [("S1-900", 1, {"bushing": 1})]
    assert choice.basket.total == Money(1700, USD)


def test_nothing_needed_costs_nothing() -> None:
    assert buy() == BasketChoice(Basket((), (), Money(0, USD)), (), None)


def test_equal_totals_go_to_fewer_suppliers_and_then_to_the_first_codes() -> None:
    offers = (offer(500, "B"), offer(500, "A"))
    for given in (offers, offers[::-1]):
        choice = buy(need("contacts", *given))
        assert choice.basket.suppliers == ("A",)
        assert choice.other_mix is not None
        assert (choice.other_mix.basket.suppliers, choice.other_mix.difference.minor) == (("B",), 0)
    # 9.00 each: A 4.50 and B 4.50 post free; C, or D, alone 4.50 + 4.00 + 0.50; A and C 4.50 + 4.00 + 0.50.
    free, half = {"shipping": POST_FREE}, {"shipping": Shipping(Money(50, USD))}
    choice = buy(
        need("contacts", offer(450, "A", **free), offer(450, "D", **half), offer(450, "C", **half)),
        need("bushing", offer(450, "B", **free), offer(400, "D", **half), offer(400, "C", **half)),
    )
    assert (choice.basket.suppliers, choice.basket.total.minor) == (("C",), 900)
    assert choice.other_mix is not None
    assert (choice.other_mix.basket.suppliers, choice.other_mix.difference.minor) == (("D",), 0)


def test_ties_are_told_apart_as_well_where_prices_are_too_large_for_one_solve() -> None:
    dear = 40_000_000_00
    choice = buy(
        need("contacts", *(offer(dear, code) for code in "CBA")),
        need("bushing", offer(dear, "B"), offer(dear + 1, "A"), offer(dear, "C")),
    )
    assert choice.basket.suppliers == ("B",)
    assert choice.basket.total == Money(2 * dear + 800, USD)


def test_a_price_beyond_all_measure_is_refused_rather_than_guessed() -> None:
    beyond = Shipping(Money(7, USD), free_from=Money(10**15 + 1, USD))
    with pytest.raises(NotSolvedExactly) as refused:
        buy(
            need("contacts", offer(10**15 - 3, "A", shipping=beyond), offer(10**15 + 3, "B")),
            need("bushing", offer(5, "A", shipping=beyond), offer(3, "B")),
        )
    assert "expected prices of parts" in refused.value.explain()


def test_more_suppliers_than_needs_and_more_needs_than_suppliers() -> None:
    alone = [need(f"n{code}", offer(500, code)) for code in "ABCDE"]
    assert buy(*alone).basket.total == Money(5 * 1300, USD)
    # Forty suppliers of one item each; one of them serves both needs for less.
    codes = [f"S{number:02d}" for number in range(40)]
    first = need("contacts", *(offer(500 + place, code) for place, code in enumerate(codes)))
    choice = buy(first, need("bushing", offer(700, "Z1"), offer(900, "S39")))
    assert choice.basket.suppliers == ("S39",)
    assert choice.basket.total == Money(539 + 900 + 800, USD)
    assert EIGHT.charge == choice.basket.shipping[0].charge


def totals(needs: list[Need], *sets: str) -> list[int]:
    choices = cheapest_baskets(needs, [chosen.split() for chosen in sets], TERMS)
    return [choice.basket.total.minor for choice in choices]


def test_each_set_of_needs_has_its_own_basket() -> None:
    # A alone: 5.00 + 8.00 shipping; a pair of B's 6.00 post free serves both; the disc is A's at 2.00.
    pair = offer(600, "B", pack_size=2, shipping=POST_FREE)
    needs = [
        need("motor_side", pair, offer(500, "A")),
        need("battery_side", pair, offer(500, "A")),
        need("disc", offer(200, "A", item="disc")),
    ]
    assert totals(
        needs,
        "",
        "disc",
        "motor_side",
        "motor_side disc",
        "motor_side battery_side",
        "motor_side battery_side disc",
    ) == [0, 1000, 600, 1500, 600, 1600]


def test_in_each_set_the_needs_that_come_first_have_the_last_pieces() -> None:
    last = offer(100, "A", stock=2)
    needs = [need("one", last), need("two", last, quantity=2), need("three", last)]
    choices = cheapest_baskets(needs, [["one", "two"], ["two"], ["one", "two", "three"]], TERMS)
    assert [[each.purpose for each in choice.unmet] for choice in choices] == [["two"], [], ["two"]]
    assert [choice.basket.total.minor for choice in choices] == [900, 1000, 1000]


def test_more_needs_than_can_be_tabulated_are_priced_all_the_same() -> None:
    # Ten needs of 1.00 from A, shipped for 8.00, free from 9.00.
    free = Shipping(Money(800, USD), free_from=Money(900, USD))
    needs = [
        need(f"n{place}", offer(100, "A", item=str(place), offer_id=str(place), shipping=free))
        for place in range(10)
    ]
    every = [each.purpose for each in needs]
    assert totals(needs, " ".join(every), " ".join(every[:9]), "n3") == [1000, 900, 900]


def test_stock_is_weighed_as_well_where_prices_are_too_large_for_one_solve() -> None:
    last = offer(40_000_000_00, "A", stock=1)
    dearer = offer(41_000_000_00, "B", stock=1)
    choice = buy(need("one", last, dearer), need("two", last, dearer), need("three", last, dearer))
    assert choice.unmet == (Unmet("three", "stock_too_small"),)
    assert choice.basket.total.minor == 81_000_000_00 + 1600
