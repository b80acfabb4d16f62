"""Reads the limits of wear and the checks after reassembly from their data file; every fault at once. Pure.

The file, `seed_catalog/limits.toml`, opens with its grammar.
"""

import tomllib
from collections.abc import Callable, Mapping
from typing import Any, Final, Literal, get_args

import attrs

from api.errors import FieldFault, InvalidInput, shown
from api.inspection.vocabulary import FEATURES, LENGTH_OF, NUMBER_OF, PLACES
from api.measurement.lengths import parse_length
from api.measurement.ranges import parse_range
from api.measurement.refusals import UnreadableLength, nearest_name
from api.starters.vocabulary import CONSTRUCTIONS

Basis = Literal["published", "second_hand", "common_practice", "memory", "judgement"]
BASES: Final[tuple[Basis, ...]] = get_args(Basis)

CHECKS: Final = ("insulation", "drive_slip", "pull_in", "pinion_clearance", "no_load")
"""The checks after reassembly for which values are published."""

GREATEST_ERROR_SHARE: Final = 0.3
"""Greatest error of a number, as a share: with more, a doubt would no longer fall as the value moves off."""


@attrs.frozen(kw_only=True)
class LimitRow:
    """One limit of one source: of a length in nm, of a number in its own unit. What is None is not stated."""

    feature: str
    at: tuple[str, ...]
    basis: Basis
    source: str
    least: float | None = None
    most: float | None = None
    most_wear: float | None = None
    least_share_of_new: float | None = None
    most_clearance: float | None = None
    when_new: tuple[int, int] | None = None
    shown_only: bool = False


@attrs.frozen(kw_only=True)
class ErrorRow:
    """How far a reading of a number may be wrong: plus or minus this share of it."""

    feature: str
    share: float
    basis: Basis
    source: str


@attrs.frozen(kw_only=True)
class AcceptanceRow:
    """A published value of a check after reassembly; a bare number, its unit is in the quantity's name."""

    check: str
    quantity: str
    voltage: tuple[int, ...]
    basis: Basis
    source: str
    least: float | None = None
    most: float | None = None
    at: str | None = None
    power_w: tuple[int, int] | None = None
    constructions: tuple[str, ...] = ()
    shown_only: bool = False


@attrs.frozen
class LimitBook:
    """All limits, errors and values of the data file."""

    limits: tuple[LimitRow, ...]
    errors: Mapping[str, ErrorRow]
    acceptance: tuple[AcceptanceRow, ...]

    def of(self, place: str, feature: str) -> tuple[LimitRow, ...]:
        """Return the limits of a feature at a place, in the order of the file."""
        return tuple(row for row in self.limits if row.feature == feature and place in row.at)


def read_limits(text: str) -> LimitBook:
    """Return the limits of a data file's text.

    Raises `InvalidInput` with every fault; paths lead into the file (`limit`, 0, `most`). Codes: `not_toml`,
    `missing`, `unknown`, `wrong_type`, `out_of_range`, `no_limit`, `reversed`, and those of
    lengths.
    """
    try:
        tables = tomllib.loads(text)
    except ValueError as error:
        raise InvalidInput.of([FieldFault((), shown(str(error)), "a TOML document", "not_toml")]) from error
    reading = _Reading()
    limits = reading.rows(tables, "limit", _LIMIT, LimitRow)
    errors = reading.rows(tables, "error", _ERROR, ErrorRow)
    acceptance = reading.rows(tables, "acceptance", _ACCEPTANCE, AcceptanceRow)
    for name in tables.keys() - {"limit", "error", "acceptance"}:
        reading.fault(name, "one of limit, error, acceptance", "unknown", name)
    reading.check_limits(limits)
    for feature in NUMBER_OF:
        if feature not in {row.feature for row in errors}:
            reading.fault(feature, "an error of every number that is read", "missing", "error")
    if reading.faults:
        raise InvalidInput.of(reading.faults)
    return LimitBook(limits, {row.feature: row for row in errors}, acceptance)


class _Refused(Exception):
    """A value that cannot be taken, within this module."""

    def __init__(self, expected: str, code: str, nearest: str | None = None) -> None:
        super().__init__(expected)
        self.expected, self.code, self.nearest = expected, code, nearest


def _word(known: tuple[str, ...]) -> Callable[[object], str]:
    def read(value: object) -> str:
        if not isinstance(value, str) or value not in known:
            near = nearest_name(value, known) if isinstance(value, str) else None
            raise _Refused(f"one of {', '.join(known)}", "unknown", near)
        return value

    return read


def _text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise _Refused("a text", "wrong_type")
    return value


def _yes(value: object) -> bool:
    if not isinstance(value, bool):
        raise _Refused("true or false", "wrong_type")
    return value


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < 1e15:
        raise _Refused("a number above 0", "out_of_range")
    return float(value)


def _fraction(text: str) -> float:
    parts = text.split("/")
    if len(parts) != 2 or not all(
        part.isascii() and part.isdigit() and 0 < int(part) < 100 for part in parts
    ):
        raise _Refused("a number, or a fraction such as 2/3 as text", "wrong_type")
    return int(parts[0]) / int(parts[1])


def _share(most: float) -> Callable[[object], float]:
    def read(value: object) -> float:
        number = _fraction(value) if isinstance(value, str) else _number(value)
        if number > most:
            raise _Refused(f"a share of at most {most:g}", "out_of_range")
        return number

    return read


def _bound(value: object) -> float:
    """Read a limit: a length as text, in nm, or a bare number."""
    return float(parse_length(value).nm) if isinstance(value, str) else _number(value)


def _length(value: object) -> float:
    return float(parse_length(_text(value)).nm)


def _range(value: object) -> tuple[int, int]:
    lower, upper = parse_range(_text(value))
    return lower, upper


def _list_of(reader: Callable[[object], Any]) -> Callable[[object], tuple[Any, ...]]:
    def read(value: object) -> tuple[Any, ...]:
        if not isinstance(value, list) or not value:
            raise _Refused("a list of one at least", "wrong_type")
        return tuple(reader(one) for one in value)

    return read


def _whole(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise _Refused("a whole number above 0", "wrong_type")
    return value


def _span(value: object) -> tuple[int, int]:
    ends = _list_of(_whole)(value)
    if len(ends) != 2 or ends[0] > ends[1]:
        raise _Refused("two whole numbers, the lower first", "reversed")
    return ends[0], ends[1]


_Readers = Mapping[str, Callable[[object], Any]]
_ORIGIN: Final[_Readers] = {"basis": _word(BASES), "source": _text}
_LIMIT: Final[_Readers] = {
    "feature": _word(FEATURES),
    "at": _list_of(_word(PLACES)),
    "least": _bound,
    "most": _bound,
    "most_wear": _length,
    "least_share_of_new": _share(1.0),
    "most_clearance": _length,
    "when_new": _range,
    "shown_only": _yes,
    **_ORIGIN,
}
_ERROR: Final[_Readers] = {
    "feature": _word(tuple(NUMBER_OF)),
    "share": _share(GREATEST_ERROR_SHARE),
    **_ORIGIN,
}
_ACCEPTANCE: Final[_Readers] = {
    "check": _word(CHECKS),
    "quantity": _text,
    "least": _number,
    "most": _number,
    "at": _text,
    "voltage": _list_of(_whole),
    "power_w": _span,
    "constructions": _list_of(_word(CONSTRUCTIONS)),
    "shown_only": _yes,
    **_ORIGIN,
}
_NEEDED: Final = {
    "limit": {"feature", "at", "basis", "source"},
    "error": {"feature", "share", "basis", "source"},
    "acceptance": {"check", "quantity", "voltage", "basis", "source"},
}


class _Reading:
    """Reads rows and keeps every fault."""

    def __init__(self) -> None:
        self.faults: list[FieldFault] = []

    def fault(
        self, value: object, expected: str, code: str, *path: str | int, nearest: str | None = None
    ) -> None:
        self.faults.append(FieldFault(path, shown(value), expected, code, nearest))

    def rows(
        self, tables: Mapping[str, Any], name: str, readers: _Readers, made: Callable[..., Any]
    ) -> tuple[Any, ...]:
        rows = tables.get(name)
        if not isinstance(rows, list) or not rows:
            self.fault("", f"one [[{name}]] at least", "missing", name)
            return ()
        found = []
        needed = _NEEDED[name]
        for index, row in enumerate(rows):
            before = len(self.faults)
            members = self._members(row, readers, name, index)
            for missing in sorted(needed - row.keys()):
                self.fault("", "a value", "missing", name, index, missing)
            if len(self.faults) == before:
                found.append(made(**members))
        return tuple(found)

    def _members(self, row: Mapping[str, Any], readers: _Readers, *path: str | int) -> dict[str, Any]:
        members = {}
        for key, value in row.items():
            if key not in readers:
                near = nearest_name(key, readers)
                self.fault(key, f"one of {', '.join(readers)}", "unknown", *path, key, nearest=near)
                continue
            try:
                members[key] = readers[key](value)
            except UnreadableLength as refused:
                self.faults.append(refused.as_fault(*path, key))
            except _Refused as refused:
                self.fault(value, refused.expected, refused.code, *path, key, nearest=refused.nearest)
        return members

    def check_limits(self, rows: tuple[LimitRow, ...]) -> None:
        """Refuse limits that limit nothing, that are reversed, or whose unit is another quantity's."""
        for index, row in enumerate(rows):
            bounds = (row.least, row.most, row.most_wear, row.least_share_of_new, row.most_clearance)
            if all(bound is None for bound in bounds):
                self.fault(
                    row.feature,
                    "a limit: least, most, or one from the new length",
                    "no_limit",
                    "limit",
                    index,
                )
            if row.least is not None and row.most is not None and row.least > row.most:
                self.fault(row.least, f"at most {row.most:g}", "reversed", "limit", index, "least")
            small = row.feature in LENGTH_OF and any(
                b is not None and b < 1_000 for b in (row.least, row.most)
            )
            if small or (row.feature not in LENGTH_OF and row.feature not in NUMBER_OF):
                self.fault(row.feature, "a length as text with its unit", "wrong_type", "limit", index)
