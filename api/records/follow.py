"""Let a size or a seat follow its records: each former value kept, each change noted, in one transaction."""

from datetime import datetime
from typing import Any

from sqlalchemy import delete, insert

from api.columns import columns
from api.database import WriteSession
from api.exchange.catalogue_rows import seat_row, size_value_row
from api.measurement.ranges import parse_range
from api.records.learn import Held, Lesson
from api.records.lessons import Lessons
from api.records.measurables import Measurable
from api.records.store import note_lesson
from api.starters.entries import SeatFeatureEntry
from api.starters.tables import SeatFeature
from api.wear_parts.check_size import NOT_APPLICABLE
from api.wear_parts.entries import SizeValueEntry
from api.wear_parts.tables import SizeValue

_seat = columns(SeatFeature)
_size_value = columns(SizeValue)


def follow_records(
    writes: WriteSession, lessons: Lessons, kind: str | None, record_id: str, now: datetime
) -> bool:
    """Put every target in place of what is held, and keep what was; return whether anything changed.

    `kind` is a size's; `record_id` is the record that was made, withdrawn or restored.
    """
    news = [one for one in lessons.lessons if one.is_news]
    for lesson in news:
        note_lesson(writes, lessons.subject, record_id, lesson, now)
        if lessons.subject.column == "size_id":
            _put_size_value(writes, lessons, kind or "", lesson)
        else:
            _put_seat_feature(writes, lessons, lesson)
    return bool(news)


def _put_size_value(writes: WriteSession, lessons: Lessons, kind: str, lesson: Lesson) -> None:
    size_id, code = lessons.subject.id, lesson.feature
    writes.run(delete(SizeValue).where(_size_value.size_id == size_id, _size_value.dimension_code == code))
    if lesson.target.value is None:
        return
    row = size_value_row(size_id, kind, _size_value_entry(lessons.features[code], lesson.target))
    known = {"knowledge_uncertainty_nm": lesson.target.uncertainty_nm}
    writes.run(insert(SizeValue), {**row, **known})


def _size_value_entry(feature: Measurable, held: Held) -> SizeValueEntry:
    words, members = held.value or "", _members(feature, held)
    return SizeValueEntry(
        dimension=feature.code,
        provenance=held.provenance or "",
        applies=words != NOT_APPLICABLE,
        choice=words if feature.measure == "choice" and words != NOT_APPLICABLE else None,
        **members,
    )


def _put_seat_feature(writes: WriteSession, lessons: Lessons, lesson: Lesson) -> None:
    position_id, code = lessons.subject.id, lesson.feature
    writes.run(delete(SeatFeature).where(_seat.position_id == position_id, _seat.feature == code))
    if lesson.target.value is None:
        return
    feature = lessons.features[code]
    is_text = feature.measure in ("choice", "thread")
    entry = SeatFeatureEntry(
        feature=code, text=lesson.target.value if is_text else None, **_members(feature, lesson.target)
    )
    writes.run(insert(SeatFeature), seat_row(position_id, entry))


def _members(feature: Measurable, held: Held) -> dict[str, Any]:
    """Return the range or the count that a value states, in the words of the entries."""
    if held.value is None or held.value == NOT_APPLICABLE:
        return {}
    if feature.measure == "count":
        return {"count": int(held.value)}
    if feature.measure == "length":
        limits = parse_range(held.value)
        return {"lower_nm": limits.lower_nm, "upper_nm": limits.upper_nm}
    return {}
