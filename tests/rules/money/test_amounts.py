"""Amounts: what is taken, what is refused and why, exact arithmetic, rounding."""

from fractions import Fraction

import pytest

from api.errors import FieldFault
from api.money.amounts import AmountRefused, Money, format_amount, parse_amount, round_half_away, sum_amounts
from api.money.currencies import CurrencyMismatch, UnknownCurrency, find_currency

USD, EUR, JPY = find_currency("USD"), find_currency("EUR"), find_currency("JPY")
KWD, CLF = find_currency("KWD"), find_currency("CLF")


@pytest.mark.parametrize(
    ("text", "currency", "minor", "shown"),
    [
        ("5.00", USD, 500, "5.00"),
        ("5", USD, 500, "5.00"),
        ("0.5", USD, 50, "0.50"),
        ("0.05", USD, 5, "0.05"),
        ("0", USD, 0, "0.00"),
        ("1500", JPY, 1500, "1500"),
        ("1.250", KWD, 1250, "1.250"),
        ("1.25", KWD, 1250, "1.250"),
        ("0.0001", CLF, 1, "0.0001"),
        ("999999999999.99", USD, 99_999_999_999_999, "999999999999.99"),
    ],
)
def test_amounts_are_read_exactly_and_shown_with_all_decimals(text, currency, minor, shown) -> None:
    money = parse_amount(text, currency)
    assert money == Money(minor, currency)
    assert format_amount(money) == shown
    assert parse_amount(shown, currency) == money


@pytest.mark.parametrize(
    ("text", "currency", "code"),
    [
        ("", USD, "not_an_amount"),
        (" 5.00", USD, "not_an_amount"),
        ("5.00\n", USD, "not_an_amount"),
        ("5,00", USD, "not_an_amount"),
        ("1,000.00", USD, "not_an_amount"),
        ("1_000", USD, "not_an_amount"),
        ("05.00", USD, "not_an_amount"),
        (".50", USD, "not_an_amount"),
        ("5.", USD, "not_an_amount"),
        ("+5", USD, "not_an_amount"),
        ("--5", USD, "not_an_amount"),
        ("5e2", USD, "not_an_amount"),
        ("1e400", USD, "not_an_amount"),
        ("NaN", USD, "not_an_amount"),
        ("Infinity", USD, "not_an_amount"),
        ("$5.00", USD, "not_an_amount"),
        ("٥.٠٠", USD, "not_an_amount"),
        ("5\x00", USD, "not_an_amount"),
        ("5.001", USD, "too_many_decimals"),
        ("5.0", JPY, "too_many_decimals"),
        ("5.0001", KWD, "too_many_decimals"),
        ("5.00001", CLF, "too_many_decimals"),
        ("1000000000000", USD, "too_large"),
        ("9" * 10_000, USD, "too_long"),
        ("0." + "0" * 19, USD, "too_long"),
        ("-5.00", USD, "below_zero"),
        ("-0", USD, "below_zero"),
    ],
)
def test_what_is_not_an_amount_is_refused_with_the_reason(text, currency, code) -> None:
    with pytest.raises(AmountRefused) as refused:
        parse_amount(text, currency)
    error = refused.value
    assert (error.code, error.currency) == (code, currency.code)
    assert len(error.value) <= 80
    assert "decimal string" in error.explain()
    assert error.fault("positions", 0, "part_cost") == FieldFault(
        ("positions", 0, "part_cost"), error.value, error.expected, code
    )


def test_the_expected_amount_is_shown_in_the_currency_at_hand() -> None:
    with pytest.raises(AmountRefused) as refused:
        parse_amount("5.25", JPY)
    text = refused.value.explain()
    assert text.startswith("'5.25' is not an amount in JPY")
    assert "such as '5', with no decimals in JPY" in text


def test_refunds_may_be_below_zero_where_asked_for() -> None:
    refund = parse_amount("-0.05", USD, below_zero=True)
    assert refund == Money(-5, USD)
    assert format_amount(refund) == "-0.05"
    assert str(refund) == "-0.05 USD"


@pytest.mark.parametrize(
    ("value", "nearest"),
    [
        (Fraction(5, 2), 3),
        (Fraction(-5, 2), -3),
        (Fraction(7, 2), 4),
        (Fraction(249, 100), 2),
        (Fraction(-249, 100), -2),
        (Fraction(0), 0),
    ],
)
def test_halves_go_away_from_zero(value: Fraction, nearest: int) -> None:
    assert round_half_away(value) == nearest


def test_arithmetic_is_exact() -> None:
    assert Money(10, USD) + Money(20, USD) == Money(30, USD)
    assert Money(10, USD) - Money(25, USD) == Money(-15, USD)
    assert Money(205, USD) * 2 == Money(410, USD)
    assert Money(6000, USD).times(Fraction(1, 3)) == Money(2000, USD)
    assert sum_amounts([Money(1, USD), Money(2, USD)], USD) == Money(3, USD)
    assert sum_amounts([], JPY) == Money(0, JPY)
    assert Money(1, USD) < Money(2, USD) <= Money(2, USD)


def test_two_currencies_never_mix() -> None:
    for mix in (
        lambda: Money(1, USD) + Money(1, EUR),
        lambda: Money(1, USD) - Money(1, EUR),
        lambda: Money(1, USD) < Money(1, EUR),
        lambda: Money(1, USD) <= Money(1, EUR),
        lambda: sum_amounts([Money(1, EUR)], USD),
    ):
        with pytest.raises(CurrencyMismatch) as mismatch:
            mix()
        assert (mismatch.value.left, mismatch.value.right) == ("USD", "EUR")
        assert "USD and EUR" in mismatch.value.explain()


@pytest.mark.parametrize(
    ("code", "nearest"), [("usd", "USD"), ("EURO", "EUR"), ("", None), ("9" * 10_000, None)]
)
def test_unknown_currencies_are_refused_with_the_nearest(code: str, nearest: str | None) -> None:
    with pytest.raises(UnknownCurrency) as unknown:
        find_currency(code)
    error = unknown.value
    assert error.nearest == nearest
    assert ("nearest known one" in error.explain()) is (nearest is not None)
    fault = error.fault("currency")
    assert (fault.path, fault.code, fault.nearest) == (("currency",), "unknown_currency", nearest)
