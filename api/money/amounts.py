"""Exact amounts of money and the one rounding rule.

An amount is a whole number of minor units of one currency. Whatever is multiplied by hours, chances
or rates is carried as an exact fraction and rounded once, half away from zero, to the minor unit
(our choice: the rule a customer with a pocket calculator expects; refunds round like charges).
"""

import re
from collections.abc import Iterable
from fractions import Fraction

import attrs

from api.errors import DomainError, FieldFault, shown
from api.money.currencies import Currency, CurrencyMismatch

ROUNDING = "half away from zero, to the minor unit of the currency"
"""The rounding rule in words, for every document that shows amounts."""

LONGEST_AMOUNT = 20
"""Longest text taken for an amount, in characters (our judgement)."""

AMOUNT_PATTERN = r"^(0|[1-9][0-9]{0,11})(\.[0-9]{1,4})?$"
"""What an amount looks like on the wire before its currency is known: below 10^12, no sign."""

_AMOUNT = re.compile(r"(?P<sign>-?)(?P<whole>0|[1-9][0-9]*)(?:\.(?P<decimals>[0-9]+))?")
_LARGEST_WHOLE_DIGITS = 12


@attrs.frozen
class AmountRefused(DomainError):
    """A text is not an amount that can be taken in this currency."""

    value: str
    currency: str
    expected: str
    code: str

    def explain(self) -> str:
        """Return what was given and what was expected."""
        return f"{self.value!r} is not an amount in {self.currency}; expected {self.expected}."

    def fault(self, *path: str | int) -> FieldFault:
        """Return this as a fault of the value at `path`."""
        return FieldFault(path, self.value, self.expected, self.code)


def round_half_away(value: Fraction) -> int:
    """Return the nearest whole number; a half goes away from zero (2.5 to 3, -2.5 to -3)."""
    doubled = 2 * abs(value) + 1
    nearest = doubled.numerator // (2 * doubled.denominator)
    return nearest if value >= 0 else -nearest


@attrs.frozen(order=False)
class Money:
    """An exact amount: a whole number of minor units (below zero for a refund) of one currency.

    Adding, subtracting or comparing amounts of two currencies raises `CurrencyMismatch`.
    """

    minor: int
    currency: Currency

    @classmethod
    def zero(cls, currency: Currency) -> "Money":
        """Return nothing, in this currency."""
        return cls(0, currency)

    def __add__(self, other: "Money") -> "Money":
        """Return the sum."""
        self._check_same(other)
        return Money(self.minor + other.minor, self.currency)

    def __sub__(self, other: "Money") -> "Money":
        """Return the difference."""
        self._check_same(other)
        return Money(self.minor - other.minor, self.currency)

    def __mul__(self, count: int) -> "Money":
        """Return `count` times the amount; exact."""
        return Money(self.minor * count, self.currency)

    def __lt__(self, other: "Money") -> bool:
        """Return whether this is the smaller amount."""
        self._check_same(other)
        return self.minor < other.minor

    def __le__(self, other: "Money") -> bool:
        """Return whether this is at most the other amount."""
        self._check_same(other)
        return self.minor <= other.minor

    def times(self, factor: Fraction) -> "Money":
        """Return the amount times an exact factor (hours, a chance, a rate), rounded once."""
        return Money(round_half_away(self.minor * factor), self.currency)

    def __str__(self) -> str:
        """Return the amount for a sentence: `5.00 USD`."""
        return f"{format_amount(self)} {self.currency.code}"

    def _check_same(self, other: "Money") -> None:
        if self.currency != other.currency:
            raise CurrencyMismatch(self.currency.code, other.currency.code)


def sum_amounts(amounts: Iterable[Money], currency: Currency) -> Money:
    """Return the exact sum, nothing for no amounts; raises `CurrencyMismatch` for another currency."""
    return sum(amounts, start=Money.zero(currency))


def format_amount(money: Money) -> str:
    """Return an amount as a decimal string with all decimals of its currency: `5.00`, `500`, `1.250`."""
    whole, minor = divmod(abs(money.minor), money.currency.minor_per_major)
    sign = "-" if money.minor < 0 else ""
    decimals = f".{minor:0{money.currency.minor_digits}d}" if money.currency.minor_digits else ""
    return f"{sign}{whole}{decimals}"


def parse_amount(text: str, currency: Currency, *, below_zero: bool = False) -> Money:
    """Return the amount that a decimal string states in a currency.

    Takes ASCII digits and one decimal point, no more decimals than the currency has, less than 10^12;
    a minus sign only where `below_zero`. No exponent, no thousands mark, no decimal comma, no blanks.
    Raises `AmountRefused`, which says what was expected.
    """

    def refuse(more: str, code: str) -> AmountRefused:
        example = format_amount(Money(5 * currency.minor_per_major, currency))
        expected = f"a decimal string with a point, such as {example!r}{more}"
        return AmountRefused(shown(text), currency.code, expected, code)

    if len(text) > LONGEST_AMOUNT:
        raise refuse(f", of {LONGEST_AMOUNT} characters at most", "too_long")
    match = _AMOUNT.fullmatch(text)
    if match is None:
        raise refuse("", "not_an_amount")
    decimals = match["decimals"] or ""
    if len(decimals) > currency.minor_digits:
        most = f"{currency.minor_digits} decimals at most" if currency.minor_digits else "no decimals"
        raise refuse(f", with {most} in {currency.code}", "too_many_decimals")
    if len(match["whole"]) > _LARGEST_WHOLE_DIGITS:
        raise refuse(f", below 10^{_LARGEST_WHOLE_DIGITS}", "too_large")
    minor = int(match["whole"] + decimals.ljust(currency.minor_digits, "0"))
    if match["sign"] and not below_zero:
        raise refuse(", not below zero", "below_zero")
    return Money(-minor if match["sign"] else minor, currency)
