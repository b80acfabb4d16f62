"""What a request that changes something brings, and what it is answered."""

from collections.abc import Callable, Mapping
from typing import Annotated, Any, Final, Literal, Protocol

import attrs
from pydantic import Field

from api.errors import DomainError
from api.wire.inputs import Request

IDEMPOTENCY_FIELD: Final = "Idempotency-Key"
VALIDATE_ONLY: Final = "validate_only"

Scope = Literal["catalogue", "prices", "estimates", "admin"]


class WriteQuery(Request):
    """The one parameter that every write takes."""

    validate_only: Annotated[
        bool,
        Field(description="true: check everything and answer as if it were done, but change nothing"),
    ] = False


@attrs.frozen
class Caller:
    """Who asks: the id, holder and scopes of the key, where one was sent; the address in any case."""

    address: str
    key_id: str | None = None
    holder: str | None = None
    scopes: tuple[str, ...] = ()


@attrs.frozen(kw_only=True)
class WriteRules:
    """What a write needs: the scope of the key, whether it creates (then exactly once).

    Whether a change that does not create is `conditional`: it names the state it is for (`If-Match`).
    """

    scope: Scope
    creates: bool = False
    conditional: bool = True


@attrs.frozen(kw_only=True)
class WriteFacts:
    """A request that changes something: what it is, who sent it, and its conditions as they were sent."""

    method: str
    path: str
    body: bytes
    caller: Caller
    request_id: str
    rules: WriteRules
    idempotency_key: str | None = None
    if_match: str | None = None
    if_none_match: str | None = None
    validate_only: bool = False


@attrs.frozen(kw_only=True)
class Written:
    """What a write comes to: status, answer, where it stands, its strong entity tag.

    `kept` is what a repeated request is answered, where that differs (a secret is shown once).
    """

    status: int
    answer: Any
    location: str | None = None
    tag: str | None = None
    kept: Any = None


@attrs.frozen
class Encoded:
    """An answer as bytes with its header fields."""

    status: int
    content: bytes
    fields: Mapping[str, str]


class Writer(Protocol):
    """Runs a write: in one transaction, exactly once, kept or (validate only) undone."""

    def run(self, facts: WriteFacts, work: Callable[[Any], Written]) -> Encoded:
        """Return the answer of `work`, which is given the open write session."""


@attrs.frozen
class KeyNeeded(DomainError):
    """A write without an access key."""

    scope: str

    def explain(self) -> str:
        """Say what is needed and how it is sent."""
        return (
            f"This needs an access key with the scope {self.scope!r}, sent as "
            "'Authorization: Bearer startwright_…'."
        )
