"""The currency is chosen among the offers that can deliver, not among all."""

from datetime import date

from api.money.amounts import Money
from api.money.currencies import find_currency
from api.offers.best_of_currency import best_part_offer
from api.offers.offer_terms import OfferTerms, Shipping

DAY = date(2026, 11, 25)


def offer(number: str, code: str, stock: int) -> OfferTerms:
    currency = find_currency(code)
    return OfferTerms(
        offer_id=number,
        item="part",
        supplier_code="s",
        supplier_name="S",
        condition="new",
        price=Money(250, currency),
        core_deposit=Money.zero(currency),
        stock=stock,
        valid_from=DAY,
        shipping=Shipping(Money.zero(currency)),
    )


def test_offers_without_stock_do_not_choose_the_currency() -> None:
    best = best_part_offer([offer("a", "USD", 0), offer("b", "USD", 0), offer("c", "EUR", 5)], 1, DAY)
    assert best is not None
    assert best.offer.offer_id == "c"
