"""Admit the holder of a key to a request, and note on which day a key was used last."""

from datetime import UTC, date, datetime
from threading import Lock

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


class LastUses:
    """Notes the day of each key's last use: one write a day and key, one try at a time in a process."""

    def __init__(self, database: Database) -> None:
        """Name the database that keeps the keys."""
        self._database = database
        self._lock = Lock()
        self._tried: dict[str, date] = {}

    def note(self, key: StoredKey, now: datetime) -> bool:
        """Note the day (UTC) of a key's use in a transaction of its own; tell whether it was written.

        `key` as it was read for the request tells whether it has to be. To be called off the event loop
        when the request is answered and its own transaction ended. A database that is too busy to write
        is passed over, since a later request notes it.
        """
        today = now.astimezone(UTC).date()
        if key.last_used_on is not None and key.last_used_on >= today:
            return False
        with self._lock:
            if self._tried.get(key.id) == today:
                return False
            self._tried[key.id] = today
        try:
            with self._database.write() as writes:
                return mark_used(writes, key.id, today)
        except DatabaseUnavailable:
            with self._lock:
                self._tried.pop(key.id, None)
            return False
