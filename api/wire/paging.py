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

    def after(self, path: str) -> str | None:
        """Return the sort key after which this piece starts, or nothing for the first piece.

        Raises `InvalidInput` when the cursor is not one of ours or belongs to another path or other filters.
        """
        if self.cursor is None:
            return None
        try:
            told = json.loads(base64.urlsafe_b64decode(self.cursor.encode("ascii") + b"=="))
        except (ValueError, UnicodeError, binascii.Error, RecursionError):
            told = None
        seal, key = told if isinstance(told, list) and len(told) == 2 else (None, None)
        if seal != _seal(path, self.filters()) or not _is_key(key):
            expected = "a cursor that `next` gave for this path and these same filters"
            raise InvalidInput.of([FieldFault(("cursor",), shown(self.cursor), expected, "foreign_cursor")])
        return str(key)


def _is_key(key: object) -> bool:
    """Tell whether a cursor's key is text that a database can compare: no NUL, no half of a surrogate."""
    return isinstance(key, str) and not any(char == "\0" or "\ud800" <= char <= "\udfff" for char in key)


def _seal(path: str, filters: Mapping[str, Any]) -> str:
    text = json.dumps([path, filters], sort_keys=True)
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
        sealed = json.dumps([_seal(path, query.filters()), key(shown_rows[-1])])
        cursor = base64.urlsafe_b64encode(sealed.encode()).decode().rstrip("=")
        following = f"{path}?{urlencode({**query.filters(), 'limit': query.limit, 'cursor': cursor})}"
    return Page(items=[item(row) for row in shown_rows], total=total, next=following)
