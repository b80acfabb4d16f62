"""Reads instruments from their data file's text; every fault is named at once.

One table per instrument, named by its code; lengths are texts with units, errors plus or minus:

    [digital_caliper]
    name = "digital caliper"
    ways = ["outside", "inside", "depth", "span"]
    resolution = { size = "0.01 mm", source = "..." }
    permissible_error = [{ up_to = "100 mm", error = "20 um", source = "..." }]   # ascending
    extra_error = [{ way = "inside", error = "20 um", source = "..." }]           # may be empty
"""

import tomllib
from collections.abc import Callable, Iterable, Mapping
from itertools import pairwise
from typing import Any

from api.errors import FieldFault, InvalidInput, shown
from api.measurement.instruments import WAYS, ErrorStep, ExtraError, Instrument
from api.measurement.lengths import parse_length
from api.measurement.refusals import UnreadableLength, nearest_name

Reader = Callable[[object], Any]
"""Takes a raw value and returns what it states, or raises `InvalidInput` with paths from there."""


def read_instruments(text: str) -> dict[str, Instrument]:
    """Return the instruments of a data file's text by code, in the file's order.

    Raises `InvalidInput` with every fault; paths lead into the file, such as
    `("digital_caliper", "permissible_error", 0, "up_to")`. Codes: `not_toml`, `missing`, `unknown`,
    `wrong_type`, `unknown_way`, `repeated_way`, `not_ascending`, and those of `UnreadableLength`.
    """
    try:
        tables = tomllib.loads(text)
    except ValueError as error:  # TOMLDecodeError, or an integer of thousands of digits
        raise _fault(str(error), "a TOML document", "not_toml") from error
    if not tables:
        raise _fault("", "one instrument at least", "missing")
    read = _collect((code, _INSTRUMENT, table) for code, table in tables.items())
    return {code: _instrument(str(code), members) for code, members in read.items()}


def _instrument(code: str, members: Mapping[str, Any]) -> Instrument:
    return Instrument(
        code=code,
        name=members["name"],
        ways=members["ways"],
        resolution_nm=members["resolution"]["size"],
        resolution_source=members["resolution"]["source"],
        steps=tuple(
            ErrorStep(row["up_to"], row["error"], row["source"]) for row in members["permissible_error"]
        ),
        extra=tuple(ExtraError(row["way"], row["error"], row["source"]) for row in members["extra_error"]),
    )


def _fault(value: object, expected: str, code: str, nearest: str | None = None) -> InvalidInput:
    return InvalidInput.of([FieldFault((), shown(value), expected, code, nearest)])


def _collect(parts: Iterable[tuple[str | int, Reader, object]]) -> dict[Any, Any]:
    """Return what each part states by its key; all parts are read before any fault is raised."""
    read: dict[str | int, Any] = {}
    faults: list[FieldFault] = []
    for key, reader, value in parts:
        try:
            read[key] = reader(value)
        except InvalidInput as refused:
            faults.extend(fault.beneath(key) for fault in refused.faults)
    if faults:
        raise InvalidInput.of(faults)
    return read


def _table(**readers: Reader) -> Reader:
    def read(value: object) -> Any:
        if not isinstance(value, dict):
            raise _fault(value, f"a table of {', '.join(readers)}", "wrong_type")
        given = [(name, readers.get(name, _unknown(name, readers)), value[name]) for name in value]
        lacking = [(name, _missing, "") for name in readers if name not in value]
        return _collect([*given, *lacking])

    return read


def _unknown(name: str, known: Iterable[str]) -> Reader:
    def refuse(value: object) -> Any:
        raise _fault(name, f"one of {', '.join(known)}", "unknown", nearest_name(name, known))

    return refuse


def _missing(value: object) -> Any:
    raise _fault(value, "a value", "missing")


def _rows(reader: Reader, least: int) -> Reader:
    def read(value: object) -> Any:
        if not isinstance(value, list) or len(value) < least:
            raise _fault(value, f"a list of at least {least}", "wrong_type")
        return tuple(_collect((index, reader, row) for index, row in enumerate(value)).values())

    return read


def _text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise _fault(value, "a text", "wrong_type")
    return value


def _length_nm(value: object) -> int:
    try:
        return parse_length(_text(value)).nm
    except UnreadableLength as refused:
        raise InvalidInput.of([refused.as_fault()]) from refused


def _way(value: object) -> str:
    word = _text(value)
    if word not in WAYS:
        raise _fault(word, f"one of {', '.join(WAYS)}", "unknown_way", nearest_name(word, WAYS))
    return word


def _ways(value: object) -> tuple[str, ...]:
    ways: tuple[str, ...] = _rows(_way, least=1)(value)
    _refuse_repeats(ways)
    return ways


def _refuse_repeats(ways: tuple[str, ...]) -> None:
    if len(set(ways)) < len(ways):
        raise _fault(", ".join(ways), "each way once", "repeated_way")


def _steps(value: object) -> Any:
    steps = _rows(_table(up_to=_length_nm, error=_length_nm, source=_text), least=1)(value)
    if any(longer["up_to"] <= shorter["up_to"] for shorter, longer in pairwise(steps)):
        raise _fault(value, "steps that ascend by up_to", "not_ascending")
    return steps


def _extra(value: object) -> Any:
    rows = _rows(_table(way=_way, error=_length_nm, source=_text), least=0)(value)
    _refuse_repeats(tuple(row["way"] for row in rows))
    return rows


_INSTRUMENT = _table(
    name=_text,
    ways=_ways,
    resolution=_table(size=_length_nm, source=_text),
    permissible_error=_steps,
    extra_error=_extra,
)
