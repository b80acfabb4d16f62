"""The id of a request, in and out."""

import re
from typing import Final

from litestar.datastructures import Headers
from litestar.types import Scope
from uuid_utils import uuid7

REQUEST_ID: Final = "x-request-id"
_TAKEN_ID: Final = re.compile(r"[A-Za-z0-9._-]{8,64}")


def request_id(scope: Scope) -> str:
    """Return the id of a request: the caller's own where it is well formed, else a new one."""
    state = scope.setdefault("state", {})
    if REQUEST_ID not in state:
        given = Headers.from_scope(scope).get(REQUEST_ID, "")
        state[REQUEST_ID] = given if _TAKEN_ID.fullmatch(given) else str(uuid7())
    return str(state[REQUEST_ID])
