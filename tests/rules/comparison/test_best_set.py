"""Which positions to renew while the starter is open: worth, groups, baskets, ties."""

import pytest
from months_recomputed import (
    best_set,
    figures,
    lasting,
    months,
    position,
    price_of,
    repair_now,
    starter,
    usd,
    worn,
)

from api.comparison.costs_now.figures import Basket, Goods
from api.comparison.months.best_set import MOST_FREE_UNITS, TooManySets
from api.comparison.months.compare_months import compare_over_months
from api.comparison.months.over_months import AgeUnknown, KnownAge, WearShare

LABOUR = ("60.00", "1.0", "0.5")
FAILED = position("contact_disc", "4.00", "0.25", failed=True)
DISC = {"contact_disc": worn(2.5, 9000)}


def renewed(compared) -> set[str]:
    return set(compared.options[0].option.renewed)


def test_a_nearly_worn_position_is_worth_renewing_and_a_young_one_is_not() -> None:
    shop = figures(
        [FAILED, position("brush_set", "14.00", "0.5"), position("drive_end_bushing", "3.50", "0.5")],
        labour=LABOUR,
    )
    wear = DISC | {
        "brush_set": worn(4, 6000, WearShare(0.9)),
        "drive_end_bushing": worn(4, 60000, WearShare(0.1)),
    }
    compared = compare_over_months(shop, months(wear, incident="50.00"))
    worth = {each.position: each for each in compared.worth_renewing}
    assert renewed(compared) == {"contact_disc", "brush_set"}
    assert [each.why for each in compared.worth_renewing] == ["failed", "pays", "does_not_pay"]
    # 4.00 + 0.25 h x 60.00 = 19.00; 14.00 + 30.00 = 44.00; 3.50 + 30.00 = 33.50.
    costs = [str(each.costs_now) for each in compared.worth_renewing]
    assert costs == ["19.00 USD", "44.00 USD", "33.50 USD"]
    assert worth["brush_set"].saves_later.minor > worth["brush_set"].costs_now.minor
    assert worth["drive_end_bushing"].saves_later.minor < worth["drive_end_bushing"].costs_now.minor


def test_a_group_with_a_failed_member_is_renewed_whole() -> None:
    # Common practice, no source: both contacts and the disc are renewed together.
    names = ("battery_side_contact", "motor_side_contact")
    shop = figures([FAILED, *(position(name, "2.50", "0.25") for name in names)], labour=LABOUR)
    wear = DISC | {name: worn(2.5, 90000) for name in names}
    alone = compare_over_months(shop, months(wear))
    assert renewed(alone) == {"contact_disc"}
    together = compare_over_months(shop, months(wear, together=(("contact_disc", *names),)))
    assert renewed(together) == {"contact_disc", *names}
    assert [each.why for each in together.worth_renewing] == ["failed", "with_failed", "with_failed"]
    assert together.worth_renewing[1].together_with == ("contact_disc", "motor_side_contact")
    assert not together.free_units


def test_a_sound_group_is_renewed_whole_or_not_at_all() -> None:
    # The brushes alone would pay; the bushing, renewed with them, costs more than both save.
    shop = figures(
        [FAILED, position("brush_set", "14.00", "0.5"), position("drive_end_bushing", "900.00", "0.5")],
        labour=LABOUR,
    )
    wear = DISC | {"brush_set": worn(4, 6000, WearShare(0.9)), "drive_end_bushing": worn(4, 60000)}
    assert "brush_set" in renewed(compare_over_months(shop, months(wear, incident="50.00")))
    group = (("brush_set", "drive_end_bushing"),)
    compared = compare_over_months(shop, months(wear, incident="50.00", together=group))
    assert renewed(compared) == {"contact_disc"}
    unit = compared.free_units[0]
    assert (unit.names, unit.renewed, str(unit.costs_now)) == (group[0], False, "974.00 USD")


def test_a_position_without_age_is_not_renewed_for_nothing() -> None:
    # A life of shape 1 gains nothing from being new: free of charge, it is a tie and stays.
    shop = figures([FAILED, position("plunger", "0", "0")], labour=LABOUR)
    compared = compare_over_months(shop, months(DISC | {"plunger": worn(1, 3000, KnownAge(2000))}))
    assert renewed(compared) == {"contact_disc"}


PRICES = {"brush_set": "14.00", "contact_disc": "4.00"}


def packed(positions: frozenset[str]) -> Basket:
    """One pack of two bushings serves both; any order ships for 9.00."""
    goods: list[tuple[str | None, Goods]] = [
        (name, Goods(name, 1, "piece", usd(PRICES[name]))) for name in sorted(positions & PRICES.keys())
    ]
    if any("bushing" in name for name in positions):
        goods.append((None, Goods("two bushings", 1, "pack", usd("6.00"))))
    return Basket(tuple(goods), (Goods("shipping", 1, "order", usd("9.00")),))


def bought(*names: str, asked: list[frozenset[str]] | None = None, **more):
    def basket_of(positions: frozenset[str]) -> Basket:
        if asked is not None:
            asked.append(positions)
        return packed(positions)

    positions = [position(name, None, "0.3", failed=name == "contact_disc") for name in names]
    return figures(positions, labour=LABOUR, basket_of=basket_of, **more)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.6, 0.7, 0.8, 0.95])
def test_every_set_is_priced_by_its_own_basket(share: float) -> None:
    names = ("contact_disc", "brush_set", "drive_end_bushing", "commutator_end_bushing")
    wear = DISC | {name: worn(3, 9000, WearShare(share)) for name in names[1:]}
    shop, over = bought(*names), months(wear, keep=30)
    compared = compare_over_months(shop, over)
    total, least = best_set(shop, over)
    assert renewed(compared) == least
    repair = compared.options[0]
    assert repair.option.cost_now.total.minor + repair.later == pytest.approx(total, abs=2)
    for worth in compared.worth_renewing[1:]:
        more, less = (repair_now(shop, some) for some in (least | {worth.position}, least - {worth.position}))
        assert worth.costs_now.minor == pytest.approx(more - less, abs=1)


def test_the_second_bushing_of_a_pack_costs_its_labour_alone() -> None:
    names = ("contact_disc", "drive_end_bushing", "commutator_end_bushing")
    wear = DISC | {name: worn(3, 6000, WearShare(0.95)) for name in names[1:]}
    compared = compare_over_months(bought(*names), months(wear, keep=30))
    assert renewed(compared) == set(names)
    assert [str(each.costs_now) for each in compared.worth_renewing] == [
        "22.00 USD",
        "18.00 USD",
        "18.00 USD",
    ]
    lines = [(line.code, line.position) for line in compared.options[0].option.cost_now.lines]
    assert lines == [("part", "contact_disc"), ("part", None), ("shipping", None), ("labour", None)]


def test_a_later_failure_is_priced_by_the_basket_for_that_position_alone() -> None:
    # One failure of the disc (shape 1, 2,400 starts in 24 months): 4.00 + 9.00 shipping + 1.8 h x 60.00.
    shop = bought("contact_disc")
    compared = compare_over_months(shop, months({"contact_disc": worn(1, 2400)}))
    assert str(compared.options[0].expected_later) == "121.00 USD"
    assert price_of(shop.bought_for(["contact_disc"])) == 1300


def test_sets_that_cannot_pay_are_not_priced() -> None:
    # Young for all of 240 months: no saving reaches the labour at the bench, so no basket is asked for.
    names = ("contact_disc", "drive_end_bushing", "commutator_end_bushing")
    asked: list[frozenset[str]] = []
    wear = DISC | {name: worn(3, 9e9) for name in names[1:]}
    shop = bought(*names, asked=asked, replacements=[starter("rm", "100.00")])
    compare_over_months(shop, months(wear, {"rm": lasting(2, 9000)}))
    assert frozenset(names) not in asked


def test_stated_parts_and_baskets_go_together() -> None:
    names = ("contact_disc", "drive_end_bushing")
    shop = bought(*names)
    stated = position("brush_set", "14.00", "0.5")
    shop = figures([*shop.positions, stated], labour=LABOUR, basket_of=packed)
    wear = DISC | {name: worn(4, 6000, WearShare(0.9)) for name in ("drive_end_bushing", "brush_set")}
    over = months(wear, keep=30)
    compared = compare_over_months(shop, over)
    assert renewed(compared) == best_set(shop, over)[1] == {*names, "brush_set"}


def test_more_sets_than_can_be_priced_are_refused() -> None:
    names = [f"bushing_{letter}" for letter in "abcdefghi"]
    assert len(names) > MOST_FREE_UNITS
    wear = DISC | {name: worn(3, 6000, AgeUnknown()) for name in names}
    with pytest.raises(TooManySets) as error:
        compare_over_months(bought("contact_disc", *names), months(wear))
    assert "9 sound positions" in error.value.explain()
    fault = error.value.fault("positions")
    assert (fault.path, fault.code) == (("positions",), "too_many_sets")
