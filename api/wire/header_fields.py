"""Header fields as they were sent: several lines of one name are one list (RFC 9110 5.3)."""

from litestar.datastructures import Headers


def field_value(headers: Headers, name: str) -> str | None:
    """Return the value of a field, its lines joined by commas; None where it was not sent."""
    lines = headers.getall(name, [])
    return ", ".join(lines) if lines else None
