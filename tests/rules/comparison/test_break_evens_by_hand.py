"""Break-evens against hand arithmetic with exponential lives, and against totals recomputed there."""

import attrs
import numpy as np
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

from api.comparison.costs_now.figures import Labour
from api.comparison.months.compare_months import compare_over_months
from api.comparison.months.lines import Line, SumOfSmallest, roots_from_zero
from api.comparison.months.over_months import KnownAge, LifeInStarts, RemainderWear, WearShare
from api.wear_life.renewal import NewLife, discounted_renewals
from api.wear_life.weibull import WeibullLife

LABOUR = ("60.00", "1.0", "0.5")


def test_months_labour_rate_and_price_by_hand() -> None:
    # 100 starts a month. The contact fails every 10 months, the replacement every 40 (shape 1, no discount).
    # Repair: 10.00 + 2 h x 60.00 = 130.00 now, and as much at each failure: 130 + 13 H.
    # Replacement: 250.00 + 60.00 = 310.00 now and at each failure: 310 + 7.75 H. Equal at H = 180 / 5.25.
    # At 24 months: repair 3.4 x (10 + 2 R), replacement 1.6 x (250 + R): equal at R = 366 / 5.2.
    # 3.4 x 130 = 442 = 1.6 x (P + 60) at P = 216.25.
    shop = figures(
        [position("contact_disc", "10.00", "0.5", failed=True)], [starter("rm", "250.00")], labour=LABOUR
    )
    over = months({"contact_disc": worn(1, 1000)}, {"rm": lasting(1, 4000)})
    found = compare_over_months(shop, over).break_even["rm"]
    assert [each.months for each in found.keep_months] == pytest.approx([180 / 5.25], rel=1e-7)
    assert found.keep_months[0].repair_cheaper_before
    assert found.labour_rate == pytest.approx(36600 / 5.2, rel=1e-7)
    assert found.replacement_price == pytest.approx(21625, rel=1e-7)
    assert not found.none_because


def test_where_there_is_none_the_reason_is_said() -> None:
    # The repair is cheaper now, needs fewer hours later, and lasts as long: it never loses.
    shop = figures(
        [position("contact_disc", "1.00", failed=True)],
        [starter("rm", "250.00")],
        labour=("60.00", "1.0", "0"),
    )
    over = months({"contact_disc": worn(1, 90000)}, {"rm": lasting(1, 80000)})
    found = compare_over_months(shop, over).break_even["rm"]
    assert (found.keep_months, found.labour_rate) == ((), None)
    assert found.none_because == {
        "keep_months": "Repairing is expected to cost less than rm at every horizon up to 240 months.",
        "labour_rate": "Repairing is expected to cost less than rm at every labour rate.",
    }
    # At a price of 250.00 the replacement costs 249.00 more: it would have to be free, and more.
    dear = figures([position("contact_disc", "1.00", failed=True)], [starter("rm", "250.00", "40.00", "0")])
    found = compare_over_months(dear, over).break_even["rm"]
    assert found.replacement_price is None
    assert found.none_because["replacement_price"].endswith("at every price, even at none.")
    same = figures([position("contact_disc", "1.00", failed=True)], [starter("rm", "1.00")])
    level = months({"contact_disc": worn(1, 900)}, {"rm": lasting(1, 900)})
    assert compare_over_months(same, level).break_even["rm"].none_because["labour_rate"] == (
        "Repairing and rm cost the same at every labour rate."
    )


SHOP = figures(
    [
        position("battery_side_contact", "2.60", "0.25", failed=True),
        position("brush_set", "14.00", "0.5"),
        position("drive_end_bushing", "3.50", "0.3"),
    ],
    [starter("rm", "145.00", "40.00", "0.9"), starter("used", "70.00")],
    labour=("60.00", "1.2", "0.3"),
    consumables="1.50",
    tax=rates("0.05", "0.10", "0.20"),
)
OVER = months(
    {
        "battery_side_contact": worn(2.5, 9000, warranty=12),
        "brush_set": worn(3, 12000, WearShare(0.7), 6, True),
        "drive_end_bushing": worn(2, 15000, KnownAge(8000)),
    },
    {"rm": lasting(1.5, 9000, 12), "used": lasting(1.2, 4000, 3)},
    keep=30,
    starts=120,
    discount=0.05,
    incident="60.00",
    remainder=RemainderWear(LifeInStarts(2, 30000), KnownAge(8000)),
)


def difference(shop, over, name: str) -> float:
    return best_set(shop, over)[0] - replacement_total(shop, over, name)


@pytest.mark.parametrize("name", ["rm", "used"])
def test_at_each_break_even_both_totals_recomputed_are_equal(name: str) -> None:
    found = compare_over_months(SHOP, OVER).break_even[name]
    for crossing in found.keep_months:
        at = attrs.evolve(OVER, keep_months=crossing.months)
        assert difference(SHOP, at, name) == pytest.approx(0, abs=0.05)
        before = attrs.evolve(OVER, keep_months=crossing.months - 0.5)
        assert (difference(SHOP, before, name) < 0) == crossing.repair_cheaper_before
    # Amounts are whole minor units here: the totals cross between the two next to the break-even.
    assert found.labour_rate is not None
    assert found.replacement_price is not None
    for root, change in ((found.labour_rate, at_rate), (found.replacement_price, at_price)):
        below, above = (difference(change(name, int(root) + step), OVER, name) for step in (0, 1))
        assert below * above < 0


def at_rate(name: str, minor: int):
    rate = attrs.evolve(usd("0"), minor=minor)
    hours = SHOP.labour
    return attrs.evolve(SHOP, labour=Labour(rate, hours.removal_and_refit_hours, hours.strip_hours))


def at_price(name: str, minor: int):
    price = attrs.evolve(usd("0"), minor=minor)
    replacements = tuple(
        attrs.evolve(each, price=price) if each.id == name else each for each in SHOP.replacements
    )
    return attrs.evolve(SHOP, replacements=replacements)


def test_every_crossing_of_the_months_is_found() -> None:
    # A replacement that fails sharply every 20 months against a repair of 4.20 every 1.5 months: the totals
    # cross time and again. Repair: 4.20 (1 + H / 1.5); replacement: 43.00 (1 + M(H)).
    shop = figures([position("contact_disc", "4.20", failed=True)], [starter("rm", "43.00")])
    over = months({"contact_disc": worn(1, 150)}, {"rm": lasting(10, 2100)}, keep=60)
    found = compare_over_months(shop, over).break_even["rm"].keep_months
    scanned = np.linspace(1, 240, 239 * 16 + 1)
    renewals = discounted_renewals(WeibullLife(10, 21), NewLife(), scanned, 0)
    repair_dearer = 4.20 * (1 + scanned / 1.5) > 43.00 * (1 + renewals)
    changes = np.flatnonzero(repair_dearer[1:] != repair_dearer[:-1])
    assert len(changes) > 2
    assert [each.months for each in found] == pytest.approx(scanned[changes] + 1 / 32, abs=1 / 32)
    assert [each.repair_cheaper_before for each in found] == [step % 2 == 0 for step in range(len(found))]


@pytest.mark.parametrize(
    ("line", "groups", "roots"),
    [
        # x - 2 against nothing else; 3 - x; a constant.
        (Line(-2, 1), (), (2.0,)),
        (Line(3, -1), (), (3.0,)),
        (Line(-1, 0), (), ()),
        # x - 1 up to 2, then 3 - x: a tent from 1 to 3.
        (Line(0, 0), ((Line(-1, 1), Line(3, -1)),), (1.0, 3.0)),
        # The same tent one lower touches nothing from below; two lower it stays under zero.
        (Line(-2, 0), ((Line(-1, 1), Line(3, -1)),), ()),
        # Rising for ever: one root; falling from above zero with a kink at 1 (1 - x, then 3 - 3 x): one at 1.
        (Line(-1, 2), ((Line(0, 0), Line(1, -1)),), (0.5,)),
        (Line(0, 0), ((Line(1, -1), Line(3, -3)),), (1.0,)),
        # Below zero at zero already and falling.
        (Line(-1, -1), ((Line(0, 0), Line(-2, 0.5)),), ()),
    ],
)
def test_roots_of_sums_of_smallest_lines(line, groups, roots) -> None:
    assert roots_from_zero(SumOfSmallest(line, groups)) == pytest.approx(roots)
