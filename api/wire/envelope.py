"""What every request passes first: a host that is served, a request id, security headers, one log line."""

import re
import time
from typing import Final

import structlog
from litestar.datastructures import Headers, MutableScopeHeaders
from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send
from uuid_utils import uuid7

from api.errors import shown

REQUEST_ID: Final = "x-request-id"
_TAKEN_ID: Final = re.compile(r"[A-Za-z0-9._-]{8,64}")
SECURITY_HEADERS: Final = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
        "connect-src 'self'; font-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    ),
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
_log = structlog.get_logger("startwright.request")


def request_id(scope: Scope) -> str:
    """Return the id of a request: the caller's own where it is well formed, else a new one."""
    state = scope.setdefault("state", {})
    if REQUEST_ID not in state:
        given = Headers.from_scope(scope).get(REQUEST_ID, "")
        state[REQUEST_ID] = given if _TAKEN_ID.fullmatch(given) else str(uuid7())
    return str(state[REQUEST_ID])


def envelope(app: ASGIApp) -> ASGIApp:
    """Wrap the application: one request id in and out, security headers, one structured log line."""

    async def wrapped(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != ScopeType.HTTP:
            await app(scope, receive, send)
            return
        started = time.perf_counter()
        identity = request_id(scope)
        status = 0

        async def answer(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                headers = MutableScopeHeaders.from_message(message)
                headers[REQUEST_ID] = identity
                for name, value in SECURITY_HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        try:
            await app(scope, receive, answer)
        finally:
            _log.info(
                "answered",
                request=identity,
                method=str(scope.get("method")),
                path=shown(scope["path"]),
                status=status,
                milliseconds=round((time.perf_counter() - started) * 1000, 2),
            )

    return wrapped


def host_is_served(host: str, allowed: tuple[str, ...]) -> bool:
    """Tell whether a Host header names one of the allowed hosts; a port does not matter."""
    name = host.rsplit(":", 1)[0] if not host.endswith("]") else host
    return "*" in allowed or name.strip("[]").lower() in allowed
