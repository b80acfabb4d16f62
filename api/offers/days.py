"""The day on which an offer is asked for."""

import re
from datetime import UTC, date, datetime
from typing import Annotated, Any, Final

from pydantic import BeforeValidator, Field

from api.wire.inputs import Request

_CALENDAR_DAY: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _calendar_day(value: Any) -> Any:
    """Refuse what pydantic would read as a day beside ISO 8601: seconds since 1970, a time of day."""
    if not isinstance(value, str) or _CALENDAR_DAY.fullmatch(value) is None:
        raise ValueError("a calendar day such as 2026-11-25")
    return value


Day = Annotated[date, BeforeValidator(_calendar_day)]


class AsOf(Request):
    """On which day offers have to hold."""

    as_of: Annotated[
        Day | None, Field(description="day on which the price has to hold; today unless stated")
    ] = None


def today() -> date:
    """Return the present day in UTC."""
    return datetime.now(UTC).date()
