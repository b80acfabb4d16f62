"""The gate that every request passes: limits first, then who asks; no body is read yet."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import Final

import attrs

from api.access.admit_key import LastUses, judge_text
from api.access.count_requests import RequestCounts
from api.access.judge_key import Fault, Refused, StoredKey
from api.access.keys import KeyRefused, require_scope
from api.access.rate_limits import (
    ADDRESS,
    KEY,
    REFUSED_KEYS,
    Policy,
    Tally,
    TooManyRequests,
    counted_address,
    first_refusal,
    limit_fields,
)
from api.database import Database
from api.errors import DomainError
from api.wire.writing import Caller, KeyNeeded

_SCHEME: Final = "bearer"


@attrs.frozen
class Admission:
    """A request at the gate: who asks, the fields that its answer carries, why it is turned away (if it is).

    `key` is the key that was sent and may be used; `fault` is why one that was sent may not be, for the log.
    """

    caller: Caller
    fields: Mapping[str, str]
    refusal: DomainError | None = None
    key: StoredKey | None = None
    fault: Fault | None = None


@attrs.frozen(kw_only=True)
class Openness:
    """What may be done without a key."""

    reading: bool = True
    writing: bool = False


class Gate:
    """Counts and admits; one for each worker."""

    def __init__(
        self,
        database: Database,
        counts: RequestCounts,
        openness: Openness,
        quotas: tuple[int, int, int] = (ADDRESS.quota, KEY.quota, REFUSED_KEYS.quota),
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        """`quotas` are a minute's: from an address without a key, with one key, of wrong keys."""
        self._database = database
        self._counts = counts
        self._openness = openness
        self._address = Policy(ADDRESS.name, quotas[0], ADDRESS.window_seconds)
        self._key = Policy(KEY.name, quotas[1], KEY.window_seconds)
        self._refused = Policy(REFUSED_KEYS.name, quotas[2], REFUSED_KEYS.window_seconds)
        self._now = now
        self._uses = LastUses(database)

    def admit_anyone(self, address: str | None) -> Admission:
        """Admit a request without a key: counted by address alone, nothing is read from the database."""
        whom = counted_address(address)
        return _told(Caller(whom), [self._counts.count(self._address, whom)])

    def admit_holder(self, address: str | None, authorization: str) -> Admission:
        """Admit a request with an `Authorization` field: one look-up, counted by key.

        An address from which too many wrong keys came is turned away before its key is looked at.
        """
        whom = counted_address(address)
        refused = self._counts.peek(self._refused, whom)
        if not refused.allowed:
            return _told(Caller(whom), [refused])
        scheme, _, text = authorization.partition(" ")
        with self._database.read() as reads:
            judged = judge_text(reads, text.strip() if scheme.lower() == _SCHEME else "", self._now())
        if isinstance(judged, Refused):
            tally = self._counts.count(self._refused, whom)
            return Admission(Caller(whom), limit_fields([tally]), KeyRefused(), fault=judged.fault)
        key = judged.key
        caller = Caller(whom, key.id, key.holder, key.scopes)
        return attrs.evolve(_told(caller, [self._counts.count(self._key, key.id)]), key=key)

    def note_use(self, key: StoredKey) -> None:
        """Note the day of a key's use, after the answer."""
        self._uses.note(key, self._now())

    def allow(self, caller: Caller, scope: str | None) -> None:
        """Raise unless who asks may do what needs `scope` (nothing: read)."""
        if caller.key_id is None:
            if not (self._openness.reading if scope is None else self._openness.writing and scope != "admin"):
                raise KeyNeeded(scope or "any")
        elif scope is not None:
            require_scope(caller.scopes, scope)

    def close(self) -> None:
        """Give the counts back."""
        self._counts.close()


def _told(caller: Caller, tallies: list[Tally]) -> Admission:
    refusing = first_refusal(tallies)
    refusal = None if refusing is None else TooManyRequests.told(refusing)
    return Admission(caller, limit_fields(tallies), refusal)
