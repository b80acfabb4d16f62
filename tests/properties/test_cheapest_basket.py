"""The cheapest basket against every way to buy, one by one, and what must hold of any basket."""

from collections import Counter

from buying_by_hand import least_by_mix, met_in_turn, without_offers
from hypothesis import given, settings
from hypothesis import strategies as st
from offers_of_parts import TODAY, USD, offer

from api.money.amounts import Money
from api.offers.basket_needs import BuyingTerms, Need
from api.offers.cheapest_basket import Basket, cheapest_basket, cheapest_baskets
from api.offers.choose_offer import best_offer
from api.offers.offer_terms import OfferTerms, Shipping, shipping_of

TERMS = BuyingTerms(as_of=TODAY, currency=USD)


@st.composite
def many_needs(draw, most: int = 3) -> list[Need]:
    """Draw up to some needs at three suppliers; needs may share offers, offers may share an item."""
    shipping = {
        code: Shipping(
            Money(draw(st.integers(0, 600)), USD),
            draw(st.none() | st.integers(100, 3000).map(lambda minor: Money(minor, USD))),
        )
        for code in "ABC"
    }
    offers = [
        offer(
            draw(st.integers(150, 1500)),
            code,
            offer_id=f"{code}{place}",
            item=draw(st.sampled_from(["one", "other"])),
            shipping=shipping[code],
            pack_size=draw(st.sampled_from([1, 1, 2, 3])),
            minimum_quantity=draw(st.sampled_from([1, 1, 2, 4])),
            stock=draw(st.none() | st.integers(0, 6)),
            lead_time_days=draw(st.integers(0, 3)),
        )
        for place, code in enumerate(draw(st.lists(st.sampled_from("ABC"), min_size=1, max_size=6)))
    ]
    count = draw(st.integers(1, most))
    return [
        Need(
            f"n{place}",
            draw(st.integers(1, 4)),
            tuple(draw(st.lists(st.sampled_from(offers), min_size=1, max_size=4))),
        )
        for place in range(count)
    ]


def rank(mix: frozenset[str], total: int) -> tuple[int, int, list[str]]:
    return (total, len(mix), sorted(mix))


@settings(max_examples=300, deadline=None)
@given(many_needs(), st.none() | st.integers(0, 3))
def test_no_other_way_to_buy_is_cheaper(needs: list[Need], longest: int | None) -> None:
    terms = BuyingTerms(as_of=TODAY, currency=USD, longest_lead_days=longest)
    choice = cheapest_basket(needs, terms)
    met = met_in_turn([without_offers(need, longest_lead_days=longest) for need in needs])
    assert {each.purpose for each in choice.unmet} == {need.purpose for need in needs} - {
        need.purpose for need in met
    }
    if not met:
        assert (choice.basket.lines, choice.basket.total.minor, choice.other_mix) == ((), 0, None)
        return
    ranked = sorted(rank(mix, total) for mix, total in least_by_mix(met).items())
    best = (choice.basket.total.minor, len(choice.basket.suppliers), list(choice.basket.suppliers))
    assert best == ranked[0]
    if len(ranked) == 1:
        assert choice.other_mix is None
    else:
        other = choice.other_mix
        assert other is not None
        assert rank(frozenset(other.basket.suppliers), other.basket.total.minor) == ranked[1]
        assert other.difference.minor == ranked[1][0] - ranked[0][0]


def check_basket(basket: Basket, met: dict[str, Need]) -> None:
    """Check a basket against the terms of its offers: pieces, packs, minimum, stock, shipping, total."""
    given_pieces: Counter[str] = Counter()
    goods: dict[str, Money] = {}
    sources: dict[str, set[tuple[str, str]]] = {}
    sellers: dict[str, OfferTerms] = {}
    for line in basket.lines:
        terms = line.offer
        assert line.packs * terms.pack_size == line.pieces >= terms.minimum_quantity
        assert sum(line.pieces_for.values()) <= line.pieces
        assert terms.stock is None or line.pieces <= terms.stock
        given_pieces.update(line.pieces_for)
        for purpose in line.pieces_for:
            assert terms in met[purpose].offers
            sources.setdefault(purpose, set()).add((terms.supplier_code, terms.item))
        sellers[terms.supplier_code] = terms
        goods[terms.supplier_code] = goods.get(terms.supplier_code, Money.zero(USD)) + line.goods
    assert given_pieces == {purpose: need.quantity for purpose, need in met.items()}
    assert all(len(each) == 1 for each in sources.values())
    assert len({line.offer for line in basket.lines}) == len(basket.lines)
    charges = {code: shipping_of(amount, sellers[code].shipping) for code, amount in goods.items()}
    assert {each.supplier_code: each.charge for each in basket.shipping} == charges
    assert basket.total.minor == sum(each.minor for each in (*goods.values(), *charges.values()))


@settings(max_examples=60, deadline=None)
@given(many_needs(most=6))
def test_every_basket_keeps_the_terms_of_its_offers_and_equals_its_lines(needs: list[Need]) -> None:
    choice = cheapest_basket(needs, TERMS)
    unmet = {each.purpose for each in choice.unmet}
    met = {need.purpose: need for need in needs if need.purpose not in unmet}
    check_basket(choice.basket, met)
    if choice.other_mix is not None:
        check_basket(choice.other_mix.basket, met)
        assert choice.other_mix.basket.suppliers != choice.basket.suppliers


@settings(max_examples=40, deadline=None)
@given(many_needs(), st.randoms(use_true_random=False))
def test_the_order_in_which_offers_come_decides_nothing(needs: list[Need], chance) -> None:
    shuffled = []
    for need in needs:
        offers = list(need.offers)
        chance.shuffle(offers)
        shuffled.append(Need(need.purpose, need.quantity, tuple(offers)))
        assert best_offer(offers, need.quantity, TODAY) == best_offer(need.offers, need.quantity, TODAY)
    assert cheapest_basket(shuffled, TERMS) == cheapest_basket(needs, TERMS)


@settings(max_examples=120, deadline=None)
@given(many_needs(most=4))
def test_baskets_for_every_set_of_needs_are_those_for_each_set_alone(needs: list[Need]) -> None:
    sets = [
        [need for place, need in enumerate(needs) if chosen >> place & 1] for chosen in range(2 ** len(needs))
    ]
    together = cheapest_baskets(needs, [{need.purpose for need in each} for each in sets], TERMS)
    for asked, choice in zip(sets, together, strict=True):
        alone = cheapest_basket(asked, TERMS)
        assert choice.unmet == alone.unmet
        assert (choice.basket.total, choice.basket.suppliers) == (alone.basket.total, alone.basket.suppliers)
        unmet = {each.purpose for each in choice.unmet}
        check_basket(choice.basket, {need.purpose: need for need in asked if need.purpose not in unmet})
