"""What every request passes first: a host that is served, a request id, security headers, one log line."""

import re
import time
from collections.abc import Callable
from typing import Final

import structlog
from litestar.datastructures import Headers, MutableScopeHeaders
from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send
from uuid_utils import uuid7

from api.errors import shown

REQUEST_ID: Final = "x-request-id"
_HOST: Final = re.compile(r"(?P<name>\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9._-]+)(:[0-9]{1,5})?")
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


def envelope(app: ASGIApp, allowed: tuple[str, ...], refuse: Callable[[str, str], bytes]) -> ASGIApp:
    """Wrap the application: a served host, one request id in and out, security headers, one log line.

    `refuse` gives the problem for a foreign host and a request id; it is answered with 400.
    """

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

        host = Headers.from_scope(scope).get("host", "")
        try:
            if host_is_served(host, allowed):
                await app(scope, receive, answer)
            else:
                await _answer_at_once(answer, refuse(host, identity))
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


async def _answer_at_once(send: Send, body: bytes) -> None:
    headers = [(b"content-type", b"application/problem+json"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": 400, "headers": headers})
    await send({"type": "http.response.body", "body": body, "more_body": False})


def host_is_served(host: str, allowed: tuple[str, ...]) -> bool:
    """Tell whether a Host header is well formed and names one of the allowed hosts; any port will do."""
    found = _HOST.fullmatch(host)
    return found is not None and ("*" in allowed or found["name"].strip("[]").lower() in allowed)
