"""Ranges of lengths as a catalogue states them: `12.500..12.518 mm`, or one value for both ends. Pure."""

import re
from typing import NamedTuple

from api.measurement.counts import EXPECTED as EXPECTED_COUNT
from api.measurement.counts import parse_count
from api.measurement.lengths import parse_length
from api.measurement.refusals import RefusedValue, UnreadableLength
from api.wear_parts.entry_fields import EntryFields

EXPECTED_RANGE = "a length or a range with its unit, such as 12.500..12.518 mm"

_SEPARATOR = ".."
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
    if _SEPARATOR not in text:
        value = parse_length(text).nm
        return LengthRange(value, value)
    first, last = (end.strip() for end in text.split(_SEPARATOR, 1))
    if not first or not last:
        raise UnreadableLength.because(text, EXPECTED_RANGE, "empty")
    upper = parse_length(last).nm
    unit = _UNIT.search(last)
    lower = parse_length(first, default_unit=unit.group() if unit else None).nm
    if lower > upper:
        raise ReversedRange.because(text, "the lower end first", "reversed_range")
    return LengthRange(lower, upper)


def read_range(fields: EntryFields, name: str) -> LengthRange | None:
    """Return a required range of lengths, or None after noting the fault in `fields`."""
    value = fields.given(name)
    if value is None:
        fields.refuse(name, "", EXPECTED_RANGE, "missing")
    elif not isinstance(value, str):
        fields.refuse(name, value, EXPECTED_RANGE, "not_text")
    else:
        try:
            return parse_range(value)
        except RefusedValue as refused:
            fields.measured(name, refused)
    return None


def read_length(fields: EntryFields, name: str) -> int | None:
    """Return one required length in nanometres, or None after noting the fault (a range is one)."""
    value = fields.given(name)
    if isinstance(value, str) and _SEPARATOR in value:
        fields.refuse(name, value, "one length with its unit, such as 2.117 mm", "unreadable")
        return None
    found = read_range(fields, name)
    return found.lower_nm if found else None


def read_count(fields: EntryFields, name: str) -> int | None:
    """Return a required count of teeth, splines or brushes (0 to 999), or None after noting the fault."""
    value = fields.given(name)
    if not isinstance(value, str | int):
        fields.refuse(
            name, "" if value is None else value, EXPECTED_COUNT, "missing" if value is None else "not_whole"
        )
        return None
    try:
        return parse_count(value)
    except RefusedValue as refused:
        fields.measured(name, refused)
        return None
