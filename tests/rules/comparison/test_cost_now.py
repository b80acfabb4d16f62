"""Costs now against hand arithmetic, in currencies of 0, 2, 3 and 4 decimals, tax added and included."""

from fractions import Fraction

import pytest

from api.comparison.costs_now.compare import compare_now
from api.comparison.costs_now.cost_now import cost_of_repair, cost_of_replacement
from api.comparison.costs_now.figures import (
    ComparisonFigures,
    Goods,
    Labour,
    NoFailedPosition,
    PositionFigures,
    Replacement,
)
from api.money.amounts import Money, format_amount, parse_amount
from api.money.currencies import CurrencyMismatch, find_currency
from api.money.tax import TaxRates

NO_TAX = TaxRates(Fraction(0), Fraction(0), Fraction(0))


def hours(text: str) -> Fraction:
    return Fraction(text)


def position(name: str, price: str, bench: str, code: str, *, failed: bool = True) -> PositionFigures:
    part = Goods(name, 1, "piece", parse_amount(price, find_currency(code)))
    return PositionFigures(name, failed, (part,), hours(bench))


def figures(
    code: str, rate: str, removal: str, strip: str, consumables: str, tax: TaxRates, *positions, **more
):
    currency = find_currency(code)
    labour = Labour(parse_amount(rate, currency), hours(removal), hours(strip))
    return ComparisonFigures(
        currency=currency,
        labour=labour,
        consumables=parse_amount(consumables, currency),
        tax=tax,
        positions=positions,
        **more,
    )


def replacement(code: str, price: str, deposit: str = "0", chance: str = "1", name: str = "rm", **more):
    currency = find_currency(code)
    return Replacement(
        id=name,
        condition=more.pop("condition", "remanufactured"),
        price=parse_amount(price, currency),
        core_deposit=parse_amount(deposit, currency),
        refund_chance=Fraction(chance),
        **more,
    )


def shown(option) -> list[tuple[str, str, str, str]]:
    return [
        (line.code, format_amount(line.net), format_amount(line.tax), format_amount(line.gross))
        for line in option.cost_now.lines
    ]


FIVE_PER_CENT = TaxRates(Fraction(1, 20), Fraction(1, 20), Fraction(1, 20))


def pair_of_contacts(**more) -> ComparisonFigures:
    return figures(
        "USD",
        "60.00",
        "1.2",
        "0.3",
        "1.50",
        FIVE_PER_CENT,
        position("battery_side_contact", "2.60", "0.25", "USD"),
        position("motor_side_contact", "2.40", "0.25", "USD"),
        position("brush_set", "14.00", "0.5", "USD", failed=False),
        **more,
    )


def test_repair_with_tax_added() -> None:
    # Labour: (1.2 + 0.3 + 0.25 + 0.25) h = 2 h x 60.00 = 120.00; 5 % = 6.00.
    # Parts tax on 2.60: 0.13; on 5.00: 0.25 (0.12 more); on 6.50 with consumables: 0.325 -> 0.33 (0.08 more).
    # 2.60 + 2.40 + 1.50 + 120.00 = 126.50; tax 0.33 + 6.00 = 6.33; together 132.83.
    repair = cost_of_repair(pair_of_contacts())
    assert shown(repair) == [
        ("part", "2.60", "0.13", "2.73"),
        ("part", "2.40", "0.12", "2.52"),
        ("consumables", "1.50", "0.08", "1.58"),
        ("labour", "120.00", "6.00", "126.00"),
    ]
    cost = repair.cost_now
    assert (str(cost.net), str(cost.tax), str(cost.total)) == ("126.50 USD", "6.33 USD", "132.83 USD")
    assert repair.renewed == ("battery_side_contact", "motor_side_contact")
    assert [line.position for line in cost.lines] == [
        "battery_side_contact",
        "motor_side_contact",
        None,
        None,
    ]
    assert cost.lines[-1].label == "Labour: removal and refit 1.2 h, strip 0.3 h, bench 0.5 h"
    assert (cost.lines[-1].quantity, cost.lines[-1].unit, str(cost.lines[-1].unit_price)) == (
        2,
        "hour",
        "60.00 USD",
    )
    assert repair.core_deposit is None
    assert repair.pay_at_counter == cost.total


def test_replacement_with_tax_added_and_its_deposit_apart() -> None:
    # 145.00 (7.25) + 1.50 (7.325 -> 7.33 on the sum: 0.08) + 1.2 h x 60.00 = 72.00 (3.60)
    # + 40.00 x (1 - 0.9) = 4.00 (0.20): 222.50 + 11.13 = 233.63.
    # At the counter the whole deposit: 40.00 + 2.00 = 42.00, of which 42.00 - 4.20 = 37.80 is expected back;
    # 233.63 + 37.80 = 271.43.
    option = cost_of_replacement(replacement("USD", "145.00", "40.00", "0.9"), pair_of_contacts())
    assert shown(option) == [
        ("replacement", "145.00", "7.25", "152.25"),
        ("consumables", "1.50", "0.08", "1.58"),
        ("labour", "72.00", "3.60", "75.60"),
        ("core_deposit_not_refunded", "4.00", "0.20", "4.20"),
    ]
    assert str(option.cost_now.total) == "233.63 USD"
    deposit = option.core_deposit
    assert deposit is not None
    assert (str(deposit.paid), str(deposit.expected_refund), str(deposit.not_refunded)) == (
        "42.00 USD",
        "37.80 USD",
        "4.20 USD",
    )
    assert str(option.pay_at_counter) == "271.43 USD"
    assert (option.id, option.option, option.renewed) == ("rm", "remanufactured", ())


def test_tax_included_is_shown_and_not_added() -> None:
    # Yen, 10 % included. Labour (1.5 + 0.25 + 0.333) h = 2.083 h x 6,000 = 12,498; an eleventh is 1,136.2.
    # Parts 1,235 hold 112.3 -> 112; with consumables 1,335 hold 121.4 -> 121, 9 more.
    # Together 1,235 + 100 + 12,498 = 13,833, of which tax 1,257, without it 12,576.
    ten = TaxRates(Fraction(1, 10), Fraction(1, 10), Fraction(1, 10), included=True)
    repair = cost_of_repair(
        figures("JPY", "6000", "1.5", "0.25", "100", ten, position("disc", "1235", "0.333", "JPY"))
    )
    assert shown(repair) == [
        ("part", "1123", "112", "1235"),
        ("consumables", "91", "9", "100"),
        ("labour", "11362", "1136", "12498"),
    ]
    cost = repair.cost_now
    assert (str(cost.net), str(cost.tax), str(cost.total)) == ("12576 JPY", "1257 JPY", "13833 JPY")


def test_three_decimals() -> None:
    # 1.250 x 5 % = 0.0625 -> 0.063; 0.8 h x 4.500 = 3.600, 5 % = 0.180; 4.850 + 0.243 = 5.093.
    repair = cost_of_repair(
        figures("KWD", "4.500", "0.7", "0", "0", FIVE_PER_CENT, position("disc", "1.250", "0.1", "KWD"))
    )
    assert shown(repair) == [("part", "1.250", "0.063", "1.313"), ("labour", "3.600", "0.180", "3.780")]
    assert str(repair.cost_now.total) == "5.093 KWD"


def test_four_decimals_with_a_half_rounded_away_from_zero() -> None:
    # 1.0001 h x 0.5000 = 0.50005 -> 0.5001; 19 %: 0.095019 -> 0.0950; part 0.1234: 0.023446 -> 0.0234.
    rates = TaxRates(Fraction(19, 100), Fraction(19, 100), Fraction(0))
    repair = cost_of_repair(
        figures("CLF", "0.5", "1", "0", "0", rates, position("disc", "0.1234", "0.0001", "CLF"))
    )
    assert shown(repair) == [("part", "0.1234", "0.0234", "0.1468"), ("labour", "0.5001", "0.0950", "0.5951")]
    assert str(repair.cost_now.total) == "0.7419 CLF"


def test_hours_of_many_positions_are_added_before_they_are_rounded() -> None:
    # Three times 0.1 h at 10.05: 0.3 h x 10.05 = 3.015 -> 3.02 once (1.005 -> 1.01 each would make 3.03).
    three = [position(name, "0", "0.1", "USD") for name in ("a", "b", "c")]
    repair = cost_of_repair(figures("USD", "10.05", "0", "0", "0", NO_TAX, *three))
    assert str(repair.cost_now.total) == "3.02 USD"


def test_packs_and_shipping_stand_on_lines_of_their_own() -> None:
    # Two packs at 2.25 and 8.00 to ship: 12.50; 5 % of 12.50 = 0.625 -> 0.63.
    dollar = find_currency("USD")
    pair = PositionFigures(
        "contact_disc", True, (Goods("Discs", 2, "pack", Money(225, dollar)),), Fraction(0)
    )
    shipping = Goods("Shipping, Fennmoor Supply", 1, "order", Money(800, dollar))
    given = figures("USD", "60.00", "0", "0", "0", FIVE_PER_CENT, pair, shipping=(shipping,))
    repair = cost_of_repair(given)
    assert [(line.code, line.quantity, line.unit, line.net.minor) for line in repair.cost_now.lines] == [
        ("part", 2, "pack", 450),
        ("shipping", 1, "order", 800),
    ]
    assert str(repair.cost_now.total) == "13.13 USD"
    shipped = cost_of_replacement(replacement("USD", "100.00", shipping=shipping, label="Starter K-1"), given)
    assert shown(shipped) == [
        ("replacement", "100.00", "5.00", "105.00"),
        ("shipping", "8.00", "0.40", "8.40"),
    ]
    assert shipped.cost_now.lines[0].label == "Starter K-1"
    what = {each.what for each in compare_now(given).assumptions}
    assert what == {"later costs", "rounding", "tax on shipping"}


@pytest.mark.parametrize(
    ("chance", "lost", "back"), [("1", "0.00", "40.00"), ("0", "40.00", "0.00"), ("0.5", "20.00", "20.00")]
)
def test_what_of_a_deposit_counts(chance: str, lost: str, back: str) -> None:
    given = figures("USD", "60.00", "0", "0", "0", NO_TAX, position("disc", "1", "0", "USD"))
    option = cost_of_replacement(replacement("USD", "100.00", "40.00", chance), given)
    assert option.core_deposit is not None
    assert format_amount(option.core_deposit.not_refunded) == lost
    assert format_amount(option.core_deposit.expected_refund) == back
    assert str(option.pay_at_counter) == "140.00 USD"


def test_without_a_deposit_there_is_nothing_to_show_apart() -> None:
    option = cost_of_replacement(replacement("USD", "100.00"), pair_of_contacts())
    assert option.core_deposit is None
    assert option.pay_at_counter == option.cost_now.total


def test_without_a_failed_position_nothing_is_compared() -> None:
    given = figures(
        "USD", "60", "1", "0", "0", NO_TAX, position("brush_set", "14", "0.5", "USD", failed=False)
    )
    with pytest.raises(NoFailedPosition) as refused:
        compare_now(given)
    assert refused.value.positions == ("brush_set",)
    assert "brush_set" in refused.value.explain()
    assert "named: none" in NoFailedPosition(()).explain()
    assert refused.value.fault("positions").code == "no_failed_position"


def test_figures_of_two_currencies_are_refused() -> None:
    with pytest.raises(CurrencyMismatch):
        compare_now(pair_of_contacts(replacements=(replacement("EUR", "100.00"),)))
