"""Make, list and revoke access keys."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

import attrs
from uuid_utils import uuid7

from api.access.judge_key import StoredKey
from api.access.keys import SCOPES, NewKey, make_key
from api.access.store import add_key, find_key, live_keys_of, mark_revoked
from api.access.tables import HOLDER_LENGTH
from api.database import ReadSession, WriteSession
from api.errors import DomainError, FieldFault, InvalidInput, UnknownCode, shown
from api.measurement.refusals import nearest_name

LIVE_KEYS: Final = 2
"""Keys that one holder may have in use at once: the one in use, and the one that replaces it."""
DAYS_OF_A_KEY: Final = 365
LONGEST_DAYS: Final = 730
"""A key that nobody renews for two years is a forgotten one (our judgement)."""


@attrs.frozen
class TooManyKeys(DomainError):
    """A holder has as many keys in use as he may."""

    holder: str
    live: tuple[str, ...]

    def explain(self) -> str:
        """Name the holder and the shown parts of his keys, and say what to do first."""
        return (
            f"{shown(self.holder)} has {len(self.live)} keys in use ({', '.join(self.live)}); "
            f"no more than {LIVE_KEYS} may be in use at once, so revoke one of them first."
        )


def make_access_key(
    writes: WriteSession, holder: str, scopes: Sequence[str], days: int, now: datetime
) -> tuple[NewKey, StoredKey]:
    """Make a key for a holder that lives for `days` (1 to 730) from `now`; it can never be read again.

    Writers of keys take turns, so that two at once cannot exceed what a holder may have. Raises
    `InvalidInput` with every fault (members `holder`, `scopes`, `days`), and `TooManyKeys`.
    """
    faults = key_faults(holder, scopes, days)
    if faults:
        raise InvalidInput.of(faults)
    writes.wait_to_be_alone()
    live = live_keys_of(writes, holder, now)
    if len(live) >= LIVE_KEYS:
        raise TooManyKeys(holder, tuple(key.shown for key in live))
    new = make_key()
    whole = now.replace(microsecond=0)
    kept = StoredKey(
        id=str(uuid7()),
        holder=holder,
        shown=new.parts.shown,
        digest=new.parts.digest,
        scopes=tuple(scope for scope in SCOPES if scope in scopes),
        made_at=whole,
        expires_at=whole + timedelta(days=days),
    )
    add_key(writes, kept)
    return new, kept


def revoke_access_key(writes: WriteSession, name: str, now: datetime) -> StoredKey:
    """Revoke the key of this id or shown part from `now` on; one that is revoked stays as it is.

    Returns the key as it then is. Raises `UnknownCode`.
    """
    found = require_key(writes, name)
    mark_revoked(writes, found.id, max(now, found.made_at))
    return find_key(writes, found.id) or found


def require_key(reads: ReadSession, name: str) -> StoredKey:
    """Return the key of this id or shown part; raises `UnknownCode`."""
    found = find_key(reads, name) if name.isprintable() else None  # PostgreSQL takes no NUL
    if found is None:
        raise UnknownCode("access key", name)
    return found


def key_faults(holder: str | None, scopes: Sequence[str] | None, days: int | None) -> list[FieldFault]:
    """Return everything that is wrong with the members of a key to be made; None is passed over."""
    return [
        *([] if holder is None else _holder_faults(holder)),
        *([] if scopes is None else _scope_faults(scopes)),
        *([] if days is None else _day_faults(days)),
    ]


def _holder_faults(holder: str) -> list[FieldFault]:
    if 1 <= len(holder) <= HOLDER_LENGTH and holder.isprintable() and holder == holder.strip():
        return []
    expected = f"a name of 1 to {HOLDER_LENGTH} printable characters without a space before or behind"
    return [FieldFault(("holder",), shown(holder), expected, "not_a_name")]


def _scope_faults(scopes: Sequence[str]) -> list[FieldFault]:
    expected = f"one of {', '.join(SCOPES)}"
    if not scopes:
        return [FieldFault(("scopes",), "[]", f"at least {expected}", "missing")]
    faults = [
        FieldFault(
            ("scopes", place), shown(scope), expected, "unknown_choice", nearest_name(scope, list(SCOPES))
        )
        for place, scope in enumerate(scopes)
        if scope not in SCOPES
    ]
    twice = [place for place, scope in enumerate(scopes) if scope in SCOPES and scope in scopes[:place]]
    return faults + [
        FieldFault(("scopes", place), scopes[place], "each scope once", "repeated") for place in twice
    ]


def _day_faults(days: int) -> list[FieldFault]:
    if 1 <= days <= LONGEST_DAYS:
        return []
    return [FieldFault(("days",), str(days), f"1 to {LONGEST_DAYS} days", "out_of_range")]
