"""What a GET of a measurement record, or of what is known of a size or a seat, answers."""

from collections.abc import Sequence
from typing import Any, cast

from sqlalchemy import Row

from api.database import ReadSession
from api.measurement.lengths import format_length
from api.measurement.ranges import parse_range
from api.records import evidence, learn, shapes
from api.records.bench_readings import BenchReading
from api.records.combine_lengths import CombinedLength
from api.records.lessons import Lessons, lessons_of_seat, lessons_of_size
from api.records.measurables import Measure
from api.records.store import learned, readings_of
from api.wear_parts.check_size import NOT_APPLICABLE
from api.wire.shapes import NM_PER_MM


def record_answers(reads: ReadSession, rows: Sequence[Row[Any]]) -> list[shapes.MeasurementRecordAnswer]:
    """Return what is told of records, from their rows as the store gives them."""
    readings = readings_of(reads, [row.id for row in rows])
    return [
        shapes.MeasurementRecordAnswer(
            id=row.id,
            part=row.part_id,
            size=row.size_code,
            kind=row.kind_code,
            family=row.family_code,
            position=row.position_code,
            specimen=row.specimen,
            measured_on=row.measured_on,
            withdrawn_on=row.withdrawn_on,
            readings=[_reading(one) for one in readings[row.id]],
        )
        for row in rows
    ]


def record_answer(reads: ReadSession, row: Row[Any]) -> shapes.MeasurementRecordAnswer:
    """Return what is told of one record."""
    return record_answers(reads, [row])[0]


def _reading(one: BenchReading) -> shapes.RecordedReading:
    is_length = bool(one.values_nm)
    mean_nm = sum(one.values_nm) / len(one.values_nm) if is_length else None
    return shapes.RecordedReading(
        feature=one.feature,
        state="recorded" if one.applies else "does_not_apply",
        text=_text(one, mean_nm),
        written=list(one.written),
        mm=_mm(mean_nm),
        instrument=one.instrument,
        instrument_uncertainty_mm=_mm(one.instrument_nm) if is_length else None,
        surface=one.surface if is_length else None,
        seated=one.state if is_length else None,
        count=one.count,
        word=one.word,
        tells_the_size=one.tells_the_size,
    )


def _millimetres(nm: float) -> float:
    """Return nanometres as millimetres, rounded to a nanometre."""
    return round(nm / NM_PER_MM, 6)


def _mm(nm: float | None) -> float | None:
    return None if nm is None else _millimetres(nm)


def _text(one: BenchReading, mean_nm: float | None) -> str:
    if not one.applies:
        return NOT_APPLICABLE
    if mean_nm is not None:
        return format_length(round(mean_nm))
    return str(one.count) if one.word is None else one.word


def measured_size(reads: ReadSession, row: Row[Any]) -> shapes.MeasuredSize:
    """Return what is known of a size, from its row as `find_size` gives it."""
    lessons = lessons_of_size(reads, row)
    return shapes.MeasuredSize(
        code=row.code,
        kind=row.kind_code,
        withdrawn_on=row.withdrawn_on,
        records=lessons.standing,
        specimens=lessons.specimens,
        dimensions=_features(lessons),
    )


def measured_seat(reads: ReadSession, row: Row[Any]) -> shapes.MeasuredSeat:
    """Return what is known of a seat, from its position's row as `find_position` gives it."""
    lessons = lessons_of_seat(reads, row)
    return shapes.MeasuredSeat(
        family=row.family_code,
        position=row.code,
        kind=row.kind_code,
        withdrawn_on=row.withdrawn_on,
        records=lessons.standing,
        specimens=lessons.specimens,
        features=_features(lessons),
    )


def _features(lessons: Lessons) -> list[shapes.MeasuredFeature]:
    return [_feature(lessons, one) for one in lessons.lessons]


def _feature(lessons: Lessons, one: learn.Lesson) -> shapes.MeasuredFeature:
    measurable, against = lessons.features[one.feature], one.disagreement
    return shapes.MeasuredFeature(
        feature=one.feature,
        name=measurable.name,
        measure=measurable.measure,
        held=_held(one.present, measurable.measure),
        standing=one.standing,
        expected=one.expected,
        disagreement=None
        if against is None
        else shapes.DisagreementAnswer(
            stated=against.stated,
            measured=against.measured,
            gap_mm=_mm(against.gap_nm),
            standardised_gap=None if against.standardised is None else round(against.standardised, 3),
        ),
        evidence=_evidence(one.evidence, lessons.records.get(one.feature, ())),
        history=[_former(row, measurable.measure) for row in lessons.history.get(one.feature, ())],
    )


def _held(held: learn.Held, measure: Measure) -> shapes.HeldValue:
    is_range = measure == "length" and held.value is not None and held.value != NOT_APPLICABLE
    limits = parse_range(held.value) if is_range and held.value is not None else None
    return shapes.HeldValue(
        text=held.value,
        lower_mm=None if limits is None else _mm(limits.lower_nm),
        upper_mm=None if limits is None else _mm(limits.upper_nm),
        provenance=cast(shapes.HeldProvenance | None, held.provenance),
        knowledge_uncertainty_mm=_mm(held.uncertainty_nm),
    )


def _former(row: Row[Any], measure: Measure) -> shapes.FormerValue:
    change = learned(row)
    return shapes.FormerValue(
        changed_at=row.learned_at,
        record=row.record_id,
        former=_held(change.former, measure),
        adopted=_held(change.adopted, measure),
    )


def _evidence(found: evidence.Evidence, records: Sequence[str]) -> shapes.Evidence:
    of_words = sum(map(len, found.words.values()))
    return shapes.Evidence(
        specimens=found.specimens,
        readings=of_words + (0 if found.length is None else found.length.readings),
        passed_over=found.passed_over,
        consistent=found.is_consistent if found.specimens else None,
        agreed=found.value,
        left_out=list(found.left_out),
        length=None if found.length is None else _length(found.length),
        words=[shapes.WordEvidence(value=value, specimens=list(told)) for value, told in found.words.items()],
        records=list(records),
    )


def _length(found: CombinedLength) -> shapes.LengthEvidence:
    return shapes.LengthEvidence(
        mean_mm=_millimetres(found.mean_nm),
        uncertainty_mm=_millimetres(found.uncertainty_nm),
        between_specimens_mm=_mm(found.between_nm),
        usual_between_mm=_millimetres(found.usual_nm),
        chi_square=round(found.chi_square, 6),
        degrees_of_freedom=found.readings - 1,
        birge_ratio=None if found.birge_ratio is None else round(found.birge_ratio, 6),
        chance=None if found.chance is None else round(found.chance, 9),
        deviations=[
            shapes.SpecimenDeviation(
                specimen=one.specimen,
                mean_mm=_millimetres(one.mean_nm),
                deviation_mm=_millimetres(one.deviation_nm),
                standardised_deviation=round(one.standardised, 3),
                is_far=one.is_far,
            )
            for one in found.deviations
        ],
    )
