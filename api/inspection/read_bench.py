"""Reads what was measured or seen at the bench into checked values, keeping every fault."""

import math
import statistics
from collections.abc import Mapping, Sequence
from typing import Final

from api.errors import FieldFault, InvalidInput, shown
from api.fit.feature_fields import ReadingField
from api.fit.judging.features import Feature
from api.inspection.bench_readings import BenchReading, Piece
from api.inspection.conformance import Known
from api.inspection.limit_data import LimitBook
from api.inspection.shapes import NumberReading
from api.inspection.vocabulary import LENGTH_OF, LOOKED_OF, NUMBER_OF, MeasuredLength, MeasuredNumber
from api.measurement.instruments import Instrument
from api.measurement.lengths import parse_length
from api.measurement.ranges import RANGE_MARK, parse_range
from api.measurement.raw_readings import RawReading, RawSetup
from api.measurement.readings import DEFAULT_INSTRUMENT, Reading, make_reading
from api.measurement.refusals import RefusedValue
from api.measurement.uncertainty import instrument_part_nm, rectangular_nm

Path = tuple[str | int, ...]

NONE: Final = "none"
"""How a length is told that is not there: no step, no run-out."""


class BenchReader:
    """Reads lengths, numbers and choices; what cannot be taken is noted in `faults`."""

    def __init__(self, book: LimitBook, instruments: Mapping[str, Instrument]) -> None:
        self.book, self.instruments = book, instruments
        self.faults: list[FieldFault] = []

    def refuse(
        self, value: object, expected: str, code: str, *path: str | int, nearest: str | None = None
    ) -> None:
        """Note a fault of the value at `path`."""
        self.faults.append(FieldFault(path, shown(value), expected, code, nearest))

    def reading(self, feature: str, value: object, path: Path) -> BenchReading | None:
        """Return a feature as read, or None after noting its fault."""
        if feature in LENGTH_OF:
            return self.lengths(LENGTH_OF[feature], value, path)
        if feature in NUMBER_OF:
            return self.number(NUMBER_OF[feature], value, path)
        choice = LOOKED_OF[feature].choice(str(value))
        return BenchReading(feature=feature, choice=choice)

    def lengths(self, measured: MeasuredLength, value: object, path: Path) -> BenchReading | None:
        """Read the pieces of a length; those of a round piece are its diameters: the worst one counts."""
        several = value if isinstance(value, list) else [value]
        places = [(*path, index) for index in range(len(several))] if isinstance(value, list) else [path]
        read = [self.length(measured, one, at) for one, at in zip(several, places, strict=True)]
        found = [one for one in read if one is not None]
        if len(found) < len(read):
            return None
        disagree = any(one.repeats_disagree for one in found)
        pieces = [piece for one in found for piece in one.pieces]
        if not measured.is_round or len(pieces) == 1:
            return BenchReading(feature=measured.code, pieces=tuple(pieces), repeats_disagree=disagree)
        ordered = sorted(pieces, key=lambda one: one.known.middle)
        least, most = ordered[0], ordered[-1]
        return BenchReading(
            feature=measured.code,
            pieces=(most if measured.sense == "grows" else least,),
            diameters=len(pieces),
            spread=most.known.minus(least.known),
            repeats_disagree=disagree,
        )

    def length(self, measured: MeasuredLength, value: object, path: Path) -> BenchReading | None:
        """Read one length; a round piece whose repeats disagree has several diameters."""
        try:
            if isinstance(value, ReadingField):
                return _of_reading(measured, self.make(measured, value, path))
            text = str(value)
            if text.strip().casefold() == NONE and measured.may_be_none:
                way = measured.way
                u = instrument_part_nm(self.instruments[measured.instrument], way, 1)
                return BenchReading(feature=measured.code, pieces=(Piece(Known(0.0, (), u), NONE),))
            if RANGE_MARK in text:
                known = Known.of(Feature(*parse_range(text)))
                return BenchReading(feature=measured.code, pieces=(Piece(known, text.strip()),))
            return _of_reading(measured, self.make(measured, text, path))
        except InvalidInput as refused:
            self.faults.extend(refused.faults)
        except RefusedValue as refused:
            self.faults.append(refused.as_fault(*path))
        return None

    def make(self, measured: MeasuredLength, told: str | ReadingField, path: Path) -> Reading:
        """Make a reading; without an instrument named, the usual one for the feature stands in."""
        usual = None if measured.instrument == DEFAULT_INSTRUMENT else measured.instrument
        setup = RawSetup(instrument=usual)
        if isinstance(told, str):
            raw = RawReading.of_text(told)
        else:
            raw = RawReading(told.text, told.instrument, told.uncertainty, tuple(told.repeats))
        return make_reading(measured.code, measured.way, raw, setup, self.instruments, path)

    def number(self, measured: MeasuredNumber, value: object, path: Path) -> BenchReading | None:
        """Read a number with its repeats, or what it is known to be above."""
        told = (
            value if isinstance(value, NumberReading) else NumberReading(value=float(str(value)), repeats=[])
        )
        at = path if not isinstance(value, NumberReading) else (*path, "value")
        before = len(self.faults)
        values = [told.value, *told.repeats] if told.value is not None else list(told.repeats)
        places: list[Path] = [at] if told.value is not None else []
        places.extend((*path, "repeats", index) for index in range(len(told.repeats)))
        if (told.above is None) == (not values):
            expected = "a value (with repeats), or above where the meter was over its range"
            self.refuse("" if told.above is None else told.above, expected, "missing", *path)
        for one, place in zip(values, places, strict=True):
            self.in_range(measured, one, *place)
        if told.above is not None:
            self.in_range(measured, told.above, *path, "above")
        if told.uncertainty is not None:
            self.in_range(measured, told.uncertainty, *path, "uncertainty")
        if len(self.faults) > before:
            return None
        if told.above is not None:
            piece = Piece(Known(told.above), f"> {told.above:g}", above=True)
        else:
            numbers = [float(one) for one in values if one is not None]
            mean = statistics.fmean(numbers)
            piece = Piece(Known(mean, (), self.deviation(measured, numbers, told.uncertainty)), f"{mean:g}")
        return BenchReading(feature=measured.code, pieces=(piece,))

    def in_range(self, measured: MeasuredNumber, value: float | None, *path: str | int) -> None:
        """Note a number that no bench meets."""
        if value is None or not 0 <= value <= measured.most:
            expected = f"0 to {measured.most:g} {measured.unit}"
            code = "negative" if value is not None and value < 0 else "out_of_range"
            self.refuse(value, expected, code, *path)

    def deviation(self, measured: MeasuredNumber, numbers: Sequence[float], stated: float | None) -> float:
        """Return the standard uncertainty of a mean: stated, or by the instrument and the scatter."""
        if stated is not None:
            return stated
        share = self.book.errors[measured.code].share
        scatter = statistics.stdev(numbers) / math.sqrt(len(numbers)) if len(numbers) > 1 else 0.0
        return math.hypot(rectangular_nm(share * statistics.fmean(numbers)), scatter)

    def new_value(self, feature: str, value: object, path: Path) -> Known | None:
        """Return a feature when new: a plain length is exact, an object is a reading of a new piece."""
        if feature in NUMBER_OF:
            read = self.number(NUMBER_OF[feature], value, path)
        elif isinstance(value, str) and RANGE_MARK not in value:
            try:
                return Known(float(parse_length(value).nm))
            except RefusedValue as refused:
                self.faults.append(refused.as_fault(*path))
                return None
        else:
            read = self.length(LENGTH_OF[feature], value, path)
        return None if read is None else read.pieces[0].known

    def bound(self, feature: str, told: str | float | None, path: Path) -> float | None:
        """Return a stated limit, of a length in nm, or None where there is none or after noting its fault."""
        if told is None:
            return None
        if feature in NUMBER_OF:
            if isinstance(told, str):
                expected = f"a number, in {NUMBER_OF[feature].unit}"
                self.refuse(told, expected, "wrong_type", *path)
                return None
            self.in_range(NUMBER_OF[feature], told, *path)
            return told
        if not isinstance(told, str):
            self.refuse(told, "a length as text with its unit", "wrong_type", *path)
            return None
        try:
            return float(parse_length(told).nm)
        except RefusedValue as refused:
            self.faults.append(refused.as_fault(*path))
            return None


def _of_reading(measured: MeasuredLength, reading: Reading) -> BenchReading:
    """Give a reading its pieces: the mean, or the diameters where repeats of a round piece disagree."""
    values: tuple[int, ...] = (reading.nm,)
    if measured.is_round and reading.repeats_disagree:
        values = reading.repeats_nm
    pieces = tuple(Piece(Known(float(nm), (), reading.u_nm), reading.text) for nm in values)
    return BenchReading(feature=measured.code, pieces=pieces, repeats_disagree=reading.repeats_disagree)
