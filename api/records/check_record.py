"""What a measurement record must be, given what the database knows of its subject."""

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any

import attrs
from sqlalchemy import Row

from api.database import ReadSession
from api.errors import FieldFault, InvalidInput, UnknownCode, shown
from api.interchange.answer_part import find_part
from api.measurement.instruments import Instrument
from api.measurement.raw_readings import RawSetup, check_setup
from api.records.bench_readings import BenchReading, read_bench_readings
from api.records.lessons import faults_of_new_size, lessons_of_new_size, require_kind
from api.records.measurables import Measurable, measurables_of_kind, measurables_of_seat
from api.starters.routes import require_position
from api.wear_parts.entries import KindEntry
from api.wear_parts.entry_fields import EntryFields
from api.wear_parts.keys import is_code, unknown_code
from api.wear_parts.store import find_size, kind_codes, size_codes
from api.wear_parts.stored_kinds import kind_entry

RECORD_FIELDS = (
    "part",
    "size",
    "kind",
    "family",
    "position",
    "specimen",
    "measured_on",
    "instrument",
    "surface",
    "state",
    "readings",
)
ONE_SUBJECT = "one of part, size, and family with position"


@attrs.frozen(kw_only=True)
class RecordEntry:
    """A checked record: the row of its size (or the code and kind of a new one) or of its position."""

    size: Row[Any] | None = None
    part: Row[Any] | None = None
    position: Row[Any] | None = None
    new_size: tuple[str, KindEntry] | None = None
    specimen: str
    measured_on: str
    readings: tuple[BenchReading, ...]


@attrs.define(kw_only=True)
class _Subject:
    """What a record is of, as far as that is known; faults are noted, and the rest is still read."""

    size: Row[Any] | None = None
    part: Row[Any] | None = None
    position: Row[Any] | None = None
    new_size: tuple[str, KindEntry] | None = None
    features: Mapping[str, Measurable] | None = None


def check_record(
    reads: ReadSession, entry: Mapping[str, Any], instruments: Mapping[str, Instrument]
) -> RecordEntry:
    """Return the record that an entry states. Raises `InvalidInput` with every fault."""
    fields = EntryFields(entry, RECORD_FIELDS)
    subject = _subject(reads, fields)
    specimen, measured_on = fields.text("specimen"), fields.day("measured_on")
    if measured_on > (_today() + timedelta(days=1)).isoformat():
        fields.refuse("measured_on", measured_on, "a day that is not to come", "in_future")
    told = fields.given("readings")
    if not isinstance(told, Mapping) or not told:
        expected = "one reading at least, by dimension or feature"
        fields.refuse("readings", told if told else "", expected, "missing")
        told = {}
    readings = _readings(fields, subject, told, instruments)
    if fields.sound and subject.new_size is not None:
        fields.take(_faults_of_new_size(reads, subject.new_size, specimen, readings))
    fields.settle()
    return RecordEntry(
        size=subject.size,
        part=subject.part,
        position=subject.position,
        new_size=subject.new_size,
        specimen=specimen,
        measured_on=measured_on,
        readings=tuple(readings),
    )


def _today() -> date:
    return datetime.now(UTC).date()


def _readings(
    fields: EntryFields,
    subject: _Subject,
    told: Mapping[str, Any],
    instruments: Mapping[str, Instrument],
) -> Sequence[BenchReading]:
    setup = RawSetup(
        instrument=_word(fields, "instrument"),
        surface=_word(fields, "surface") or "worn",
        state=_word(fields, "state") or "free",
    )
    faults = check_setup(setup, instruments)
    fields.take(faults)
    if subject.features is None:  # what cannot be measured of an unknown thing is not told either
        return ()
    try:
        sound = RawSetup() if faults else setup
        return read_bench_readings(_shaped(told), subject.features, sound, instruments)
    except InvalidInput as refused:
        fields.take(refused.faults)
        return ()


def _word(fields: EntryFields, name: str) -> str | None:
    value = fields.given(name)
    return None if value is None else str(value)


def _shaped(told: Mapping[str, Any]) -> dict[str, Any]:
    """Leave out readings that are nothing of the contract's: it has refused them by itself."""
    return {code: value for code, value in told.items() if _is_reading(value)}


def _is_reading(value: Any) -> bool:
    if not isinstance(value, Mapping):
        return isinstance(value, str | int) and not isinstance(value, bool)
    repeats = value.get("repeats") or []
    texts = [held for name, held in value.items() if name != "repeats" and held is not None]
    return isinstance(repeats, list) and all(isinstance(one, str) for one in [*repeats, *texts])


def _subject(reads: ReadSession, fields: EntryFields) -> _Subject:
    """Return what a record is of, after noting in `fields` what cannot be."""
    named = [name for name in ("part", "size", "family") if fields.given(name) is not None]
    if not named:
        fields.refuse("size", "", ONE_SUBJECT, "missing")
    for extra in named[1:]:
        fields.refuse(extra, fields.given(extra), f"{ONE_SUBJECT}; {named[0]} is given", "second_subject")
    seated = fields.given("position") is not None
    if seated and named[:1] != ["family"]:
        fields.refuse(
            "position", fields.given("position"), "a position only beside its family", "not_applicable"
        )
    if named and named[0] != "size" and fields.given("kind") is not None:
        fields.refuse("kind", fields.given("kind"), "a kind only beside a size", "not_applicable")
    if not named or len(named) > 1 or not isinstance(fields.given(named[0]), str):
        return _Subject()
    if named[0] == "family":
        return _seat(reads, fields)
    return _part(reads, fields) if named[0] == "part" else _size(reads, fields)


def _part(reads: ReadSession, fields: EntryFields) -> _Subject:
    given = str(fields.given("part"))
    try:
        row = find_part(reads, given)
    except UnknownCode:
        row = None
    if row is None:
        fields.refuse("part", given, "the id of a known part", "unknown_part")
        return _Subject()
    return _of_size(reads, find_size(reads, row.size_code), row)


def _of_size(reads: ReadSession, size: Row[Any] | None, part: Row[Any] | None = None) -> _Subject:
    if size is None:
        return _Subject()
    features = measurables_of_kind(require_kind(reads, size.kind_code))
    return _Subject(size=size, part=part, features=features)


def _size(reads: ReadSession, fields: EntryFields) -> _Subject:
    code = fields.code("size")
    kind = fields.known("kind", kind_codes(reads), "kind") if fields.given("kind") is not None else None
    row = find_size(reads, code) if is_code(code) else None
    if row is not None:
        if kind is not None and kind != row.kind_code:
            fields.refuse("kind", kind, f"{row.kind_code}, the kind of {code}", "other_kind")
        return _of_size(reads, row)
    found = kind_entry(reads, kind) if kind is not None else None
    if found is not None:
        return _Subject(new_size=(code, found), features=measurables_of_kind(found))
    if kind is None and is_code(code):
        near = unknown_code("size", code, size_codes(reads)).nearest
        fields.refuse(
            "size", code, "a known size, or a kind beside it to make a new one", "unknown_size", near
        )
    return _Subject()


def _seat(reads: ReadSession, fields: EntryFields) -> _Subject:
    family, position = str(fields.given("family")), fields.given("position")
    if not isinstance(position, str):
        if position is None:
            fields.refuse("position", "", "the position whose seat was measured", "missing")
        return _Subject()
    try:
        row = require_position(reads, family, position)
    except UnknownCode as refused:
        member = "family" if refused.noun == "family" else "position"
        expected = "a known family" if member == "family" else f"a position of family {family}"
        fields.refuse(member, shown(fields.given(member)), expected, f"unknown_{member}", refused.nearest)
        return _Subject()
    return _Subject(position=row, features=measurables_of_seat(position))


def _faults_of_new_size(
    reads: ReadSession, new_size: tuple[str, KindEntry], specimen: str, readings: Sequence[BenchReading]
) -> list[FieldFault]:
    """Return what a first specimen lacks for a size of its kind, at the readings concerned."""
    code, kind = new_size
    lessons = lessons_of_new_size(reads, kind, code, specimen, readings)
    read = {one.feature: one for one in readings}
    faults = []
    for fault in faults_of_new_size(kind, code, lessons):
        dimension = str(fault.path[-1])
        expected, told = fault.expected, fault.value
        if dimension in read and not read[dimension].tells_the_size:
            expected = f"{expected}; read unworn and free, since this makes a new size"
            told = read[dimension].written[0]
        faults.append(FieldFault(("readings", dimension), told, expected, fault.code, fault.nearest))
    return faults
