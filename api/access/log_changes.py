"""The log of changes: who, when, what was before and after; kept in the transaction of the change."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, Literal

import msgspec
from sqlalchemy import Row, func, insert, select
from uuid_utils import uuid7

from api.access.moments import write_moment
from api.access.tables import AuditEntry
from api.columns import columns
from api.database import ReadSession, WriteSession
from api.wire.writing import WriteFacts

Action = Literal["create", "change", "withdraw", "restore", "revoke"]
_entry = columns(AuditEntry)


def log_change(
    writes: WriteSession,
    facts: WriteFacts,
    action: Action,
    noun: str,
    name: str,
    before: Mapping[str, Any] | None,
    after: Mapping[str, Any] | None,
    version: int | None = None,
) -> None:
    """Note a change of `noun` at `name`; `before` and `after` must hold no secret.

    `version` is the one of the catalogue that the change made.
    """
    writes.run(
        insert(AuditEntry),
        {
            "id": str(uuid7()),
            "at": write_moment(datetime.now(UTC)),
            "holder": facts.caller.holder,
            "key_id": facts.caller.key_id,
            "address": facts.caller.address,
            "request_id": facts.request_id,
            "action": action,
            "noun": noun,
            "name": name,
            "before": None if before is None else msgspec.json.encode(before).decode(),
            "after": None if after is None else msgspec.json.encode(after).decode(),
            "catalogue_version": version,
        },
    )


def list_changes(
    reads: ReadSession, noun: str | None, name: str | None, after: str | None, limit: int
) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` changes, the latest first, and how many match; `after` is the last id seen."""
    conditions = [
        column == value for column, value in ((_entry.noun, noun), (_entry.name, name)) if value is not None
    ]
    total = reads.number(select(func.count()).select_from(AuditEntry).where(*conditions))
    statement = select(*_entry).where(*conditions).order_by(_entry.id.desc()).limit(limit)
    return reads.rows(statement if after is None else statement.where(_entry.id < after)), total
