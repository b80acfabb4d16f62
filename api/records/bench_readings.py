"""Readings of one specimen, from what was told to checked values; all faults named at once. Pure."""

from collections.abc import Mapping
from typing import Any, Final

import attrs

from api.errors import FieldFault, InvalidInput, shown
from api.fit.contacts.threads import UnknownThread, read_thread
from api.measurement.counts import parse_count
from api.measurement.instruments import Instrument
from api.measurement.lengths import format_length, parse_length
from api.measurement.raw_readings import Path, RawReading, RawSetup, State, Surface, check_word
from api.measurement.readings import make_reading
from api.measurement.refusals import UnreadableCount, nearest_name
from api.measurement.uncertainty import counted_resolution_nm, instrument_part_nm
from api.records.measurables import Measurable
from api.wear_parts.check_size import NOT_APPLICABLE

TEXT: Final = "text"
ONLY_OF_LENGTHS: Final = ("repeats", "instrument", "uncertainty", "surface", "state")


@attrs.frozen(kw_only=True)
class BenchReading:
    """What was read of one feature of a specimen: a length, a count, a word (choice, thread), or none of it.

    A length has n values (as written, and in nm), an instrument, `instrument_nm`, the standard uncertainty
    that is common to all of them, and the instrument's `step_nm`; where the caller stated the uncertainty,
    that one (`stated_uncertainty` as written) and a step of 0.
    """

    feature: str
    applies: bool = True
    written: tuple[str, ...] = ()
    values_nm: tuple[int, ...] = ()
    instrument: str | None = None
    instrument_nm: float = 0.0
    step_nm: float = 0.0
    stated_uncertainty: str | None = None
    surface: Surface = "worn"
    state: State = "free"
    count: int | None = None
    word: str | None = None

    @property
    def tells_the_size(self) -> bool:
        """Whether it says what a new piece has: wear has moved a worn length, a seat an installed one."""
        return not self.values_nm or (self.surface == "unworn" and self.state == "free")


def read_bench_readings(
    told: Mapping[str, Any],
    features: Mapping[str, Measurable],
    setup: RawSetup,
    instruments: Mapping[str, Instrument],
) -> tuple[BenchReading, ...]:
    """Return the readings that `told` states by feature: a text, a whole number, or an object.

    An object has `text` and, of a length, `repeats`, `instrument`, `uncertainty`, `surface` and `state`;
    `setup` stands in for what it leaves out and must be sound. Lengths may lie beyond the feature's span by
    half of it and twice. Raises `InvalidInput` with every fault, at `readings` and the feature.
    """
    reader = _Reader(setup, instruments)
    for code, value in told.items():
        path = ("readings", shown(code))
        if code in features:
            reader.read(features[code], value, path)
        else:
            near = nearest_name(shown(code), features)
            expected = "one of " + ", ".join(features)
            reader.faults.append(FieldFault(path, shown(code), expected, "unknown", near))
    if reader.faults:
        raise InvalidInput.of(reader.faults)
    return tuple(reader.found)


class _Reader:
    """Reads one feature after another, keeping faults instead of stopping."""

    def __init__(self, setup: RawSetup, instruments: Mapping[str, Instrument]) -> None:
        self.setup, self.instruments = setup, instruments
        self.faults: list[FieldFault] = []
        self.found: list[BenchReading] = []

    def read(self, feature: Measurable, told: Any, path: Path) -> None:
        members = told if isinstance(told, Mapping) else {TEXT: told}
        text = members.get(TEXT)
        at = (*path, TEXT) if isinstance(told, Mapping) else path
        if text == NOT_APPLICABLE and feature.may_be_absent:
            if self._alone(feature, members, path):
                self.found.append(BenchReading(feature=feature.code, applies=False, written=(text,)))
        elif feature.measure == "length":
            self._length(feature, members, path, plain=not isinstance(told, Mapping))
        elif self._alone(feature, members, path):
            self._count_or_word(feature, text, at)

    def _alone(self, feature: Measurable, members: Mapping[str, Any], path: Path) -> bool:
        extra = [name for name in ONLY_OF_LENGTHS if members.get(name)]
        expected = f"a {feature.measure} (or {NOT_APPLICABLE}) alone, as text: only a length has this"
        self.faults += [
            FieldFault((*path, name), shown(members[name]), expected, "not_a_length") for name in extra
        ]
        return not extra

    def _length(self, feature: Measurable, members: Mapping[str, Any], path: Path, *, plain: bool) -> None:
        text = members.get(TEXT)
        raw = RawReading(
            text=None if text is None else str(text),
            instrument=members.get("instrument"),
            uncertainty=members.get("uncertainty"),
            repeats=tuple(members.get("repeats") or ()),
            surface=members.get("surface"),
            state=members.get("state"),
            is_plain=plain,
        )
        way = feature.way or "outside"
        try:
            reading = make_reading(feature.code, way, raw, self.setup, self.instruments, path)
        except InvalidInput as refused:
            self.faults.extend(refused.faults)
            return
        written = (*(() if raw.text is None else (raw.text.strip(),)), *(one.strip() for one in raw.repeats))
        lengths = [parse_length(one, self.setup.unit) for one in written]
        instrument_nm, step_nm = reading.u_nm, 0.0
        if not reading.uncertainty_stated:
            tool = self.instruments[reading.instrument]
            step = counted_resolution_nm(tool, reading.instrument_named, lengths)
            instrument_nm, step_nm = instrument_part_nm(tool, way, reading.nm, step), float(step)
        self._refuse_implausible(feature, reading.nm, path)
        self.found.append(
            BenchReading(
                feature=feature.code,
                written=written,
                values_nm=tuple(length.nm for length in lengths),
                instrument=reading.instrument,
                instrument_nm=instrument_nm,
                step_nm=step_nm,
                stated_uncertainty=raw.uncertainty if reading.uncertainty_stated else None,
                surface=reading.surface,
                state=reading.state,
            )
        )

    def _refuse_implausible(self, feature: Measurable, nm: int, path: Path) -> None:
        if feature.span_lower is None or feature.span_upper is None:
            return
        low, high = feature.span_lower // 2, feature.span_upper * 2
        if not low <= nm <= high:
            expected = f"a length from {format_length(low)} to {format_length(high)}"
            self.faults.append(FieldFault(path, format_length(nm), expected, "implausible"))

    def _count_or_word(self, feature: Measurable, text: Any, at: Path) -> None:
        if feature.measure == "count":
            self._count(feature, text, at)
        elif feature.measure == "choice":
            fault = check_word("" if text is None else str(text).strip(), feature.choices, at)
            self._keep_word(feature, text, fault)
        else:
            self._keep_word(feature, text, _thread_fault(text, at))

    def _count(self, feature: Measurable, text: Any, at: Path) -> None:
        try:
            count = parse_count("" if text is None else text)
        except UnreadableCount as refused:
            self.faults.append(refused.as_fault(*at))
            return
        low, high = feature.span_lower, feature.span_upper
        if low is not None and high is not None and not low <= count <= high:
            expected = f"a count from {low} to {high}"
            self.faults.append(FieldFault(at, str(count), expected, "implausible"))
        self.found.append(BenchReading(feature=feature.code, written=(str(count),), count=count))

    def _keep_word(self, feature: Measurable, text: Any, fault: FieldFault | None) -> None:
        if fault is not None:
            self.faults.append(fault)
            return
        word = str(text).strip()
        self.found.append(BenchReading(feature=feature.code, written=(word,), word=word))


def _thread_fault(text: Any, at: Path) -> FieldFault | None:
    try:
        read_thread("" if text is None else str(text).strip())
    except UnknownThread as refused:
        return refused.as_fault(*at)
    return None
