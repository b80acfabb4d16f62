"""Rates, chances and hours as exact fractions.

Rates reach us as decimal strings ("0.05" is 5 %), hours and chances as JSON numbers. A JSON number
means the decimal that was written, so it is taken from its shortest text, never from its binary
expansion: 0.1 hours are exactly one tenth.
"""

import re
from fractions import Fraction

import attrs

from api.errors import DomainError, FieldFault, shown

LONGEST_RATE = 10
"""Longest text taken for a rate, in characters (our judgement)."""

RATE_PATTERN = r"^(0(\.[0-9]{1,8})?|1(\.0{1,8})?)$"
"""What a rate looks like on the wire: 0 to 1, eight decimals at most."""

RATE_WORDS = "a fraction from '0' to '1' as a decimal string, such as '0.05' for 5 %"
"""The same in words."""

_RATE = re.compile(RATE_PATTERN)


@attrs.frozen
class RateRefused(DomainError):
    """A text is not a rate from 0 to 1."""

    value: str
    expected: str = RATE_WORDS
    code: str = "not_a_rate"

    def explain(self) -> str:
        """Return what was given and what was expected."""
        return f"{self.value!r} is not a rate; expected {self.expected}."

    def fault(self, *path: str | int) -> FieldFault:
        """Return this as a fault of the value at `path`."""
        return FieldFault(path, self.value, self.expected, self.code)


def parse_fraction(text: str) -> Fraction:
    """Return the rate (0 to 1, exact) that a decimal string such as "0.05" states.

    Eight decimals at most, no sign, no exponent, no per-cent sign. Raises `RateRefused`.
    """
    if len(text) > LONGEST_RATE or text.endswith("\n") or _RATE.match(text) is None:
        raise RateRefused(shown(text))
    return Fraction(text)


def exact(number: float) -> Fraction:
    """Return a finite JSON number as the decimal that was written: `exact(0.1) == Fraction(1, 10)`."""
    return Fraction(repr(number))


def number_text(value: Fraction) -> str:
    """Return a fraction for a sentence, to six significant digits: `1.2`, `0.333333`."""
    return f"{float(value):.6g}"
