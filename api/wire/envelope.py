"""What every request passes first: a served host, the gate, a request id, security headers, a log line."""

import re
import time
from collections.abc import Awaitable, Callable, Mapping
from typing import Final

import attrs
import structlog
from litestar.datastructures import Headers, MutableScopeHeaders
from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send

from api.errors import shown
from api.wire.header_fields import field_value
from api.wire.request_ids import REQUEST_ID, request_id

_HOST: Final = re.compile(r"(?P<name>\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9._-]+)(:[0-9]{1,5})?")
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


@attrs.frozen
class Turned:
    """An answer given at once, before the application is asked: status, problem, fields."""

    status: int
    content: bytes
    fields: Mapping[str, str] = {}


@attrs.frozen
class Passed:
    """What the gate says of a request: the fields of its answer; the answer itself where it is turned away.

    `afterwards` is done once it is answered; `logged` is who asked, for the line in the log.
    """

    fields: Mapping[str, str]
    turned: Turned | None = None
    afterwards: Callable[[], Awaitable[None]] | None = None
    logged: Mapping[str, str] = {}


GatePasses = Callable[[Scope, str], Awaitable[Passed]]
"""Judges a request with a served host, by its scope and its id; the body is not read yet."""


def envelope(
    app: ASGIApp, allowed: tuple[str, ...], refuse: Callable[[str, str], Turned], passes: GatePasses
) -> ASGIApp:
    """Wrap the application: a served host, the gate, a request id in and out, security headers, a log line.

    `refuse` gives the answer to a foreign host, for a request id.
    """

    async def wrapped(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != ScopeType.HTTP:
            await app(scope, receive, send)
            return
        started = time.perf_counter()
        identity = request_id(scope)
        status = 0
        passed = Passed({})

        async def answer(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                headers = MutableScopeHeaders.from_message(message)
                headers[REQUEST_ID] = identity
                for name, value in (*SECURITY_HEADERS.items(), *passed.fields.items()):
                    headers.setdefault(name, value)
            await send(message)

        host = field_value(Headers.from_scope(scope), "host") or ""
        try:
            if not host_is_served(host, allowed):
                await _answer_at_once(answer, refuse(host, identity))
                return
            passed = await passes(scope, identity)
            if passed.turned is None:
                await app(scope, receive, answer)
            else:
                await _answer_at_once(answer, passed.turned)
        finally:
            _log.info(
                "answered",
                request=identity,
                method=str(scope.get("method")),
                path=shown(scope["path"]),
                status=status,
                milliseconds=round((time.perf_counter() - started) * 1000, 2),
                **passed.logged,
            )
            if passed.afterwards is not None:
                await passed.afterwards()

    return wrapped


async def _answer_at_once(send: Send, turned: Turned) -> None:
    headers = [
        (b"content-type", b"application/problem+json"),
        (b"content-length", str(len(turned.content)).encode()),
        *((name.lower().encode(), value.encode()) for name, value in turned.fields.items()),
    ]
    await send({"type": "http.response.start", "status": turned.status, "headers": headers})
    await send({"type": "http.response.body", "body": turned.content, "more_body": False})


def host_is_served(host: str, allowed: tuple[str, ...]) -> bool:
    """Tell whether a Host header is well formed and names one of the allowed hosts; any port will do."""
    found = _HOST.fullmatch(host)
    return found is not None and ("*" in allowed or found["name"].strip("[]").lower() in allowed)
