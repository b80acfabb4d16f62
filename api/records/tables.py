"""Tables of measurement records: what was read of one specimen, and what the catalogue learned of it."""

from sqlalchemy import CheckConstraint, ForeignKeyConstraint
from sqlmodel import SQLModel

from api.access.tables import moment
from api.columns import STRICT, check, day, one_of, real, reference, says_one_thing, text, whole
from api.measurement.raw_readings import STATES, SURFACES


def _has_one_subject() -> CheckConstraint:
    return check("belongs_to_one", "(size_id IS NULL) <> (position_id IS NULL)")


class MeasurementRecord(SQLModel, table=True):
    """What was measured of one specimen of a size (perhaps of a known part), or of one position's seat.

    Readings of one specimen carry its label: it is one thing whenever it is measured.
    """

    __tablename__ = "measurement_record"
    __table_args__ = (
        _has_one_subject(),
        check("seats_are_no_parts", "part_id IS NULL OR size_id IS NOT NULL"),
        check("specimen_not_empty", "length(specimen) > 0"),
        day("measured_on"),
        day("withdrawn_on"),
        STRICT,
    )

    id: str = text(key=True)
    size_id: str | None = reference("size.id", optional=True)
    part_id: str | None = reference("part.id", optional=True)
    position_id: str | None = reference("position.id", optional=True)
    specimen: str = text()
    measured_on: str = text()
    withdrawn_on: str | None = text(optional=True)


class MeasurementReading(SQLModel, table=True):
    """One feature of a record: a length (its values stand in `measured_value`), a count, a word, or none.

    `instrument_nm` is the standard uncertainty that the instrument had there, or the one that was stated
    (`stated_uncertainty` as written); `step_nm` its step, 0 where the uncertainty was stated.
    """

    __tablename__ = "measurement_reading"
    __table_args__ = (
        one_of("surface", SURFACES),
        one_of("state", STATES),
        check("applies_is_flag", "applies IN (0, 1)"),
        check("length_is_whole", "(instrument IS NULL) = (instrument_nm IS NULL)"),
        check("step_is_known", "(instrument_nm IS NULL) = (step_nm IS NULL)"),
        check("uncertainty_positive", "instrument_nm > 0 AND step_nm >= 0"),
        check("count_is_plausible", "count_value >= 0 AND count_value <= 999"),
        says_one_thing("instrument", "count_value", "choice_value", expected="applies"),
        STRICT,
    )

    record_id: str = reference("measurement_record.id", key=True)
    feature: str = text(key=True)
    sequence: int = whole()
    applies: int = whole(default=1)
    instrument: str | None = text(optional=True)
    instrument_nm: float | None = real(optional=True)
    step_nm: float | None = real(optional=True)
    stated_uncertainty: str | None = text(optional=True)
    surface: str = text()
    state: str = text()
    count_value: int | None = whole(optional=True)
    choice_value: str | None = text(optional=True)


class MeasuredValue(SQLModel, table=True):
    """One of the values that were read of a length, as it was written and in nanometres."""

    __tablename__ = "measured_value"
    __table_args__ = (
        ForeignKeyConstraint(
            ["record_id", "feature"], ["measurement_reading.record_id", "measurement_reading.feature"]
        ),
        check("length_positive", "length_nm > 0"),
        STRICT,
    )

    record_id: str = text(key=True)
    feature: str = text(key=True)
    sequence: int = whole(key=True)
    written: str = text()
    length_nm: int = whole()


class LearnedValue(SQLModel, table=True):
    """One change of a value by the records: what stood there, what came instead, and by which record.

    Values are in the words of the catalogue's files, None where nothing was recorded.
    """

    __tablename__ = "learned_value"
    __table_args__ = (
        _has_one_subject(),
        check("former_is_whole", "(former IS NULL) = (former_provenance IS NULL)"),
        check("adopted_is_whole", "(adopted IS NULL) = (adopted_provenance IS NULL)"),
        check("uncertainties_not_negative", "former_uncertainty_nm >= 0 AND adopted_uncertainty_nm >= 0"),
        moment("learned_at"),
        STRICT,
    )

    id: str = text(key=True)
    size_id: str | None = reference("size.id", optional=True)
    position_id: str | None = reference("position.id", optional=True)
    feature: str = text()
    record_id: str = reference("measurement_record.id")
    learned_at: str = text()
    former: str | None = text(optional=True)
    former_provenance: str | None = text(optional=True)
    former_uncertainty_nm: int | None = whole(optional=True)
    adopted: str | None = text(optional=True)
    adopted_provenance: str | None = text(optional=True)
    adopted_uncertainty_nm: int | None = whole(optional=True)
