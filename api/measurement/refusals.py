"""What the measurement rules refuse, and the closest known name to what was written."""

from collections.abc import Iterable
from typing import Self

import attrs
from rapidfuzz import fuzz, process

from api.errors import DomainError, FieldFault, shown

NEAR_ENOUGH = 50.0
"""Least likeness, in percent of shared letters, at which a name is suggested (our judgement)."""


@attrs.frozen
class RefusedValue(DomainError):
    """A value that cannot be taken, with the reason as a stable lower-case `code` for programs.

    `value` is the piece refused, short and clean enough to echo; `expected` reads on from "expected";
    `nearest` is the closest accepted name, where there is one.
    """

    value: str
    expected: str
    code: str
    nearest: str | None = None

    @classmethod
    def because(cls, value: object, expected: str, code: str, nearest: str | None = None) -> Self:
        """Return the refusal of `value`, cleaned for echoing."""
        return cls(shown(value), expected, code, nearest)

    def explain(self) -> str:
        """Return one sentence that names the value and what was expected."""
        hint = f" The nearest known one is {self.nearest!r}." if self.nearest else ""
        return f"{self.value!r} cannot be taken; expected {self.expected}.{hint}"

    def as_fault(self, *path: str | int) -> FieldFault:
        """Return the refusal as a fault of the value that stood at `path`."""
        return FieldFault(path, self.value, self.expected, self.code, self.nearest)


@attrs.frozen
class UnreadableLength(RefusedValue):
    """A text that does not state one positive length.

    Codes: `empty`, `too_long`, `control_character`, `not_finite`, `exponent`, `unreadable`,
    `ambiguous_number`, `negative`, `zero`, `zero_denominator`, `improper_fraction`, `no_unit`,
    `unknown_unit`, `two_units`, `feet`, `too_small`, `too_large`.
    """


@attrs.frozen
class UnreadableCount(RefusedValue):
    """A value that is no plain whole number in range.

    Codes: `empty`, `too_long`, `control_character`, `not_whole`, `negative`, `too_large`.
    """


@attrs.frozen
class UnsuitableInstrument(RefusedValue):
    """An instrument that cannot take this reading. Codes: `cannot_measure`, `beyond_range`."""


def nearest_name(written: str, names: Iterable[str]) -> str | None:
    """Return the name most like `written` (case ignored), or None where nothing is near.

    Of equally near names the first wins, so the order of `names` is a preference.
    """
    found = process.extractOne(
        written.casefold(), list(names), scorer=fuzz.ratio, processor=str.casefold, score_cutoff=NEAR_ENOUGH
    )
    return found[0] if found else None
