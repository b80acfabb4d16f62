"""What the catalogue may learn of a size or of a seat: its values, its records, and the rules, together."""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import attrs
from sqlalchemy import Row

from api.database import ReadSession
from api.errors import FieldFault, InvalidInput
from api.measurement.ranges import parse_range
from api.records.bench_readings import BenchReading
from api.records.evidence import Evidence, OfSpecimen, weigh_feature
from api.records.learn import MEASURED, Held, Lesson, draw_lesson, keep_to_rules
from api.records.measurables import SEAT_MEASURABLES, Measurable, measurables_of_kind
from api.records.store import (
    Subject,
    history_of,
    knowledge_of,
    learned,
    readings_of,
    standing_records,
    usual_width_of_dimension,
    usual_width_of_feature,
)
from api.starters.check_position import check_position
from api.starters.entries import SeatFeatureEntry
from api.starters.store import seat_of
from api.wear_parts.check_size import NOT_APPLICABLE, check_size
from api.wear_parts.entries import KindEntry, SizeValueEntry
from api.wear_parts.store import kind_codes, size_values
from api.wear_parts.stored_kinds import kind_entry
from api.wear_parts.value_text import range_text, value_text

STATED = "stated"
"""Provenance of a seat's feature that somebody wrote: a seat records no more of where it comes from."""


@attrs.frozen(kw_only=True)
class Lessons:
    """Every lesson of a subject, with its records by feature and the history of its values.

    `standing` is how many of its records are not withdrawn, of so many `specimens`.
    """

    subject: Subject
    features: Mapping[str, Measurable]
    lessons: tuple[Lesson, ...]
    records: Mapping[str, tuple[str, ...]]
    history: Mapping[str, Sequence[Row[Any]]]
    specimens: int
    standing: int


def lessons_of_size(reads: ReadSession, row: Row[Any]) -> Lessons:
    """Return what the records say of a size (its row, with `code`), dimension by dimension of its kind."""
    kind = require_kind(reads, row.kind_code)
    known = knowledge_of(reads, row.id)
    present = {
        code: Held(size_words(value), value.provenance, known.get(code))
        for code, value in size_values(reads, [row.id]).get(row.id, {}).items()
    }
    weigher = _Weigher(
        reads=reads,
        subject=Subject("size_id", row.id),
        features=measurables_of_kind(kind),
        usual=lambda code: usual_width_of_dimension(reads, kind.code, code),
    )
    return weigher.lessons(present, lambda values: _faults_of_size(kind, row.code, values))


def lessons_of_new_size(
    reads: ReadSession, kind: KindEntry, code: str, specimen: str, readings: Sequence[BenchReading]
) -> tuple[Lesson, ...]:
    """Return what a size that nobody had would be after one specimen; raises nothing."""
    features = measurables_of_kind(kind)
    weighed = weigh_all(
        features,
        {one.feature: [OfSpecimen(specimen, one)] for one in readings},
        {},
        lambda dimension: usual_width_of_dimension(reads, kind.code, dimension),
    )
    return tuple(draw_lesson(one, Held(), evidence, ()) for one, evidence in weighed.items())


def faults_of_new_size(kind: KindEntry, code: str, lessons: Sequence[Lesson]) -> tuple[FieldFault, ...]:
    """Return what a size made of these lessons breaks, each fault at `dimensions` and the dimension."""
    values = {one.feature: one.target.value for one in lessons if one.target.value is not None}
    try:
        check_size(kind, {"code": code, "provenance": MEASURED, "dimensions": values})
    except InvalidInput as refused:
        return refused.faults
    return ()


def lessons_of_seat(reads: ReadSession, row: Row[Any]) -> Lessons:
    """Return what the records say of a position's seat (its row), for the features told or ever measured."""
    subject = Subject("position_id", row.id)
    history = history_of(reads, subject)
    present = {}
    for feature in seat_of(reads, row.id):
        written = Held(seat_words(feature), STATED)
        latest = history[feature.feature][-1:] if feature.feature in history else []
        adopted = learned(latest[0]).adopted if latest else written
        present[feature.feature] = adopted if adopted.value == written.value else written
    known = kind_codes(reads)
    weigher = _Weigher(
        reads=reads,
        subject=subject,
        features=SEAT_MEASURABLES,
        usual=lambda code: usual_width_of_feature(reads, code, row.id),
    )
    whole = {"code": row.code, "kind": row.kind_code, "quantity": row.quantity}
    found = weigher.lessons(present, lambda values: _faults_of_seat(whole, values, known))
    told = (
        one
        for one in found.lessons
        if one.standing != "not_measured" or one.present.value is not None or one.feature in history
    )
    return attrs.evolve(found, lessons=tuple(told))


def require_kind(reads: ReadSession, code: str) -> KindEntry:
    """Return a stored size's kind."""
    kind = kind_entry(reads, code)
    if kind is None:
        raise ValueError(f"a size refers to the kind {code}; the database's own check keeps it")
    return kind


@attrs.frozen(kw_only=True)
class _Weigher:
    """Weighs the records of one subject against what it holds."""

    reads: ReadSession
    subject: Subject
    features: Mapping[str, Measurable]
    usual: Callable[[str], int | None]

    def lessons(
        self, present: Mapping[str, Held], rules: Callable[[Mapping[str, str]], Mapping[str, str]]
    ) -> Lessons:
        records = standing_records(self.reads, self.subject)
        readings = readings_of(self.reads, [one.id for one in records])
        by_feature: dict[str, list[OfSpecimen]] = defaultdict(list)
        ids: dict[str, list[str]] = defaultdict(list)
        for record in records:
            for reading in readings[record.id]:
                by_feature[reading.feature].append(OfSpecimen(record.specimen, reading))
                ids[reading.feature].append(record.id)
        history = history_of(self.reads, self.subject)
        changes = {code: [learned(row) for row in rows] for code, rows in history.items()}
        weighed = weigh_all(self.features, by_feature, present, self.usual)
        drawn = [
            draw_lesson(code, present.get(code, Held()), evidence, changes.get(code, []))
            for code, evidence in weighed.items()
        ]
        return Lessons(
            subject=self.subject,
            features=self.features,
            lessons=keep_to_rules(drawn, rules),
            records={code: tuple(found) for code, found in ids.items()},
            history=history,
            specimens=len({one.specimen for one in records}),
            standing=len(records),
        )


def weigh_all(
    features: Mapping[str, Measurable],
    readings: Mapping[str, Sequence[OfSpecimen]],
    present: Mapping[str, Held],
    usual: Callable[[str], int | None],
) -> dict[str, Evidence]:
    """Return the evidence of every feature in order; counts are weighed before what goes across them."""
    found: dict[str, Evidence] = {}
    for code in sorted(features, key=lambda one: features[one].two_point_over is not None):
        feature = features[code]
        found[code] = weigh_feature(
            code,
            readings.get(code, ()),
            _usual_width(code, readings, present, usual),
            _opposite(feature, present, found),
        )
    return {code: found[code] for code in features}


def _usual_width(
    code: str,
    readings: Mapping[str, Sequence[OfSpecimen]],
    present: Mapping[str, Held],
    usual: Callable[[str], int | None],
) -> int | None:
    """Return the tolerance that is stated of this very length, else what is usual of such; None: unknown."""
    if not any(one.reading.values_nm for one in readings.get(code, ())):
        return None
    held = present.get(code, Held())
    if held.value is not None and held.provenance != MEASURED and held.value != NOT_APPLICABLE:
        limits = parse_range(held.value)
        if limits.lower_nm < limits.upper_nm:
            return limits.upper_nm - limits.lower_nm
    return usual(code)


def _opposite(feature: Measurable, present: Mapping[str, Held], found: Mapping[str, Evidence]) -> int | None:
    if feature.two_point_over is None or feature.way != "outside":
        return 0
    count = feature.two_point_over
    held = present.get(count, Held()).value or found[count].value
    return int(held) if held is not None and held.isdigit() else None


def _faults_of_size(kind: KindEntry, code: str, values: Mapping[str, str]) -> dict[str, str]:
    try:
        check_size(kind, {"code": code, "provenance": MEASURED, "dimensions": dict(values)})
    except InvalidInput as refused:
        return _expected(refused)
    return {}


def _faults_of_seat(
    whole: Mapping[str, Any], values: Mapping[str, str], kinds: Sequence[str]
) -> dict[str, str]:
    try:
        check_position({**whole, "seat": dict(values)}, kinds)
    except InvalidInput as refused:
        return _expected(refused)
    return {}


def _expected(refused: InvalidInput) -> dict[str, str]:
    return {str(fault.path[-1]): fault.expected for fault in refused.faults}


def size_words(value: SizeValueEntry) -> str:
    """Return what a size says of a dimension in the words of the catalogue's files."""
    return value_text(value) if value.applies else NOT_APPLICABLE


def seat_words(feature: SeatFeatureEntry) -> str:
    """Return what a seat says of a feature in the words of the catalogue's files."""
    if feature.lower_nm is not None and feature.upper_nm is not None:
        return range_text(feature.lower_nm, feature.upper_nm)
    return str(feature.count) if feature.text is None else feature.text
