"""Queries of measurement records: one, many, what was read in them, what was learned, what is usual."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from typing import Any, Final, Literal, cast

import attrs
from sqlalchemy import ColumnElement, Row, Select, func, insert, select, update
from uuid_utils import uuid7

from api.access.moments import write_moment
from api.columns import columns
from api.database import ReadSession, WriteSession
from api.measurement.raw_readings import State, Surface
from api.records.bench_readings import BenchReading
from api.records.learn import MEASURED, Held, Learned, Lesson
from api.records.tables import LearnedValue, MeasuredValue, MeasurementReading, MeasurementRecord
from api.starters.tables import Family, Position, SeatFeature
from api.wear_parts.tables import Size, SizeValue

_family = columns(Family)
_learned = columns(LearnedValue)
_position = columns(Position)
_reading = columns(MeasurementReading)
_record = columns(MeasurementRecord)
_seat = columns(SeatFeature)
_size = columns(Size)
_size_value = columns(SizeValue)
_value = columns(MeasuredValue)

NINE_IN_TEN: Final = 9
"""Tenths of the stated tolerances that the usual one is not narrower than (our judgement)."""


@attrs.frozen
class Subject:
    """What was measured: the size or the position (its seat) of an id."""

    column: Literal["size_id", "position_id"]
    id: str


def _records() -> Select[Any]:
    return (
        select(
            *_record,
            _size.code.label("size_code"),
            func.coalesce(_size.kind_code, _position.kind_code).label("kind_code"),
            _position.code.label("position_code"),
            _family.code.label("family_code"),
        )
        .select_from(MeasurementRecord)
        .outerjoin(Size, _size.id == _record.size_id)
        .outerjoin(Position, _position.id == _record.position_id)
        .outerjoin(Family, _family.id == _position.family_id)
    )


def find_record(reads: ReadSession, record_id: str) -> Row[Any] | None:
    """Return a record with `size_code`, `kind_code`, `position_code`, `family_code`, or nothing."""
    return reads.first(_records().where(_record.id == record_id))


def list_records(
    reads: ReadSession, equal: Mapping[str, str], with_withdrawn: bool, after: str | None, limit: int
) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` records in the order of their making, and how many match.

    `equal` gives what `part`, `size`, `family`, `position` and `specimen` have to be.
    """
    by_name: dict[str, ColumnElement[Any]] = {
        "part": _record.part_id,
        "size": _size.code,
        "family": _family.code,
        "position": _position.code,
        "specimen": _record.specimen,
    }
    conditions = [by_name[name] == value for name, value in equal.items()]
    if not with_withdrawn:
        conditions.append(_record.withdrawn_on.is_(None))
    statement = _records().where(*conditions)
    total = reads.number(select(func.count()).select_from(statement.subquery()))
    piece = statement.order_by(_record.id).limit(limit)
    return reads.rows(piece if after is None else piece.where(_record.id > after)), total


def records_like(reads: ReadSession, subject: Subject, specimen: str, measured_on: str) -> Sequence[Row[Any]]:
    """Return (id, withdrawn_on) of a subject's records of one specimen and day, withdrawn or not."""
    return reads.rows(
        select(_record.id, _record.withdrawn_on)
        .where(
            _record[subject.column] == subject.id,
            _record.specimen == specimen,
            _record.measured_on == measured_on,
        )
        .order_by(_record.id)
    )


def standing_records(reads: ReadSession, subject: Subject) -> Sequence[Row[Any]]:
    """Return (id, specimen, measured_on) of a subject's records that are not withdrawn, in their order."""
    return reads.rows(
        select(_record.id, _record.specimen, _record.measured_on)
        .where(_record[subject.column] == subject.id, _record.withdrawn_on.is_(None))
        .order_by(_record.id)
    )


def readings_of(reads: ReadSession, record_ids: Collection[str]) -> dict[str, list[BenchReading]]:
    """Return what was read, by record, in the order in which it was told."""
    found: dict[str, list[BenchReading]] = defaultdict(list)
    if not record_ids:
        return found
    values: dict[tuple[str, str], list[Row[Any]]] = defaultdict(list)
    for row in reads.rows(
        select(*_value).where(_value.record_id.in_(record_ids)).order_by(_value.record_id, _value.sequence)
    ):
        values[row.record_id, row.feature].append(row)
    for row in reads.rows(
        select(*_reading)
        .where(_reading.record_id.in_(record_ids))
        .order_by(_reading.record_id, _reading.sequence)
    ):
        found[row.record_id].append(_bench_reading(row, values[row.record_id, row.feature]))
    return found


def _bench_reading(row: Row[Any], values: Sequence[Row[Any]]) -> BenchReading:
    return BenchReading(
        feature=row.feature,
        applies=bool(row.applies),
        written=tuple(value.written for value in values),
        values_nm=tuple(value.length_nm for value in values),
        instrument=row.instrument,
        instrument_nm=row.instrument_nm or 0.0,
        step_nm=row.step_nm or 0.0,
        stated_uncertainty=row.stated_uncertainty,
        surface=cast(Surface, row.surface),
        state=cast(State, row.state),
        count=row.count_value,
        word=row.choice_value,
    )


def add_record(writes: WriteSession, row: Mapping[str, Any], readings: Sequence[BenchReading]) -> str:
    """Keep a record with its readings; return its id."""
    record_id = str(uuid7())
    writes.run(insert(MeasurementRecord), {"id": record_id, **row})
    for place, reading in enumerate(readings, start=1):
        is_length = bool(reading.values_nm)
        writes.run(
            insert(MeasurementReading),
            {
                "record_id": record_id,
                "feature": reading.feature,
                "sequence": place,
                "applies": int(reading.applies),
                "instrument": reading.instrument,
                "instrument_nm": reading.instrument_nm if is_length else None,
                "step_nm": reading.step_nm if is_length else None,
                "stated_uncertainty": reading.stated_uncertainty,
                "surface": reading.surface,
                "state": reading.state,
                "count_value": reading.count,
                "choice_value": reading.word,
            },
        )
        pairs = zip(reading.written, reading.values_nm, strict=False)  # only a length has values
        rows = [
            {
                "record_id": record_id,
                "feature": reading.feature,
                "sequence": number,
                "written": written,
                "length_nm": nm,
            }
            for number, (written, nm) in enumerate(pairs, start=1)
        ]
        if rows:
            writes.run(insert(MeasuredValue), rows)
    return record_id


def set_withdrawn(writes: WriteSession, record_id: str, day: str | None) -> None:
    """Withdraw a record from a day on, or (None) restore it."""
    writes.run(update(MeasurementRecord).where(_record.id == record_id).values(withdrawn_on=day))


def history_of(reads: ReadSession, subject: Subject) -> dict[str, list[Row[Any]]]:
    """Return the changes by records of a subject's values, by feature, from the oldest to the latest."""
    found: dict[str, list[Row[Any]]] = defaultdict(list)
    for row in reads.rows(
        select(*_learned).where(_learned[subject.column] == subject.id).order_by(_learned.id)
    ):
        found[row.feature].append(row)
    return found


def learned(row: Row[Any]) -> Learned:
    """Return a change as the rules take it."""
    return Learned(
        former=Held(row.former, row.former_provenance, row.former_uncertainty_nm),
        adopted=Held(row.adopted, row.adopted_provenance, row.adopted_uncertainty_nm),
    )


def note_lesson(writes: WriteSession, subject: Subject, record_id: str, lesson: Lesson, now: Any) -> None:
    """Keep in the history what a value was, what it became, and by which record."""
    former, adopted = lesson.present, lesson.target
    writes.run(
        insert(LearnedValue),
        {
            "id": str(uuid7()),
            subject.column: subject.id,
            "feature": lesson.feature,
            "record_id": record_id,
            "learned_at": write_moment(now),
            "former": former.value,
            "former_provenance": former.provenance,
            "former_uncertainty_nm": former.uncertainty_nm,
            "adopted": adopted.value,
            "adopted_provenance": adopted.provenance,
            "adopted_uncertainty_nm": adopted.uncertainty_nm,
        },
    )


def knowledge_of(reads: ReadSession, size_id: str) -> dict[str, int]:
    """Return with which uncertainty (nm) a size's values are known, by dimension, where that is kept."""
    rows = reads.rows(
        select(_size_value.dimension_code, _size_value.knowledge_uncertainty_nm).where(
            _size_value.size_id == size_id, _size_value.knowledge_uncertainty_nm.is_not(None)
        )
    )
    return {row.dimension_code: row.knowledge_uncertainty_nm for row in rows}


def usual_width_of_dimension(reads: ReadSession, kind: str, dimension: str) -> int | None:
    """Return the tolerance (nm) that nine in ten stated sizes of a kind keep within, None without any."""
    width = _size_value.upper_nm - _size_value.lower_nm
    conditions = (
        _size_value.kind_code == kind,
        _size_value.dimension_code == dimension,
        _size_value.provenance != MEASURED,
        _size_value.upper_nm > _size_value.lower_nm,
    )
    return _ninth_tenth(reads, width, conditions)


def usual_width_of_feature(reads: ReadSession, feature: str, besides: str) -> int | None:
    """Return the same of a seat's feature over all positions but `besides` (an id)."""
    conditions = (
        _seat.feature == feature,
        _seat.position_id != besides,
        _seat.upper_nm > _seat.lower_nm,
    )
    return _ninth_tenth(reads, _seat.upper_nm - _seat.lower_nm, conditions)


def _ninth_tenth(
    reads: ReadSession, width: ColumnElement[Any], conditions: tuple[ColumnElement[bool], ...]
) -> int | None:
    many = reads.number(select(func.count(width)).where(*conditions))
    if many == 0:
        return None
    place = (many - 1) * NINE_IN_TEN // 10
    return reads.number(select(width).where(*conditions).order_by(width).offset(place).limit(1))
