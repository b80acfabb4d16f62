"""Ranges of lengths and counts among the fields of a catalogue entry. Pure."""

from api.measurement.counts import EXPECTED as EXPECTED_COUNT
from api.measurement.counts import parse_count
from api.measurement.ranges import EXPECTED_RANGE, RANGE_MARK, LengthRange, parse_range
from api.measurement.refusals import RefusedValue
from api.wear_parts.entry_fields import EntryFields


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
    if isinstance(value, str) and RANGE_MARK in value:
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
