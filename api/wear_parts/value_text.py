"""What a size records, in words. Pure."""

from api.measurement.lengths import format_length
from api.wear_parts.entries import SizeValue


def range_text(lower_nm: int, upper_nm: int) -> str:
    """Return a range as text, `12.500..12.518 mm`, or one length where both ends are equal."""
    upper = format_length(upper_nm)
    return upper if lower_nm == upper_nm else f"{format_length(lower_nm).removesuffix(' mm')}..{upper}"


def value_text(value: SizeValue) -> str:
    """Return what a size says of one dimension as text."""
    if value.lower_nm is not None and value.upper_nm is not None:
        return range_text(value.lower_nm, value.upper_nm)
    if value.count is not None:
        return str(value.count)
    return value.choice if value.choice is not None else "does not apply"
