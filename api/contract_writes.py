"""What the OpenAPI document says of operations that change something, and of access keys."""

from typing import Any, Final

from api.access.exactly_once import IdempotencyKeyMissing, IdempotencyKeyReused, StillWorking
from api.access.keys import KeyRefused, ScopeMissing
from api.access.rate_limits import TooManyRequests
from api.errors import DomainError
from api.wire.conditions import HeaderRefused, PreconditionFailed, PreconditionRequired
from api.wire.operation import Operation
from api.wire.writing import IDEMPOTENCY_FIELD, KeyNeeded, WriteRules

ACCESS_KEY: Final = "accessKey"
SECURITY_SCHEMES: Final = {
    ACCESS_KEY: {
        "type": "http",
        "scheme": "bearer",
        "description": "An access key, `startwright_…`, with the scope that the operation names. Reading is "
        "open unless the settings close it.",
    }
}
ALWAYS: Final[frozenset[type[DomainError]]] = frozenset({KeyRefused, TooManyRequests})
"""What any request may be answered: a key that may not be used, too many requests."""

_KEY: Final = {
    "name": IDEMPOTENCY_FIELD,
    "in": "header",
    "description": "a quoted text, a new one for each new thing; the same request with the same key is "
    "answered as the first was, for 24 hours (draft-ietf-httpapi-idempotency-key-header-07)",
    "schema": {"type": "string", "pattern": '^"[ !#-\\[\\]-~]{1,255}"$'},
    "example": '"8e03978e-40d5-43e8-bc93-6894a57f9324"',
}
_IF_MATCH: Final = {
    "name": "If-Match",
    "in": "header",
    "description": "the strong entity tag of what was read, or *; 412 where the thing itself was changed "
    "since (RFC 9110 13.1.1), not what else was told of it, such as the best offer of a part",
    "schema": {"type": "string", "pattern": '^(\\*|"[!#-~]*")$'},
    "example": '"0123456789abcdef01234567"',
}


def write_parameters(told: Operation) -> list[dict[str, Any]]:
    """Return the header fields of a write: a create's key, the condition of a change."""
    if told.writes is None:
        return []
    if told.writes.creates:
        return [{**_KEY, "required": True}]
    key = {**_KEY, "required": False}
    return [key, {**_IF_MATCH, "required": True}] if told.writes.conditional else [key]


def write_problems(told: Operation) -> set[type[DomainError]]:
    """Return what access and conditions may refuse of an operation."""
    if told.needs is not None:
        return {KeyNeeded, ScopeMissing}
    if told.writes is None:
        return set()
    refused: set[type[DomainError]] = {KeyNeeded, ScopeMissing, HeaderRefused, StillWorking}
    refused.add(IdempotencyKeyReused)
    if told.writes.creates:
        return refused | {IdempotencyKeyMissing}
    return refused | ({PreconditionFailed, PreconditionRequired} if told.writes.conditional else set())


def scope_of(told: Operation) -> str | None:
    """Return the scope that an operation needs of a key."""
    return told.needs if told.writes is None else told.writes.scope


def write_answers(answer: dict[str, Any], rules: WriteRules, tag: dict[str, Any]) -> dict[str, Any]:
    """Return the answers of a write by status: done, or (a create with `validate_only`) only checked."""
    headers: dict[str, Any] = {"ETag": tag} if rules.conditional else {}
    if not rules.creates:
        return {"200": {**answer, "headers": headers}}
    location = {"description": "where it stands now", "schema": {"type": "string"}}
    checked = {name: held for name, held in answer.items() if name not in ("links", "headers")}
    return {
        "201": {**answer, "headers": {**headers, "Location": location}},
        "200": {**checked, "description": "Checked as if it were done (validate_only); nothing was changed"},
    }
