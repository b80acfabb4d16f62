"""How a length is stated in a fit check: exactly, by limits, by a tolerance class, or as a reading."""

import re
from collections.abc import Mapping
from typing import Annotated, Final, Literal

from pydantic import Field

from api.errors import FieldFault, InvalidInput, shown
from api.fit.judging.features import Feature
from api.fit.limits.tolerance_classes import SizeOutsideTables, UnknownToleranceClass, limits_of
from api.measurement.instruments import Instrument, Way
from api.measurement.lengths import parse_length
from api.measurement.ranges import RANGE_MARK, parse_range
from api.measurement.raw_readings import RawReading, RawSetup
from api.measurement.readings import make_reading
from api.measurement.refusals import RefusedValue
from api.wire.inputs import Request

Path = tuple[str | int, ...]
Role = Literal["hole", "shaft"]

Text = Annotated[str, Field(min_length=1, max_length=60)]

_CLASS: Final = re.compile(r"(?P<size>.*\S)\s+(?P<written>[A-Za-z]{1,2}[0-9]{1,2})")


class ReadingField(Request):
    """A reading: its text with unit, its instrument or the caller's own standard uncertainty, its repeats."""

    text: Annotated[Text | None, Field(description="the value with its unit")] = None
    instrument: Annotated[
        Text | None, Field(description="code of the instrument; digital_caliper where none is named")
    ] = None
    uncertainty: Annotated[Text | None, Field(description="the caller's own standard uncertainty")] = None
    repeats: Annotated[
        list[Text], Field(max_length=20, default_factory=list, description="further readings of the feature")
    ]


FeatureField = Annotated[
    Text | ReadingField,
    Field(
        description='a length "16.01 mm", limits "16.000..16.018 mm", a size with its tolerance class '
        '"16 mm H7", or an object: a reading with its instrument or uncertainty',
        examples=["16 mm H7"],
    ),
]


class FeatureReader:
    """Reads stated lengths, keeping every fault in `faults` instead of stopping at the first."""

    def __init__(self, instruments: Mapping[str, Instrument]) -> None:
        self.instruments = instruments
        self.faults: list[FieldFault] = []

    def feature(
        self,
        told: str | ReadingField | None,
        *path: str | int,
        way: Way = "outside",
        role: Role | None = None,
    ) -> Feature | None:
        """Return the feature that was told, or None where nothing was or after noting its fault.

        `way` is how a reading of it is taken; `role` says whether a tolerance class must be a hole's or a
        shaft's (none: classes are refused).
        """
        if told is None:
            return None
        if isinstance(told, ReadingField):
            return self._reading(told, path, way)
        try:
            return self._stated(told, role)
        except (RefusedValue, UnknownToleranceClass, SizeOutsideTables) as refused:
            self.faults.append(refused.as_fault(*path))
            return None

    def length(self, told: str | None, *path: str | int) -> int | None:
        """Return one exact length in nm, or None where nothing was told or after noting its fault."""
        if told is None:
            return None
        try:
            return parse_length(told).nm
        except RefusedValue as refused:
            self.faults.append(refused.as_fault(*path))
            return None

    def refuse(self, value: object, expected: str, code: str, *path: str | int) -> None:
        """Note a fault of the value at `path`."""
        self.faults.append(FieldFault(path, shown(value), expected, code))

    def settle(self) -> None:
        """Raise `InvalidInput` with every fault noted so far, if there is one."""
        if self.faults:
            raise InvalidInput.of(self.faults)

    def _stated(self, told: str, role: Role | None) -> Feature:
        if RANGE_MARK in told:
            return Feature(*parse_range(told))
        classed = _CLASS.fullmatch(told.strip())
        if classed is not None and role is not None:
            return Feature(*limits_of(parse_length(classed["size"]).nm, classed["written"], role))
        return Feature.exact(parse_length(told).nm)

    def _reading(self, told: ReadingField, path: Path, way: Way) -> Feature | None:
        raw = RawReading(told.text, told.instrument, told.uncertainty, tuple(told.repeats))
        try:
            reading = make_reading("", way, raw, RawSetup(), self.instruments, path)
        except InvalidInput as refused:
            self.faults.extend(refused.faults)
            return None
        return Feature.read(reading.nm, reading.u_nm)
