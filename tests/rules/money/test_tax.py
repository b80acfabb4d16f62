"""Tax added and tax included, by hand."""

from fractions import Fraction

import pytest

from api.money.amounts import Money
from api.money.currencies import CurrencyMismatch, find_currency
from api.money.tax import tax_amounts

USD, JPY, KWD = find_currency("USD"), find_currency("JPY"), find_currency("KWD")


def test_added_tax_is_rounded_on_the_running_sum() -> None:
    # 5 % of 2.50: 0.125 -> 0.13; of 5.00: 0.25, 0.12 more; of 7.50: 0.375 -> 0.38, 0.13 more.
    taxed = tax_amounts([Money(250, USD)] * 3, Fraction(1, 20), included=False)
    assert [line.tax.minor for line in taxed] == [13, 12, 13]
    assert [line.gross.minor for line in taxed] == [263, 262, 263]
    assert [line.net.minor for line in taxed] == [250, 250, 250]


def test_included_tax_is_taken_out_of_the_stated_amount() -> None:
    # 119.00 holds 19 % of 100.00; 5.00 holds 0.798... -> together 124.00 * 19 / 119 = 19.798 -> 19.80.
    taxed = tax_amounts([Money(11900, USD), Money(500, USD)], Fraction(19, 100), included=True)
    assert [line.tax.minor for line in taxed] == [1900, 80]
    assert [line.net.minor for line in taxed] == [10000, 420]
    assert [line.gross.minor for line in taxed] == [11900, 500]


def test_decimals_of_the_currency_decide() -> None:
    # 10 % of 1,235 yen: 123.5 -> 124. 5 % of 1.250 dinars: 0.0625 -> 0.063.
    assert tax_amounts([Money(1235, JPY)], Fraction(1, 10), included=False)[0].tax == Money(124, JPY)
    assert tax_amounts([Money(1250, KWD)], Fraction(1, 20), included=False)[0].tax == Money(63, KWD)


def test_no_amounts_have_no_tax() -> None:
    assert tax_amounts([], Fraction(1, 20), included=False) == ()


def test_two_currencies_are_not_taxed_together() -> None:
    with pytest.raises(CurrencyMismatch):
        tax_amounts([Money(1, USD), Money(1, JPY)], Fraction(0), included=False)
