"""Readings: what was measured on the bench and how well it is known; all faults named at once."""

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import cast

import attrs

from api.errors import FieldFault, InvalidInput
from api.measurement.instruments import Instrument, Way
from api.measurement.lengths import EXPECTED, Length, format_length, parse_length
from api.measurement.raw_readings import (
    STATES,
    SURFACES,
    Path,
    RawReading,
    RawSetup,
    State,
    Surface,
    check_setup,
    check_word,
)
from api.measurement.refusals import UnreadableLength, UnsuitableInstrument
from api.measurement.uncertainty import (
    GREATEST_UNCERTAINTY_NM,
    counted_resolution_nm,
    explained_spread_nm,
    instrument_part_nm,
    mean_nm,
    repeats_disagree,
    scatter_part_nm,
    spread_of_stated_nm,
)

DEFAULT_INSTRUMENT = "digital_caliper"
"""The instrument assumed where none is named."""

MOST_REPEATS = 20
"""Most further readings of one feature (our judgement)."""


@attrs.frozen
class Reading:
    """A measured length and how well it is known.

    `nm` is the mean of all repeats, `u_nm` its standard uncertainty in nm (more than 0); `text` is
    echoed as written (the mean, where there were only repeats); `instrument` is a code, and
    `instrument_named` tells whether the caller chose it; `repeats_nm` has all values where there
    were several; `repeats_disagree` tells that they spread further than the instrument explains, which
    is `explained_nm`. `single_u_nm` is the standard uncertainty of one of them, scatter left out.
    """

    dimension: str
    nm: int
    u_nm: float
    text: str
    instrument: str
    instrument_named: bool = False
    uncertainty_stated: bool = False
    surface: Surface = "worn"
    state: State = "free"
    repeats_nm: tuple[int, ...] = ()
    repeats_disagree: bool = False
    single_u_nm: float = 0.0
    explained_nm: float = 0.0


def make_reading(
    dimension: str,
    way: Way,
    raw: RawReading,
    setup: RawSetup,
    instruments: Mapping[str, Instrument],
    path: Path | None = None,
) -> Reading:
    """Return the reading of one length that `raw` and `setup` state.

    `way` is how the dimension is measured, `path` where the reading stood (by default
    `("readings", dimension)`). The uncertainty comes from the instrument and the repeats; the
    caller's own, more than 0 and at most 10 mm, replaces both.

    Raises `InvalidInput` with every fault found. Codes: those of `UnreadableLength` and
    `UnsuitableInstrument`, `unknown` (instrument, surface, state), `missing` (neither text nor
    repeats), `too_many` (repeats), `uncertainty_too_large`.
    """
    making = _Making(raw, setup, ("readings", dimension) if path is None else path)
    return making.reading(dimension, way, instruments)


def make_readings(
    raws: Mapping[str, RawReading],
    ways: Mapping[str, Way],
    setup: RawSetup,
    instruments: Mapping[str, Instrument],
    root: Path = (),
    under: Path = ("readings",),
) -> tuple[Reading, ...]:
    """Return the readings of all dimensions, in the order of `raws`.

    Each dimension of `raws` must have its way in `ways`. A fault of the setup stands at `root` and
    the member's name (`instrument`, `unit`, `surface`, `state`), one of a reading at `root`, `under`
    and the dimension; for a query both are empty.

    Raises `InvalidInput` with the faults of the setup and of every reading.
    """
    faults = check_setup(setup, instruments, root)
    harmless = RawSetup(unit="in")  # stands in for what is faulty, so that each reading is still read
    faulty = {str(fault.path[-1]) for fault in faults}
    sound = RawSetup(
        **{name: getattr(harmless if name in faulty else setup, name) for name in attrs.fields_dict(RawSetup)}
    )
    readings = []
    for dimension, raw in raws.items():
        try:
            path = (*root, *under, dimension)
            readings.append(make_reading(dimension, ways[dimension], raw, sound, instruments, path))
        except InvalidInput as refused:
            faults.extend(refused.faults)
    if faults:
        raise InvalidInput.of(faults)
    return tuple(readings)


class _Making:
    """Makes one reading: each piece is read and its fault noted before anything is given up."""

    def __init__(self, raw: RawReading, setup: RawSetup, path: Path) -> None:
        self.raw, self.setup, self.path = raw, setup, path
        self.faults: list[FieldFault] = []

    def reading(self, dimension: str, way: Way, instruments: Mapping[str, Instrument]) -> Reading:
        written = self.values()
        stated_nm = self.stated_uncertainty_nm()
        surface = self.word("surface", self.raw.surface, self.setup.surface, SURFACES)
        state = self.word("state", self.raw.state, self.setup.state, STATES)
        named = self.setup.instrument if self.raw.instrument is None else self.raw.instrument
        code = self.word("instrument", named, DEFAULT_INSTRUMENT, tuple(instruments))
        values_nm = [length.nm for length in written]
        u_nm = single_u_nm = explained_nm = 0.0
        if code in instruments:
            instrument = instruments[code]
            step_nm = counted_resolution_nm(instrument, named is not None, written)
            u_nm, single_u_nm, explained_nm = self.knowledge(instrument, way, values_nm, step_nm, stated_nm)
        if self.faults:
            raise InvalidInput.of(self.faults)
        several = len(values_nm) > 1
        return Reading(
            dimension=dimension,
            nm=mean_nm(values_nm),
            u_nm=u_nm,
            text=format_length(mean_nm(values_nm)) if self.raw.text is None else self.raw.text.strip(),
            instrument=code,
            instrument_named=named is not None,
            uncertainty_stated=stated_nm is not None,
            surface=cast(Surface, surface),  # one of SURFACES, or a fault was raised
            state=cast(State, state),
            repeats_nm=tuple(values_nm) if several else (),
            repeats_disagree=several and repeats_disagree(values_nm, explained_nm),
            single_u_nm=single_u_nm,
            explained_nm=explained_nm,
        )

    def at(self, member: str, *more: int) -> Path:
        return self.path if self.raw.is_plain else (*self.path, member, *more)

    def word(self, member: str, own: str | None, general: str, known: tuple[str, ...]) -> str:
        word = general if own is None else own
        fault = check_word(word, known, self.at(member))
        if fault is not None:
            self.faults.append(fault)
        return word

    def length(self, text: str, path: Path) -> Length | None:
        try:
            return parse_length(text, self.setup.unit)
        except UnreadableLength as refused:
            self.faults.append(refused.as_fault(*path))
            return None

    def values(self) -> list[Length]:
        """Read the text and the repeats; where any is faulty, none is returned."""
        repeats = self.raw.repeats
        if self.raw.text is None and not repeats:
            self.faults.append(FieldFault(self.at("text"), "", EXPECTED, "missing"))
        if len(repeats) > MOST_REPEATS:
            expected = f"at most {MOST_REPEATS} repeats"
            self.faults.append(
                FieldFault(self.at("repeats"), f"{len(repeats)} repeats", expected, "too_many")
            )
            repeats = ()
        placed = [(text, self.at("repeats", index)) for index, text in enumerate(repeats)]
        if self.raw.text is not None:
            placed.insert(0, (self.raw.text, self.at("text")))
        lengths = [self.length(text, path) for text, path in placed]
        read = [length for length in lengths if length is not None]
        return read if len(read) == len(lengths) else []

    def stated_uncertainty_nm(self) -> int | None:
        if self.raw.uncertainty is None:
            return None
        length = self.length(self.raw.uncertainty, self.at("uncertainty"))
        if length is None:
            return None
        if length.nm > GREATEST_UNCERTAINTY_NM:
            expected = f"a standard uncertainty of at most {format_length(GREATEST_UNCERTAINTY_NM)}"
            refused = UnreadableLength.because(self.raw.uncertainty, expected, "uncertainty_too_large")
            self.faults.append(refused.as_fault(*self.at("uncertainty")))
        return length.nm

    def knowledge(
        self,
        instrument: Instrument,
        way: Way,
        values_nm: Sequence[int],
        step_nm: Fraction,
        stated_nm: int | None,
    ) -> tuple[float, float, float]:
        """Return the uncertainty of all, of one, and the spread explained (nm); zeros where faulty."""
        try:
            instrument.check_way(way)
            if not values_nm:
                return 0.0, 0.0, 0.0
            if stated_nm is not None:
                return float(stated_nm), float(stated_nm), spread_of_stated_nm(stated_nm)
            single_u_nm = instrument_part_nm(instrument, way, mean_nm(values_nm), step_nm)
            u_nm = math.hypot(single_u_nm, scatter_part_nm(values_nm))
            return u_nm, single_u_nm, explained_spread_nm(instrument, way, mean_nm(values_nm), step_nm)
        except UnsuitableInstrument as refused:
            names_it = refused.code == "cannot_measure" and self.raw.instrument is not None
            self.faults.append(refused.as_fault(*self.at("instrument" if names_it else "text")))
            return 0.0, 0.0, 0.0
