"""Let the catalogue learn of one record: its subject follows, each change noted as one of the subject."""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Row

from api.access.log_changes import Action, log_change
from api.database import ReadSession, WriteSession
from api.records.follow import follow_records
from api.records.learn import before_records
from api.records.lessons import Lessons, lessons_of_seat, lessons_of_size
from api.records.store import knowledge_of, learned
from api.starters.routes import require_position
from api.upkeep.positions import POSITIONS
from api.upkeep.read_entry import WITHDRAWN_ON
from api.upkeep.sizes import SIZES
from api.wear_parts.catalogue_version import grow_version
from api.wear_parts.store import find_size
from api.wire.writing import WriteFacts


def learn_from(writes: WriteSession, facts: WriteFacts, record: Row[Any], before: str | None = None) -> None:
    """Let the size or the seat of a record follow all its records, after this one was made or changed.

    `record` is the row as it stands now, `before` from which day it was withdrawn until now, if it was.
    """
    if record.size_code is None:
        _seat_learns(writes, facts, record)
    else:
        _size_learns(writes, facts, record, before)


def _seat_learns(writes: WriteSession, facts: WriteFacts, record: Row[Any]) -> None:
    row = require_position(writes, record.family_code, record.position_code)
    earlier = {**POSITIONS.entry(writes, row), WITHDRAWN_ON: row.withdrawn_on}
    if follow_records(writes, lessons_of_seat(writes, row), None, record.id, datetime.now(UTC)):
        later = {**POSITIONS.entry(writes, row), WITHDRAWN_ON: row.withdrawn_on}
        version = grow_version(writes)
        log_change(writes, facts, "change", POSITIONS.name, POSITIONS.path(row), earlier, later, version)


def _size_learns(writes: WriteSession, facts: WriteFacts, record: Row[Any], before: str | None) -> None:
    row = _size_row(writes, record)
    is_new = row.provenance is None  # no value yet: this record makes it
    earlier = None if is_new else _state(writes, row)
    lessons = lessons_of_size(writes, row)
    action: Action = "create" if is_new else "change"
    if rests_on_nothing(lessons):
        # Without a record that tells it nothing would be left: it is withdrawn with what it rested on.
        if row.withdrawn_on is not None:
            return
        SIZES.set_withdrawn(writes, row, record.withdrawn_on)
        action, changed = "withdraw", True
    else:
        changed = follow_records(writes, lessons, row.kind_code, record.id, datetime.now(UTC))
        if record.withdrawn_on is None and row.withdrawn_on is not None and row.withdrawn_on == before:
            SIZES.set_withdrawn(writes, row, None)
            action, changed = "restore", True
    if changed:
        later = _size_row(writes, record)
        version = grow_version(writes)
        log_change(
            writes, facts, action, SIZES.name, SIZES.path(later), earlier, _state(writes, later), version
        )


def rests_on_nothing(lessons: Lessons) -> bool:
    """Tell whether all that is known of a subject came from records, and none of those left tells of it."""
    return all(
        one.evidence.specimens == 0
        and before_records(one.present, [learned(row) for row in lessons.history.get(one.feature, ())]).value
        is None
        for one in lessons.lessons
    )


def _size_row(reads: ReadSession, record: Row[Any]) -> Row[Any]:
    row = find_size(reads, record.size_code)
    if row is None:
        raise ValueError(f"the record {record.id} refers to its size; the database's own check keeps it")
    return row


def _state(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    """Return a size as the log tells it; how well it is known is part of what searches rest on."""
    return {
        **SIZES.entry(reads, row),
        WITHDRAWN_ON: row.withdrawn_on,
        "knowledge_uncertainty_nm": knowledge_of(reads, row.id),
    }
