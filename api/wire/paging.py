"""Pieces of a list: a limit, and an opaque cursor that is bound to the filters it was made for."""

import base64
import binascii
import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from typing import Annotated, Any, Final, TypeVar
from urllib.parse import urlencode

from pydantic import Field

from api.errors import FieldFault, InvalidInput, shown
from api.wire.inputs import Request
from api.wire.shapes import Page

Row = TypeVar("Row")
Item = TypeVar("Item")

DEFAULT_LIMIT: Final = 50


class ListQuery(Request):
    """The parameters that every list takes; each list adds its filters."""

    limit: Annotated[int, Field(ge=1, le=1000, description="most items in this piece")] = DEFAULT_LIMIT
    cursor: Annotated[
        str | None, Field(max_length=400, description="where to go on, as `next` of the piece before gave it")
    ] = None

    def filters(self) -> dict[str, Any]:
        """Return the filters that were given, by name, as they go into a query string."""
        return self.model_dump(mode="json", exclude_none=True, exclude={"limit", "cursor"})

    def after(self) -> str | None:
        """Return the sort key after which this piece starts, or nothing for the first piece.

        Raises `InvalidInput` when the cursor is not one of ours or belongs to other filters.
        """
        if self.cursor is None:
            return None
        try:
            seal, key = json.loads(base64.urlsafe_b64decode(self.cursor.encode("ascii") + b"=="))
        except (ValueError, UnicodeError, binascii.Error, RecursionError):
            seal, key = None, None
        if seal != _seal(self.filters()) or not isinstance(key, str) or "\0" in key:
            expected = "a cursor that `next` gave for these same filters"
            raise InvalidInput.of([FieldFault(("cursor",), shown(self.cursor), expected, "foreign_cursor")])
        return key


def _seal(filters: Mapping[str, Any]) -> str:
    text = json.dumps(filters, sort_keys=True)
    return hashlib.blake2b(text.encode(), digest_size=6).hexdigest()


def page(
    path: str,
    query: ListQuery,
    rows: Sequence[Row],
    total: int,
    key: Callable[[Row], str],
    item: Callable[[Row], Item],
) -> Page[Item]:
    """Make a piece of a list from one row more than its limit asks for.

    `rows` holds up to `query.limit + 1` rows in order of `key`; the extra one tells that more follow.
    """
    shown_rows = rows[: query.limit]
    following = None
    if len(rows) > query.limit:
        sealed = json.dumps([_seal(query.filters()), key(shown_rows[-1])])
        cursor = base64.urlsafe_b64encode(sealed.encode()).decode().rstrip("=")
        following = f"{path}?{urlencode({**query.filters(), 'limit': query.limit, 'cursor': cursor})}"
    return Page(items=[item(row) for row in shown_rows], total=total, next=following)
