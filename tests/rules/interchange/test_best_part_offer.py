"""The best offer of a wear part: unused, deliverable, and never compared across currencies."""

from datetime import date

from api.money.amounts import Money
from api.money.currencies import find_currency
from api.offers.best_of_currency import best_part_offer
from api.offers.offer_terms import OfferTerms, Shipping

DAY = date(2026, 11, 25)


def offer(
    number: str, minor: int, currency: str = "USD", condition: str = "new", pack: int = 1
) -> OfferTerms:
    money = find_currency(currency)
    return OfferTerms(
        offer_id=number,
        item="part",
        supplier_code="supplier",
        supplier_name="Supplier",
        condition=condition,
        price=Money(minor, money),
        core_deposit=Money.zero(money),
        pack_size=pack,
        valid_from=date(2026, 1, 1),
        shipping=Shipping(Money.zero(money)),
    )


def best(*offers: OfferTerms, quantity: int = 1) -> str | None:
    choice = best_part_offer(offers, quantity, DAY)
    return None if choice is None else choice.offer.offer_id


def test_the_cheapest_for_the_quantity_wins() -> None:
    assert best(offer("a", 300), offer("b", 200)) == "b"
    assert best(offer("a", 300), offer("b", 500, pack=2), quantity=2) == "b"


def test_a_worn_part_is_not_renewed_with_a_used_one() -> None:
    assert best(offer("a", 300), offer("b", 100, condition="used")) == "a"
    assert best(offer("b", 100, condition="used")) is None
    assert best(offer("a", 300), offer("c", 200, condition="remanufactured")) == "c"


def test_prices_in_two_currencies_are_not_compared() -> None:
    assert best(offer("a", 300), offer("b", 200), offer("c", 1, "EUR")) == "b"
    assert best(offer("a", 300, "USD"), offer("b", 900, "EUR")) == "b"  # as many of each: EUR comes first


def test_nothing_on_offer_is_nothing() -> None:
    assert best() is None
