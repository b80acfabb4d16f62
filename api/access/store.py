"""Queries of access keys."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from sqlalchemy import Row, func, insert, or_, select, update

from api.access.judge_key import StoredKey
from api.access.moments import read_moment, write_moment
from api.access.tables import AccessKey
from api.columns import columns
from api.database import ReadSession, WriteSession

_key = columns(AccessKey)


def find_shown(reads: ReadSession, shown: str) -> StoredKey | None:
    """Return the key whose shown part this is."""
    row = reads.first(select(*_key).where(_key.shown == shown))
    return None if row is None else _read(row)


def find_key(reads: ReadSession, name: str) -> StoredKey | None:
    """Return the key that has this id or this shown part."""
    row = reads.first(select(*_key).where(or_(_key.id == name, _key.shown == name)))
    return None if row is None else _read(row)


def list_keys(reads: ReadSession) -> Sequence[StoredKey]:
    """Return every key by holder, the oldest first."""
    rows = reads.rows(select(*_key).order_by(_key.holder, _key.made_at, _key.id))
    return [_read(row) for row in rows]


def list_keys_by_age(
    reads: ReadSession, holder: str | None, after: str | None, limit: int
) -> tuple[Sequence[StoredKey], int]:
    """Return up to `limit` keys (of a holder), the oldest first, and how many there are.

    `after` is the last id seen.
    """
    conditions = [] if holder is None else [_key.holder == holder]
    total = reads.number(select(func.count()).select_from(AccessKey).where(*conditions))
    statement = select(*_key).where(*conditions).order_by(_key.id).limit(limit)
    rows = reads.rows(statement if after is None else statement.where(_key.id > after))
    return [_read(row) for row in rows], total


def live_keys_of(reads: ReadSession, holder: str, now: datetime) -> Sequence[StoredKey]:
    """Return the keys of a holder that may be used at a time, the oldest first."""
    statement = (
        select(*_key)
        .where(_key.holder == holder, _key.revoked_at.is_(None), _key.expires_at > write_moment(now))
        .order_by(_key.made_at, _key.id)
    )
    return [_read(row) for row in reads.rows(statement)]


def add_key(writes: WriteSession, key: StoredKey) -> None:
    """Keep a new key."""
    values = {
        "id": key.id,
        "holder": key.holder,
        "shown": key.shown,
        "digest": key.digest,
        "scopes": " ".join(key.scopes),
        "made_at": write_moment(key.made_at),
        "expires_at": write_moment(key.expires_at),
    }
    writes.run(insert(AccessKey), values)


def mark_revoked(writes: WriteSession, key_id: str, now: datetime) -> bool:
    """Revoke a key at a time; one that was revoked before keeps the time it has, and nothing is returned."""
    statement = update(AccessKey).where(_key.id == key_id, _key.revoked_at.is_(None))
    return writes.run(statement.values(revoked_at=write_moment(now))) == 1


def mark_used(writes: WriteSession, key_id: str, today: date) -> bool:
    """Note the day of a key's last use unless that or a later day is noted; tell whether it was."""
    text = today.isoformat()
    statement = update(AccessKey).where(
        _key.id == key_id, or_(_key.last_used_on.is_(None), _key.last_used_on < text)
    )
    return writes.run(statement.values(last_used_on=text)) == 1


def _read(row: Row[Any]) -> StoredKey:
    return StoredKey(
        id=row.id,
        holder=row.holder,
        shown=row.shown,
        digest=row.digest,
        scopes=tuple(row.scopes.split(" ")),
        made_at=read_moment(row.made_at),
        expires_at=read_moment(row.expires_at),
        revoked_at=None if row.revoked_at is None else read_moment(row.revoked_at),
        last_used_on=None if row.last_used_on is None else date.fromisoformat(row.last_used_on),
    )
