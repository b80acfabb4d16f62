"""Read the members of one entry (a row of a file, a table, a request's object), faults collected.

Every rule of the catalogue takes its entry as names with plain values: text as files and requests
write it, or numbers, lists and mappings where the format has them. A member that is absent, None or
blank text is not given. Each reading method returns the value, or a stand-in after noting the fault;
`settle` then raises all faults at once, so that a stand-in never leaves the rule.
"""

import re
from collections.abc import Collection, Iterable, Mapping
from collections.abc import Set as AbstractSet
from datetime import date
from decimal import Decimal
from functools import lru_cache
from sys import intern
from typing import Any, Self

from api.errors import FieldFault, InvalidInput, shown
from api.measurement.refusals import RefusedValue, nearest_name
from api.wear_parts.numbers import normalise_number

LONGEST_LINE = 200
"""Most characters of a name or a description (our judgement)."""

LONGEST_PROSE = 2_000
"""Most characters of notes and origins, line breaks allowed (our judgement)."""

_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")
_WORD = re.compile(r"[a-z][a-z0-9_]{0,39}")
_WHOLE = re.compile(r"-?[0-9]{1,12}")
_DECIMAL = re.compile(r"-?[0-9]{1,9}(\.[0-9]{1,9})?")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@lru_cache(maxsize=64)
def _set_of(names: tuple[str, ...]) -> frozenset[str]:
    return frozenset(names)


def _as_set(names: Collection[str]) -> AbstractSet[str]:
    """Return names as a set; of the rules' own tuples the same one every time: a file has a million rows."""
    return _set_of(names) if isinstance(names, tuple) else frozenset(names)


class EntryFields:
    """The members of one entry, read one by one; `allowed` are the names that it may have."""

    def __init__(self, entry: Mapping[str, object], allowed: Collection[str]) -> None:
        self._entry = entry
        self._faults: list[FieldFault] = []
        self._absent = False
        for name in () if entry.keys() <= _as_set(allowed) else entry:
            if name not in allowed:
                expected = f"one of {', '.join(allowed)}"
                self.refuse(name, name, expected, "unknown_field", nearest_name(name, allowed))

    def settle(self) -> None:
        """Raise `InvalidInput` with every fault noted, if there is one."""
        if self._faults:
            raise InvalidInput.of(self._faults)

    @property
    def sound(self) -> bool:
        """Return whether no fault has been noted so far."""
        return not self._faults

    def refuse(self, name: str, value: object, expected: str, code: str, nearest: str | None = None) -> None:
        """Note a fault of the member `name`."""
        plain = str(value) if isinstance(value, Decimal) else value
        self._faults.append(FieldFault((name,), shown(plain), expected, code, nearest))

    def take(self, faults: Iterable[FieldFault], *prefix: str | int) -> None:
        """Note faults that a rule found beneath `prefix`."""
        self._faults.extend(fault.beneath(*prefix) for fault in faults)

    def absorb(self, inner: "EntryFields", *prefix: str | int) -> None:
        """Note every fault of an inner entry that stands beneath `prefix`; none of an absent one."""
        if not inner._absent:
            self.take(inner._faults, *prefix)

    def mapping(self, name: str, allowed: Collection[str]) -> Self:
        """Return the reader of a required inner entry; `absorb` it under `name` once it is read."""
        value = self.given(name)
        if isinstance(value, Mapping):
            return type(self)(value, allowed)
        self.refuse(
            name,
            "" if value is None else value,
            "a table of names and values",
            "missing" if value is None else "not_table",
        )
        nothing = type(self)({}, ())
        nothing._absent = True
        return nothing

    def mappings(self, name: str) -> list[Mapping[str, object]]:
        """Return a list of inner entries, empty where it is not given."""
        value = self.given(name)
        if value is None:
            return []
        if isinstance(value, list) and all(isinstance(item, Mapping) for item in value):
            return value
        self.refuse(name, value, "a list of tables", "not_list")
        return []

    def given(self, name: str) -> Any:
        """Return the member as it stands, text trimmed; None where it is not given."""
        value = self._entry.get(name)
        if isinstance(value, str):
            return value.strip() or None
        return value

    def text(self, name: str, *, prose: bool = False) -> str:
        """Return required text of one line; `prose` may be longer and have line breaks."""
        value = self._entry.get(name)
        if isinstance(value, str) and (line := value.strip()).isprintable() and 0 < len(line) <= LONGEST_LINE:
            return line
        return self.optional_text(name, prose=prose) or self._missing(name, "a text")

    def optional_text(self, name: str, *, prose: bool = False) -> str | None:
        """Return text, or None where it is not given."""
        value = self.given(name)
        if value is None:
            return None
        most = LONGEST_PROSE if prose else LONGEST_LINE
        if isinstance(value, str) and len(value) <= most and value.isprintable():
            return value
        expected = f"text of {most} characters at most{'' if prose else ', on one line'}"
        if not isinstance(value, str):
            self.refuse(name, value, expected, "not_text")
        elif len(value) > most:
            self.refuse(name, value, expected, "too_long")
        elif any(not char.isprintable() and not (prose and char in "\r\n\t") for char in value):
            self.refuse(name, value, f"{expected}, without control characters", "control_character")
        else:
            return value
        return shown(value)

    def code(self, name: str) -> str:
        """Return a human key that stands in addresses: letters, digits, `.`, `_`, `-`; 64 at most."""
        return self._matching(name, _CODE, "a code of letters, digits, '.', '_' and '-', 64 at most")

    def word(self, name: str) -> str:
        """Return a code of the vocabulary: lower-case letters, digits and `_`, 40 at most."""
        return self._matching(name, _WORD, "a word of lower-case letters, digits and '_', 40 at most")

    def maker_number(self, name: str) -> str:
        """Return a number as its maker writes it, after checking that it can be compared."""
        value = self.text(name)
        if value:
            try:
                normalise_number(value)
            except InvalidInput as refused:
                self.take(refused.faults, name)
        return value

    def one_of(self, name: str, values: Collection[str]) -> str:
        """Return one of a few known words."""
        value = self.given(name)
        if value is None:
            return self._missing(name, f"one of {', '.join(values)}")
        if isinstance(value, str) and value in values:
            return intern(value)  # a word that thousands of entries share is kept once
        expected = f"one of {', '.join(values)}"
        self.refuse(name, value, expected, "unknown_choice", nearest_name(str(value), values))
        return str(value)

    def known(self, name: str, keys: Collection[str], noun: str) -> str:
        """Return the human key of a `noun` that must be among `keys`."""
        value = self.text(name)
        if value and value not in keys:
            self.refuse(name, value, f"a known {noun}", f"unknown_{noun}", nearest_name(value, keys))
        return intern(value)

    def whole(self, name: str, least: int, most: int, default: int | None = None) -> int:
        """Return a whole number from `least` to `most`; `default` stands in where it is not given."""
        value = self.given(name)
        if value is None and default is not None:
            return default
        if isinstance(value, str) and _WHOLE.fullmatch(value):
            value = int(value)
        is_whole = isinstance(value, int) and not isinstance(value, bool)
        if is_whole and least <= value <= most:
            return int(value)
        expected = f"a whole number from {least} to {most}"
        if value is None:
            self._missing(name, expected)
        else:
            self.refuse(name, value, expected, "out_of_range" if is_whole else "not_whole")
        return least

    def optional_whole(self, name: str, least: int, most: int) -> int | None:
        """Return a whole number from `least` to `most`, or None where it is not given."""
        return None if self.given(name) is None else self.whole(name, least, most)

    def scaled(self, name: str, scale: int, least: int, most: int) -> int:
        """Return a decimal times `scale` (a power of ten), exact; `least` and `most` bound the result."""
        digits = len(str(scale)) - 1
        expected = (
            f"a decimal from {Decimal(least) / scale} to {Decimal(most) / scale}, {digits} decimals at most"
        )
        value = self.given(name)
        if value is None:
            self._missing(name, expected)
            return least
        if isinstance(value, bool) or not _DECIMAL.fullmatch(str(value)):
            self.refuse(name, value, expected, "not_a_decimal")
            return least
        exact = Decimal(str(value)) * scale
        if exact != int(exact):
            self.refuse(name, value, expected, "too_many_decimals")
        elif not least <= exact <= most:
            self.refuse(name, value, expected, "out_of_range")
        return int(exact)

    def chance(self, name: str) -> float:
        """Return a chance, above 0 and below 1."""
        return self.scaled(name, 1_000_000_000, 1, 999_999_999) / 1_000_000_000

    def day(self, name: str) -> str:
        """Return a calendar day as ISO 8601 text, `2026-11-25`."""
        return self.optional_day(name) or self._missing(name, "a day such as 2026-11-25")

    def optional_day(self, name: str) -> str | None:
        """Return a calendar day, or None where it is not given."""
        value = self.given(name)
        if value is None:
            return None
        text = str(value)
        try:
            if not _DAY.fullmatch(text):
                raise ValueError(text)
            date.fromisoformat(text)
        except ValueError:
            self.refuse(name, value, "a day of the calendar such as 2026-11-25", "not_a_day")
        return text

    def flag(self, name: str) -> bool:
        """Return `yes` or `no` (or a true boolean) as a boolean."""
        value = self.given(name)
        return value if isinstance(value, bool) else self.one_of(name, ("yes", "no")) == "yes"

    def measured(self, name: str, refused: RefusedValue) -> None:
        """Note what the measurement rules refused of a member."""
        self._faults.append(refused.as_fault(name))

    def _matching(self, name: str, pattern: re.Pattern[str], expected: str) -> str:
        value = self.text(name)
        if value and not pattern.fullmatch(value):
            self.refuse(name, value, expected, "malformed_code")
        return value

    def _missing(self, name: str, expected: str) -> str:
        self.refuse(name, "", expected, "missing")
        return ""
