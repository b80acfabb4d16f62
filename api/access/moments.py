"""Moments as they are stored: RFC 3339 in UTC to the second, `2026-11-25T13:49:13Z`.

Written so, the order of the text is the order of time.
"""

from datetime import UTC, datetime
from typing import Final

MOMENT_LENGTH: Final = 20


def write_moment(moment: datetime) -> str:
    """Write a moment (with its offset from UTC); a fraction of a second is cut off."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def read_moment(text: str) -> datetime:
    """Read a moment that `write_moment` wrote."""
    return datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC)
