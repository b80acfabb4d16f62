"""Whether a key that was sent may be used, judged the same way and in the same time whatever is wrong."""

import hmac
from datetime import date, datetime
from typing import Final, Literal

import attrs

from api.access.keys import KeyParts, KeyRefused, require_scope

Fault = Literal["malformed", "unknown", "wrong", "revoked", "expired"]
"""Why a key is refused: for the log of whoever keeps the service, never for whoever sent the key."""

_NOBODYS_DIGEST: Final = "0" * 64
_NO_KEYS_DIGEST: Final = "f" * 64
"""Compared where there is no such key, and where what was sent is none: the comparison always takes place."""


@attrs.frozen
class StoredKey:
    """What is kept of a key: its holder, scopes and times (UTC); never the key itself."""

    id: str
    holder: str
    shown: str
    digest: str = attrs.field(repr=False)
    scopes: tuple[str, ...]
    made_at: datetime
    expires_at: datetime
    revoked_at: datetime | None = None
    last_used_on: date | None = None

    def state(self, now: datetime) -> Literal["live", "revoked", "expired"]:
        """Return whether it may be used at a time; it expires at the very second that it names."""
        if self.revoked_at is not None:
            return "revoked"
        return "live" if now < self.expires_at else "expired"


@attrs.frozen
class Live:
    """A key that may be used."""

    key: StoredKey

    def require(self, scope: str) -> None:
        """Raise `ScopeMissing` unless the key's scopes suffice for this one."""
        require_scope(self.key.scopes, scope)


@attrs.frozen
class Refused:
    """A key that may not be used, and why; the outside is told `KeyRefused` and no more."""

    fault: Fault


def judge_key(stored: StoredKey | None, presented: KeyParts | None, now: datetime) -> Live | Refused:
    """Judge the key that was sent against the one stored under its identifier (nothing, if there is none).

    `presented` is nothing where the text had not the form of a key. The digests are compared in constant
    time, against a dummy where nothing is stored, and nothing is looked at before they were compared.
    """
    expected = stored.digest if stored else _NOBODYS_DIGEST
    same = hmac.compare_digest(expected, presented.digest if presented else _NO_KEYS_DIGEST)
    if presented is None:
        return Refused("malformed")
    if stored is None:
        return Refused("unknown")
    if not same:
        return Refused("wrong")
    state = stored.state(now)
    return Live(stored) if state == "live" else Refused(state)


def or_refuse(judged: Live | Refused) -> Live:
    """Return the key if it may be used; raises `KeyRefused` whatever the fault was."""
    if isinstance(judged, Refused):
        raise KeyRefused
    return judged
