"""Measurement records as whoever measures writes them: made whole, then only withdrawn and restored."""

from collections.abc import Mapping, Sequence
from typing import Any

import attrs
from sqlalchemy import Row, insert
from uuid_utils import uuid7

from api.database import ReadSession, WriteSession
from api.errors import FieldFault, InvalidInput
from api.measurement.instruments import Instrument
from api.records.bench_readings import BenchReading
from api.records.bodies import MeasurementRecordPatch, MeasurementRecordRequest
from api.records.check_record import RECORD_FIELDS, RecordEntry, check_record
from api.records.learning import learn_from
from api.records.present import record_answer
from api.records.store import Subject, add_record, find_record, readings_of, records_like, set_withdrawn
from api.starters.store import find_family
from api.upkeep.known_items import withdrawn_fault
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.wear_parts.check_size import NOT_APPLICABLE
from api.wear_parts.tables import Size
from api.wire.writing import WriteFacts

NOUN = "measurement record"


def record_noun(facts: WriteFacts, instruments: Mapping[str, Instrument]) -> Noun[RecordEntry]:
    """Return how records are found, checked and kept, in the request that `facts` tell of."""

    def add(writes: WriteSession, entry: RecordEntry) -> Address:
        record_id = _add(writes, entry)
        learn_from(writes, facts, _row(writes, record_id))
        return (record_id,)

    def withdraw(writes: WriteSession, row: Row[Any], day: str | None) -> None:
        set_withdrawn(writes, row.id, day)
        learn_from(writes, facts, _row(writes, row.id), before=row.withdrawn_on)

    return Noun(
        name=NOUN,
        scope="catalogue",
        model=MeasurementRecordRequest,
        patch_model=MeasurementRecordPatch,
        fixed=RECORD_FIELDS,
        path=lambda row: f"/v1/measurement-records/{row.id}",
        address=lambda row: (row.id,),
        find=lambda reads, address: find_record(reads, address[0]),
        entry=record_entry,
        check=lambda reads, entry: check_record(reads, entry, instruments),
        refuse=_refuse,
        refuse_standing=_refuse_standing,
        add=add,
        change=lambda writes, row, entry: None,
        set_withdrawn=withdraw,
        answer=record_answer,
    )


def changing_noun(facts: WriteFacts, instruments: Mapping[str, Instrument]) -> Noun[Any]:
    """Return the same for a change of one: what was measured stays, and is not checked again."""
    whole: Noun[Any] = record_noun(facts, instruments)
    return attrs.evolve(
        whole,
        model=MeasurementRecordPatch,
        fixed=(),
        entry=lambda reads, row: {},
        check=lambda reads, entry: dict(entry),
    )


def record_entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    """Return a stored record in the words of the body that made it."""
    return {
        "part": row.part_id,
        "size": None if row.part_id is not None else row.size_code,
        "family": row.family_code,
        "position": row.position_code,
        "specimen": row.specimen,
        "measured_on": row.measured_on,
        "readings": {one.feature: _told(one) for one in readings_of(reads, [row.id])[row.id]},
    }


def _told(one: BenchReading) -> Any:
    if not one.applies:
        return NOT_APPLICABLE
    if not one.values_nm:
        return one.count if one.word is None else one.word
    told = {
        "text": one.written[0],
        "repeats": list(one.written[1:]),
        "instrument": one.instrument,
        "uncertainty": one.stated_uncertainty,
        "surface": one.surface,
        "state": one.state,
    }
    return {name: held for name, held in told.items() if held}


def _row(reads: ReadSession, record_id: str) -> Row[Any]:
    row = find_record(reads, record_id)
    if row is None:
        raise ValueError(f"the record {record_id} was kept a moment ago")
    return row


def _add(writes: WriteSession, entry: RecordEntry) -> str:
    size_id = None if entry.size is None else entry.size.id
    if entry.new_size is not None:
        code, kind = entry.new_size
        size_id = str(uuid7())
        writes.run(insert(Size), {"id": size_id, "code": code, "kind_code": kind.code})
    row = {
        "size_id": size_id,
        "part_id": None if entry.part is None else entry.part.id,
        "position_id": None if entry.position is None else entry.position.id,
        "specimen": entry.specimen,
        "measured_on": entry.measured_on,
    }
    return add_record(writes, row, entry.readings)


def _refuse(reads: ReadSession, entry: RecordEntry, kept: Row[Any] | None) -> None:
    """Refuse to keep the very same readings of one specimen twice: they would count as two."""
    subject = None if kept is not None else _subject(entry)
    if subject is None:
        return
    like = records_like(reads, subject, entry.specimen, entry.measured_on)
    held = readings_of(reads, [row.id for row in like])
    for row in like:
        if _said(held[row.id]) == _said(entry.readings):
            state = "" if row.withdrawn_on is None else f", withdrawn on {row.withdrawn_on}: restore it"
            raise AlreadyKnown(NOUN, entry.specimen, f"the record {row.id} has these readings{state}")


def _subject(entry: RecordEntry) -> Subject | None:
    if entry.position is not None:
        return Subject("position_id", entry.position.id)
    return None if entry.size is None else Subject("size_id", entry.size.id)


def _said(readings: Sequence[BenchReading]) -> set[Any]:
    return {
        (one.feature, one.applies, one.values_nm, one.instrument, one.surface, one.state, one.count, one.word)
        for one in readings
    }


def _refuse_standing(reads: ReadSession, entry: RecordEntry, kept: Row[Any] | None) -> None:
    """Refuse a new record of what is withdrawn."""
    if kept is not None:
        return
    faults: list[FieldFault] = []
    if entry.part is not None:
        faults += withdrawn_fault(entry.part, "part", entry.part.id, "part")
    if entry.size is not None and not faults:
        faults += withdrawn_fault(
            entry.size, "size" if entry.part is None else "part", entry.size.code, "size"
        )
    if entry.position is not None:
        faults += withdrawn_fault(entry.position, "position", entry.position.code, "position")
        family = find_family(reads, entry.position.family_code)
        faults += withdrawn_fault(family, "family", entry.position.family_code, "family")
    if faults:
        raise InvalidInput.of(faults)
