"""How the gate is asked of each request, and what those whom it turns away are answered."""

from collections.abc import Awaitable, Callable
from functools import partial
from typing import Final

import attrs
import msgspec
from litestar.concurrency import sync_to_thread
from litestar.datastructures import Headers
from litestar.types import Scope

from api.access.gate import Admission, Gate
from api.errors import DomainError
from api.problems import problem_of
from api.wire.conditions import HeaderRefused
from api.wire.envelope import GatePasses, Passed, Turned
from api.wire.header_fields import field_value
from api.wire.operation import CALLER_KEY
from api.wire.refusals import BodyTooLarge
from api.wire.writing import Caller

UNCOUNTED: Final = "/health/"
"""Beneath it nobody is counted or asked for a key: what watches the service has to get through."""


def ask_gate(gate: Gate, body_limit: int) -> GatePasses:
    """Return the gate as the envelope takes it: limits before keys, keys before bodies."""

    async def passes(scope: Scope, identity: str) -> Passed:
        headers = Headers.from_scope(scope)
        scope["state"][CALLER_KEY] = Caller("")
        if (coding := headers.get("transfer-encoding")) is not None and "content-length" in headers:
            return Passed({}, _read_in_two_ways(coding, identity), logged=_from_where(scope))
        declared = headers.get("content-length", "0")
        if declared.isdigit() and (len(declared) > 15 or int(declared) > body_limit):
            return Passed({}, turned_away(BodyTooLarge(body_limit), identity), logged=_from_where(scope))
        if scope["path"].startswith(UNCOUNTED):
            return Passed({})
        admission = await _admit(gate, scope, field_value(headers, "authorization"))
        scope["state"][CALLER_KEY] = admission.caller
        refusal = admission.refusal or _unread(gate, admission.caller)
        turned = None if refusal is None else turned_away(refusal, identity)
        return Passed(admission.fields, turned, _note(gate, admission), _who(scope, admission))

    return passes


def turned_away(error: DomainError, identity: str) -> Turned:
    """Return the answer to a request that is turned away."""
    problem = problem_of(error, instance=f"urn:uuid:{identity}")
    return Turned(problem.status, msgspec.json.encode(problem), extra_fields(problem.status))


def _read_in_two_ways(coding: str, identity: str) -> Turned:
    """Return the answer to a body whose length is told twice; what follows it is not listened to.

    Somebody between who believes the other one would take the rest for a request of another caller.
    Source: RFC 9112 section 6.3, item 3.
    """
    expected = "to stand without Content-Length beside it"
    return attrs.evolve(
        turned_away(HeaderRefused("Transfer-Encoding", coding, expected), identity),
        fields={"Connection": "close"},
    )


def extra_fields(status: int) -> dict[str, str]:
    """Return the fields that an answer of this status carries: 401 names how to authenticate (RFC 9110)."""
    return {"WWW-Authenticate": 'Bearer realm="startwright"'} if status == 401 else {}


def _from_where(scope: Scope) -> dict[str, str]:
    """Return the address at the other end, as the log tells it."""
    client = scope.get("client")
    return {"address": client[0]} if client else {}


def _who(scope: Scope, admission: Admission) -> dict[str, str]:
    """Return who asked, as the log tells it: the id of the key, or why the one that was sent is refused."""
    caller, fault = admission.caller, admission.fault
    key = {} if caller.key_id is None else {"key": caller.key_id}
    return {**_from_where(scope), **key, **({} if fault is None else {"key_fault": fault})}


async def _admit(gate: Gate, scope: Scope, authorization: str | None) -> Admission:
    client = scope.get("client")
    address = client[0] if client else None
    if authorization is None:
        return gate.admit_anyone(address)
    return await sync_to_thread(gate.admit_holder, address, authorization)


def _unread(gate: Gate, caller: Caller) -> DomainError | None:
    """Return why somebody without a key may not even read, where reading is closed."""
    try:
        gate.allow(caller, None)
    except DomainError as refusal:
        return refusal
    return None


def _note(gate: Gate, admission: Admission) -> Callable[[], Awaitable[None]] | None:
    key = admission.key
    return None if key is None else partial(sync_to_thread, gate.note_use, key)
