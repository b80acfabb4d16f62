"""Properties of comparisons over months: nothing beats the best set, totals meet at break-evens."""

from fractions import Fraction

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from months_recomputed import (
    USD,
    best_set,
    lasting,
    months,
    price_of,
    repair_total,
    replacement_total,
    worn,
)

from api.comparison.costs_now.figures import (
    Basket,
    ComparisonFigures,
    Goods,
    Labour,
    PositionFigures,
    Replacement,
)
from api.comparison.months.compare_months import ComparisonOverMonths, compare_over_months
from api.comparison.months.over_months import (
    AgeUnknown,
    KnownAge,
    LifeInStarts,
    OverMonths,
    RemainderWear,
    WearShare,
)
from api.money.amounts import Money
from api.money.tax import TaxRates

EXAMPLES = 25

NAMES = ("disc", "brushes", "bush", "spring")
money = st.integers(0, 20_000).map(lambda minor: Money(minor, USD))
hours = st.integers(0, 20).map(lambda tenths: Fraction(tenths, 10))
rates = st.integers(0, 25).map(lambda parts: Fraction(parts, 100))
ages = st.one_of(st.floats(0, 20_000).map(KnownAge), st.floats(0, 1.2).map(WearShare), st.just(AgeUnknown()))
shapes = st.floats(0.5, 6)
scales = st.floats(2_000, 40_000)


@st.composite
def comparisons(draw, *, baskets: bool = False) -> tuple[ComparisonFigures, OverMonths]:
    names = NAMES[: draw(st.integers(1, 4))]
    prices = {name: draw(money) for name in names}
    shipping = draw(money)

    def basket_of(asked: frozenset[str]) -> Basket:
        """Of two that come in one set the cheaper is free; whatever is bought ships once."""
        pair = sorted(asked & {"bush", "brushes"}, key=lambda name: prices[name].minor)
        packed = asked - set(pair[:-1])
        goods = tuple((name, Goods(name, 1, "piece", prices[name])) for name in sorted(packed))
        return Basket(goods, (Goods("shipping", 1, "order", shipping),))

    positions = tuple(
        PositionFigures(
            name,
            place == 0 or (draw(st.booleans()) and draw(st.booleans())),
            () if baskets else (Goods(name, 1, "piece", prices[name]),),
            draw(hours),
        )
        for place, name in enumerate(names)
    )
    replacements = tuple(
        Replacement(
            id=f"r{place}",
            condition="remanufactured",
            price=draw(money),
            core_deposit=draw(money),
            refund_chance=draw(rates),
        )
        for place in range(draw(st.integers(1, 3)))
    )
    shop = ComparisonFigures(
        currency=USD,
        labour=Labour(draw(money), draw(hours), draw(hours)),
        consumables=draw(money),
        tax=TaxRates(draw(rates), draw(rates), draw(rates), draw(st.booleans())),
        positions=positions,
        replacements=replacements,
        basket_of=basket_of if baskets else None,
    )
    warranty = st.sampled_from([0, 0, 6, 12.5, 60])
    wear = {
        name: worn(draw(shapes), draw(scales), draw(ages), draw(warranty), draw(st.booleans()))
        for name in names
    }
    lasts = {
        each.id: lasting(draw(shapes), draw(scales), draw(warranty), draw(st.booleans()))
        for each in replacements
    }
    remainder = RemainderWear(LifeInStarts(draw(shapes), draw(scales)), draw(ages.filter(not_worn_out)))
    together = draw(st.sampled_from([(), (names[:2],), (names[1:3],)]))
    over = months(
        wear,
        lasts,
        keep=draw(st.integers(1, 120)),
        starts=draw(st.sampled_from([30, 100, 250.5])),
        discount=draw(st.sampled_from([0, 0.03, 0.25])),
        remainder=draw(st.sampled_from([None, remainder])),
        together=together,
    )
    return shop, attrs.evolve(over, incident_cost=draw(money))


def not_worn_out(age) -> bool:
    return not isinstance(age, WearShare) or age.share < 1


def total(compared: ComparisonOverMonths, place: int = 0) -> float:
    option = compared.options[place]
    return option.option.cost_now.total.minor + option.later


@settings(max_examples=EXAMPLES)
@given(comparisons())
def test_no_other_set_and_no_other_reckoning_costs_less(comparison) -> None:
    shop, over = comparison
    compared = compare_over_months(shop, over)
    least, _ = best_set(shop, over)
    # The cost now is rounded: labour, two taxes, half a minor unit each, and tax on what was rounded.
    assert total(compared) == pytest.approx(least, rel=1e-6, abs=2.5)
    assert repair_total(shop, over, compared.options[0].option.renewed) == pytest.approx(
        least, rel=1e-6, abs=1e-3
    )
    for place, each in enumerate(shop.replacements, start=1):
        expected = replacement_total(shop, over, each.id)
        assert total(compared, place) == pytest.approx(expected, rel=1e-6, abs=3)
    assert compared.recommended.expected_total == min(each.expected_total for each in compared.options)


@settings(max_examples=EXAMPLES)
@given(comparisons(baskets=True))
def test_with_baskets_every_set_is_weighed(comparison) -> None:
    shop, over = comparison
    compared = compare_over_months(shop, over)
    renewed = compared.options[0].option.renewed
    assert repair_total(shop, over, renewed) == pytest.approx(best_set(shop, over)[0], rel=1e-6, abs=1e-3)
    parts = sum(
        line.unit_price.minor * line.quantity
        for line in compared.options[0].option.cost_now.lines
        if line.code in ("part", "shipping")
    )
    assert parts == price_of(shop.bought_for(renewed))


@settings(max_examples=EXAMPLES)
@given(st.one_of(comparisons(), comparisons(baskets=True)))
def test_totals_meet_at_every_break_even(comparison) -> None:
    shop, over = comparison
    for name, found in compare_over_months(shop, over).break_even.items():
        assert bool(found.keep_months) != ("keep_months" in found.none_because)
        assert [each.months for each in found.keep_months] == sorted(
            each.months for each in found.keep_months
        )
        for crossing in found.keep_months[:2]:
            at = attrs.evolve(over, keep_months=crossing.months)
            repair, replacement = best_set(shop, at)[0], replacement_total(shop, at, name)
            assert repair == pytest.approx(replacement, rel=1e-4, abs=0.5)
        for field, root in (
            ("labour_rate", found.labour_rate),
            ("replacement_price", found.replacement_price),
        ):
            assert (root is None) == (field in found.none_because)
            if root is not None and root < 1e9:
                signs = [meeting(shop, over, name, field, int(root) + step) for step in (0, 1)]
                slack = 1e-6 * abs(replacement_total(shop, over, name)) + 1e-3
                assert min(signs) <= slack
                assert max(signs) >= -slack


def meeting(shop, over, name: str, field: str, minor: int) -> float:
    """Return repair minus replacement with a whole amount in the place of the stated one."""
    amount = Money(minor, USD)
    if field == "labour_rate":
        shop = attrs.evolve(shop, labour=attrs.evolve(shop.labour, rate_per_hour=amount))
    else:
        shop = attrs.evolve(
            shop,
            replacements=tuple(
                attrs.evolve(each, price=amount) if each.id == name else each for each in shop.replacements
            ),
        )
    return best_set(shop, over)[0] - replacement_total(shop, over, name)


@settings(max_examples=EXAMPLES)
@given(comparisons())
def test_a_longer_time_never_costs_less(comparison) -> None:
    shop, over = comparison
    longer = attrs.evolve(over, keep_months=over.keep_months * 2)
    for short, long in zip(
        compare_over_months(shop, over).options, compare_over_months(shop, longer).options, strict=True
    ):
        assert (
            short.option.cost_now.total.minor + short.later
            <= (long.option.cost_now.total.minor + long.later) * (1 + 1e-7) + 2.5
        )


@settings(max_examples=EXAMPLES)
@given(comparisons(), st.randoms(use_true_random=False))
def test_the_order_of_positions_and_replacements_tells_nothing(comparison, random) -> None:
    shop, over = comparison
    positions, replacements = list(shop.positions), list(shop.replacements)
    random.shuffle(positions)
    random.shuffle(replacements)
    shuffled = attrs.evolve(shop, positions=tuple(positions), replacements=tuple(replacements))
    first, second = compare_over_months(shop, over), compare_over_months(shuffled, over)
    totals = [{each.option.id: each.expected_total for each in one.options} for one in (first, second)]
    assert totals[0] == totals[1]
    assert set(first.options[0].option.renewed) == set(second.options[0].option.renewed)
    assert first.break_even.keys() == second.break_even.keys()
    for name, found in first.break_even.items():
        assert found.replacement_price == pytest.approx(second.break_even[name].replacement_price)
