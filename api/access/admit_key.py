"""Admit the holder of a key to a request, and note on which day a key was used last."""

from datetime import UTC, datetime

from api.access.judge_key import Live, Refused, StoredKey, judge_key
from api.access.keys import KeyParts, KeyRefused, read_key
from api.access.store import find_shown, mark_used
from api.database import Database, DatabaseUnavailable, ReadSession


def judge_text(reads: ReadSession, text: str, now: datetime) -> Live | Refused:
    """Judge a key as it was sent: one look-up by its shown part, none where it has not the form of a key.

    Nothing is written. For the outside, `or_refuse` turns every fault into the same refusal.
    """
    parts = _parts(text)
    return judge_key(find_shown(reads, parts.shown) if parts else None, parts, now)


def _parts(text: str) -> KeyParts | None:
    try:
        return read_key(text)
    except KeyRefused:
        return None


def note_use(database: Database, key: StoredKey, now: datetime) -> bool:
    """Note the day (UTC) of a key's last use in a transaction of its own; tell whether it was written.

    It is written once a day and key: `key` as it was read for the request tells whether it has to be. To be
    called when the request is answered and its own transaction ended. A database that is too busy to
    write is passed over, since the next request notes it.
    """
    today = now.astimezone(UTC).date()
    if key.last_used_on is not None and key.last_used_on >= today:
        return False
    try:
        with database.write() as writes:
            return mark_used(writes, key.id, today)
    except DatabaseUnavailable:
        return False
