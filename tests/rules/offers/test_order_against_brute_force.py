"""The cheapest order against every combination of offers, and its independence of the order given."""

from datetime import date
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from api.money.amounts import Money
from api.money.currencies import find_currency
from api.offers.choose_offer import Need, best_offer, cheapest_order
from api.offers.offer_terms import OfferTerms, Shipping

USD = find_currency("USD")
TODAY = date(2026, 3, 10)


@st.composite
def needs(draw) -> list[Need]:
    """Draw up to four needs, each served by some of three suppliers with shipping that is never free."""
    charges = {code: draw(st.integers(0, 1500)) for code in "ABC"}
    drawn = []
    for purpose in range(draw(st.integers(1, 4))):
        sellers = draw(st.lists(st.sampled_from("ABC"), min_size=1, max_size=4))
        offers = tuple(
            OfferTerms(
                offer_id=f"{purpose}-{place}",
                item=str(purpose),
                supplier_code=code,
                supplier_name=code,
                condition="new",
                price=Money(draw(st.integers(1, 3000)), USD),
                core_deposit=Money(0, USD),
                pack_size=draw(st.integers(1, 4)),
                minimum_quantity=draw(st.integers(1, 4)),
                lead_time_days=draw(st.integers(0, 3)),
                valid_from=TODAY,
                shipping=Shipping(Money(charges[code], USD)),
            )
            for place, code in enumerate(sellers)
        )
        drawn.append(Need(str(purpose), draw(st.integers(1, 6)), offers))
    return drawn


def price_of(offer: OfferTerms, quantity: int) -> int:
    packs = 1
    while packs * offer.pack_size < max(quantity, offer.minimum_quantity):
        packs += 1
    return packs * offer.price.minor


@given(needs())
def test_no_combination_of_offers_is_cheaper(drawn) -> None:
    cheapest = min(
        sum(price_of(offer, need.quantity) for need, offer in zip(drawn, taken, strict=True))
        + sum({offer.supplier_code: offer.shipping.charge.minor for offer in taken}.values())
        for taken in product(*(need.offers for need in drawn))
    )
    order = cheapest_order(drawn, TODAY, USD)
    assert order.total.minor == cheapest
    assert [purpose for purpose, _ in order.chosen] == [need.purpose for need in drawn]


@given(needs(), st.randoms(use_true_random=False))
def test_the_order_in_which_offers_come_decides_nothing(drawn, chance) -> None:
    shuffled = []
    for need in drawn:
        offers = list(need.offers)
        chance.shuffle(offers)
        shuffled.append(Need(need.purpose, need.quantity, tuple(offers)))
        assert best_offer(offers, need.quantity, TODAY) == best_offer(need.offers, need.quantity, TODAY)
    assert cheapest_order(shuffled, TODAY, USD) == cheapest_order(drawn, TODAY, USD)
