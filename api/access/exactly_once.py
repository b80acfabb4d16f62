"""Run a write in one transaction, once for each idempotency key, kept or (validate only) undone.

The stored answer is committed with the work that it tells of, so that a server that is killed leaves
neither half of it. While a key is worked on, others who send it are told so at once; who died at it holds
nothing: the locks are the operating system's and the database's own.
Source: draft-ietf-httpapi-idempotency-key-header-07.
"""

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Final

import attrs
import http_sf
import msgspec

from api.access.in_flight import InFlight
from api.access.moments import read_moment, write_moment
from api.access.once_store import StoredAnswer, add_answer, find_answer, purge_answers
from api.database import Database, ReadSession, WriteSession
from api.errors import DomainError, shown
from api.wire.conditions import HeaderRefused
from api.wire.writing import IDEMPOTENCY_FIELD, Encoded, WriteFacts, Written

KEPT_FOR: Final = timedelta(hours=24)
LONGEST_KEY: Final = 255
"""Longest idempotency key in characters (our judgement)."""

EXPECTED: Final = (
    f'a quoted text of 1 to {LONGEST_KEY} characters, such as "8e03978e-40d5-43e8-bc93-6894a57f9324"'
)
_encoder = msgspec.json.Encoder()


@attrs.frozen
class IdempotencyKeyMissing(DomainError):
    """A create without the key by which a repeated one would be known."""

    def explain(self) -> str:
        """Say what to send."""
        return (
            f"The header {IDEMPOTENCY_FIELD} is missing; expected {EXPECTED}, a new one for each new thing."
        )


@attrs.frozen
class IdempotencyKeyReused(DomainError):
    """The key came before with another request."""

    key: str

    def explain(self) -> str:
        """Name the key."""
        return (
            f"The {IDEMPOTENCY_FIELD} {shown(self.key)!r} came before with another request; take a new one."
        )


@attrs.frozen
class StillWorking(DomainError):
    """The first request with this key is not answered yet."""

    key: str

    def explain(self) -> str:
        """Say when to try again."""
        return (
            f"The request with {IDEMPOTENCY_FIELD} {shown(self.key)!r} is still being worked on; try again."
        )


@attrs.frozen
class _Claim:
    """The key that a request came with, and the digests under which its answer is kept and known."""

    key: str
    name: str
    request: str

    def still_working(self) -> DomainError:
        """Return what somebody else is told who comes with the key meanwhile."""
        return StillWorking(self.key)


class _Undone(Exception):
    """Carries the answer of a write that was only to be validated out of its transaction."""

    def __init__(self, answer: Encoded) -> None:
        self.answer = answer


class ExactlyOnce:
    """Runs writes on a database; one for each worker."""

    def __init__(
        self,
        database: Database,
        in_flight: InFlight,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self._database = database
        self._in_flight = in_flight
        self._now = now

    def run(self, facts: WriteFacts, work: Callable[[WriteSession], Written]) -> Encoded:
        """Return the answer of `work`, or the stored one where the same request was answered before.

        Raises what `work` raises (nothing is kept then), `HeaderRefused`, `IdempotencyKeyMissing`,
        `IdempotencyKeyReused`, `StillWorking`.
        """
        claim = _claim(facts)
        if claim is None and facts.rules.creates:
            raise IdempotencyKeyMissing
        if facts.validate_only:
            return self._validated(claim, work)
        if claim is None:
            with self._database.write() as writes:
                return _encoded(work(writes))
        with self._in_flight.hold(claim.name, claim.still_working), self._database.write() as writes:
            self._in_flight.hold_within(writes, claim.name, claim.still_working)
            return self._once(writes, claim, work)

    def _once(self, writes: WriteSession, claim: _Claim, work: Callable[[WriteSession], Written]) -> Encoded:
        now = self._now()
        purge_answers(writes, write_moment(now - KEPT_FOR))
        held = self._held(writes, claim, now)
        if held is not None:
            return held
        written = work(writes)
        answer = _encoded(written)
        kept = answer if written.kept is None else _encoded(attrs.evolve(written, answer=written.kept))
        add_answer(writes, StoredAnswer(claim.name, claim.request, write_moment(now), kept))
        return answer

    def _held(self, reads: ReadSession, claim: _Claim, now: datetime) -> Encoded | None:
        """Return what this very request was answered less than a day ago, if it was."""
        held = find_answer(reads, claim.name)
        if held is None or read_moment(held.answered_at) <= now - KEPT_FOR:
            return None
        if held.request != claim.request:
            raise IdempotencyKeyReused(claim.key)
        return held.answer

    def _validated(self, claim: _Claim | None, work: Callable[[WriteSession], Written]) -> Encoded:
        """Return what the request would be answered; all that it did is undone."""
        try:
            with self._database.write() as writes:
                held = None if claim is None else self._held(writes, claim, self._now())
                raise _Undone(held or _encoded(work(writes)))
        except _Undone as undone:
            return Encoded(200, undone.answer.content, {})


def _claim(facts: WriteFacts) -> _Claim | None:
    if facts.idempotency_key is None:
        return None
    key = read_idempotency_key(facts.idempotency_key)
    name = _digest(f"{facts.caller.key_id or ''}\n{key}".encode())
    return _Claim(key, name, _digest(f"{facts.method} {facts.path}\n".encode() + facts.body))


def read_idempotency_key(text: str) -> str:
    """Read the field: one string of RFC 8941, with its quotes. Raises `HeaderRefused`."""
    try:
        parsed = http_sf.parse(text.encode("latin-1"), tltype="item")
    except (ValueError, UnicodeError):
        parsed = None
    value = parsed[0] if isinstance(parsed, tuple) and not parsed[1] else None
    if type(value) is not str or not 1 <= len(value) <= LONGEST_KEY:
        raise HeaderRefused(IDEMPOTENCY_FIELD, text, EXPECTED)
    return value


def _encoded(written: Written) -> Encoded:
    fields = {}
    if written.location is not None:
        fields["Location"] = written.location
    if written.tag is not None:
        fields["ETag"] = written.tag
    return Encoded(written.status, _encoder.encode(written.answer), fields)


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
