"""Ranges of lengths as text: `12.500..12.518 mm`, or one value for both ends. Pure."""

import re
from functools import lru_cache
from typing import Final, NamedTuple

from api.measurement.lengths import parse_length
from api.measurement.refusals import UnreadableLength

EXPECTED_RANGE = "a length or a range with its unit, such as 12.500..12.518 mm"

RANGE_MARK = ".."
LENGTHS_REMEMBERED: Final = 16_384
"""Lengths whose reading is remembered: the sizes of a catalogue share their limits (some 3 MB at most)."""
_UNIT = re.compile(r"""[^\W\d_]+\.?$|["″]$""")


class LengthRange(NamedTuple):
    """Both ends of a range in nanometres, `lower_nm <= upper_nm`."""

    lower_nm: int
    upper_nm: int


class ReversedRange(UnreadableLength):
    """A range whose lower end is above its upper end. Code: `reversed_range`."""


def parse_range(text: str) -> LengthRange:
    """Return the range that `text` states; one value alone is both ends.

    The unit at the end counts for both ends, unless the first has its own. Raises `UnreadableLength`
    (each end's reasons, and `empty` for a missing end) or `ReversedRange`.
    """
    if RANGE_MARK not in text:
        value = _nm(text, None)
        return LengthRange(value, value)
    first, last = (end.strip() for end in text.split(RANGE_MARK, 1))
    if not first or not last:
        raise UnreadableLength.because(text, EXPECTED_RANGE, "empty")
    upper = _nm(last, None)
    unit = _UNIT.search(last)
    lower = _nm(first, unit.group() if unit else None)
    if lower > upper:
        raise ReversedRange.because(text, "the lower end first", "reversed_range")
    return LengthRange(lower, upper)


@lru_cache(maxsize=LENGTHS_REMEMBERED)
def _nm(text: str, default_unit: str | None) -> int:
    return parse_length(text, default_unit).nm
