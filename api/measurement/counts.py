"""Counts of teeth, splines and brushes: plain whole numbers, exact."""

import re

from api.measurement.characters import plain
from api.measurement.refusals import UnreadableCount

GREATEST_COUNT = 999
"""Above any count a starter holds; a ring gear has some 80 to 180 teeth (our judgement)."""

EXPECTED = f"a whole number from 0 to {GREATEST_COUNT}"

_ECHOED_INTEGER = 10**30  # longer ones are described, not written out: writing them is slow or refused


def parse_count(value: str | int) -> int:
    """Return the count that `value` states: 0 to 999, no unit, no decimals, no exponent.

    Raises `UnreadableCount` whose code tells the reason (`not_whole` also for true and false).
    """
    if isinstance(value, bool):
        raise UnreadableCount.because(value, EXPECTED, "not_whole")
    number = value if isinstance(value, int) else _read(value)
    if not 0 <= number <= GREATEST_COUNT:
        echo = number if abs(number) < _ECHOED_INTEGER else f"an integer of {number.bit_length()} bits"
        raise UnreadableCount.because(echo, EXPECTED, "negative" if number < 0 else "too_large")
    return number


def _read(text: str) -> int:
    written = plain(text, UnreadableCount, EXPECTED)
    if not re.fullmatch(r"[-+]?\d+", written, re.ASCII):
        raise UnreadableCount.because(text, EXPECTED, "not_whole")
    return int(written)
