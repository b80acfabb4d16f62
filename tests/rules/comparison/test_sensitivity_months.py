"""The effect of each stated number, against the comparison made anew with it."""

from fractions import Fraction

import attrs
import pytest
from months_recomputed import (
    best_set,
    figures,
    lasting,
    months,
    position,
    rates,
    replacement_total,
    starter,
    usd,
    worn,
)

from api.comparison.costs_now.figures import Basket, ComparisonFigures, Goods
from api.comparison.months.compare_months import compare_over_months
from api.comparison.months.over_months import KnownAge, LifeInStarts, OverMonths, RemainderWear, WearShare
from api.comparison.months.stated_inputs import OFFERED_PARTS

SHOP = figures(
    [
        position("battery_side_contact", "20.00", "0.25", failed=True),
        position("brush_set", "14.00", "0.5"),
        position("drive_end_bushing", "5.00", "0.3"),
    ],
    [starter("rm", "145.00", "40.00", "0.9"), starter("used", "70.00")],
    labour=("60.00", "1.2", "0.3"),
    consumables="1.50",
    tax=rates("0.05", "0.10", "0.20"),
)
OVER = months(
    {
        "battery_side_contact": worn(2.5, 9000, warranty=12),
        "brush_set": worn(3, 12000, WearShare(0.9), 6, True),
        "drive_end_bushing": worn(2, 15000, KnownAge(8000)),
    },
    {"rm": lasting(1.5, 9000, 12), "used": lasting(1.2, 4000, 3)},
    keep=30,
    starts=120,
    discount=0.05,
    incident="60.00",
    remainder=RemainderWear(LifeInStarts(2, 30000), KnownAge(8000)),
)


def difference(shop: ComparisonFigures, over: OverMonths) -> float:
    """Return best replacement minus repair, recomputed from the definition."""
    return min(replacement_total(shop, over, each.id) for each in shop.replacements) - best_set(shop, over)[0]


def swings(shop: ComparisonFigures = SHOP, over: OverMonths = OVER):
    return {each.name: each for each in compare_over_months(shop, over).sensitivity}


def with_labour(**changes):
    return attrs.evolve(SHOP, labour=attrs.evolve(SHOP.labour, **changes)), OVER


def with_wear(name: str, **changes):
    wear = attrs.evolve(OVER.positions[name], **changes)
    return SHOP, attrs.evolve(OVER, positions={**OVER.positions, name: wear})


def with_starter(**changes):
    first, *others = SHOP.replacements
    return attrs.evolve(SHOP, replacements=(attrs.evolve(first, **changes), *others)), OVER


def with_part(price: str):
    first, *others = SHOP.positions
    return attrs.evolve(SHOP, positions=(position(first.position, price, "0.25", failed=True), *others)), OVER


HIGHER = {
    "keep_months": lambda: (SHOP, attrs.evolve(OVER, keep_months=36)),
    "starts_per_month": lambda: (SHOP, attrs.evolve(OVER, starts_per_month=144)),
    "discount_rate_per_year": lambda: (SHOP, attrs.evolve(OVER, discount_rate_per_year=0.06)),
    "incident_cost": lambda: (SHOP, attrs.evolve(OVER, incident_cost=usd("72.00"))),
    "labour.rate_per_hour": lambda: with_labour(rate_per_hour=usd("72.00")),
    "labour.removal_and_refit_hours": lambda: with_labour(removal_and_refit_hours=Fraction("1.44")),
    "labour.strip_hours": lambda: with_labour(strip_hours=Fraction("0.36")),
    "consumables": lambda: (attrs.evolve(SHOP, consumables=usd("1.80")), OVER),
    "tax.parts": lambda: (attrs.evolve(SHOP, tax=rates("0.06", "0.10", "0.20")), OVER),
    "tax.labour": lambda: (attrs.evolve(SHOP, tax=rates("0.05", "0.12", "0.20")), OVER),
    "tax.deposit": lambda: (attrs.evolve(SHOP, tax=rates("0.05", "0.10", "0.24")), OVER),
    "positions[0].part_cost": lambda: with_part("24.00"),
    "positions[0].warranty_months": lambda: with_wear("battery_side_contact", warranty_months=14.4),
    "positions[0].life.shape": lambda: with_wear("battery_side_contact", life=LifeInStarts(3, 9000)),
    "positions[1].life.scale_starts": lambda: with_wear("brush_set", life=LifeInStarts(3, 14400)),
    "positions[1].wear_share": lambda: with_wear("brush_set", age=WearShare(1.08)),
    "positions[2].age_starts": lambda: with_wear("drive_end_bushing", age=KnownAge(9600)),
    "remainder.age_starts": lambda: (
        SHOP,
        attrs.evolve(OVER, remainder=RemainderWear(LifeInStarts(2, 30000), KnownAge(9600))),
    ),
    "remainder.life.shape": lambda: (
        SHOP,
        attrs.evolve(OVER, remainder=RemainderWear(LifeInStarts(2.4, 30000), KnownAge(8000))),
    ),
    "replacements[0].price": lambda: with_starter(price=usd("174.00")),
    "replacements[0].core_deposit": lambda: with_starter(core_deposit=usd("48.00")),
    "replacements[0].refund_chance": lambda: with_starter(refund_chance=Fraction(1)),
}


@pytest.fixture(scope="module")
def found():
    return swings()


@pytest.mark.parametrize("name", HIGHER)
def test_an_effect_is_that_of_the_comparison_made_anew(name: str, found) -> None:
    expected = difference(*HIGHER[name]()) - difference(SHOP, OVER)
    assert found[name].high_effect == pytest.approx(expected, abs=0.01)


def test_each_number_that_is_not_zero_is_listed_once_the_largest_first(found) -> None:
    assert set(found) > set(HIGHER)
    # 11 of all, 5 + 6 + 5 of the positions, 3 of the remainder, 6 + 5 of the replacements.
    assert len(found) == len(compare_over_months(SHOP, OVER).sensitivity) == 41
    sizes = [each.size for each in found.values()]
    assert sizes == sorted(sizes, reverse=True)
    # Zero, unknown or of no account: no part of it can be taken more or less of.
    absent = {"positions[0].age_starts", "positions[2].warranty_months", "replacements[1].core_deposit"}
    assert not absent & set(found)


def test_values_are_a_fifth_lower_and_higher_without_binary_noise(found) -> None:
    assert (found["keep_months"].low, found["keep_months"].high) == (24.0, 36.0)
    assert (found["discount_rate_per_year"].low, found["discount_rate_per_year"].high) == (0.04, 0.06)
    assert (found["labour.rate_per_hour"].low, found["labour.rate_per_hour"].amount) == (4800.0, True)


def test_bounds_that_are_hit_are_told(found) -> None:
    chance = found["replacements[0].refund_chance"]
    assert (chance.high, chance.note) == (1.0, "not above 1")
    assert found["positions[1].wear_share"].note == "worn through at 1.08: counts as failed"
    assert found["keep_months"].note is None
    ends = attrs.evolve(
        OVER,
        keep_months=240,
        positions={**OVER.positions, "brush_set": worn(10, 12000), "battery_side_contact": worn(0.5, 9000)},
    )
    at_ends = swings(SHOP, ends)
    assert (at_ends["keep_months"].high, at_ends["keep_months"].note) == (240.0, "not above 240")
    assert at_ends["keep_months"].high_effect == 0
    assert at_ends["positions[1].life.shape"].note == "not above 10"
    assert at_ends["positions[0].life.shape"].note == "not below 0.5"


def test_taxes_within_the_amounts_and_unknown_ages_move_nothing() -> None:
    included = attrs.evolve(SHOP, tax=rates("0.05", "0.10", "0.20", included=True))
    assert not {name for name in swings(included) if name.startswith("tax.")}


def test_prices_of_baskets_move_together() -> None:
    def basket_of(positions: frozenset[str]) -> Basket:
        goods = tuple((name, Goods(name, 1, "piece", price)) for name in sorted(positions))
        return Basket(goods, (Goods("shipping", 1, "order", charge),))

    positions = [attrs.evolve(each, parts=()) for each in SHOP.positions]
    price, charge = usd("10.00"), usd("5.00")
    shop = attrs.evolve(SHOP, positions=tuple(positions), basket_of=basket_of)
    stated = difference(shop, OVER)
    found = swings(shop)[OFFERED_PARTS]
    assert (found.value, found.low, found.high) == (1.0, 0.8, 1.2)
    price, charge = usd("12.00"), usd("6.00")
    assert found.high_effect == pytest.approx(difference(shop, OVER) - stated, abs=0.01)


def test_without_a_replacement_there_is_nothing_to_differ_from() -> None:
    over = attrs.evolve(OVER, replacements={}, remainder=None)
    compared = compare_over_months(attrs.evolve(SHOP, replacements=()), over)
    assert compared.sensitivity == ()
    assert compared.break_even == {}
