"""Instruments as values: what each can measure, how finely it reads, how far it may be wrong."""

from typing import Literal, get_args

import attrs

from api.measurement.lengths import format_length
from api.measurement.refusals import UnsuitableInstrument

Way = Literal["outside", "inside", "depth", "span"]
"""A way of measuring a length; `span` is over gear teeth."""

WAYS: tuple[Way, ...] = get_args(Way)


@attrs.frozen
class ErrorStep:
    """Greatest permissible error (plus or minus, nm) for lengths up to and including `up_to_nm`."""

    up_to_nm: int
    error_nm: int
    source: str


@attrs.frozen
class ExtraError:
    """What one way of measuring adds to the permissible error, in nm."""

    way: Way
    error_nm: int
    source: str


@attrs.frozen
class Instrument:
    """One instrument, with a source beside each figure.

    `code` is its word on the wire, `ways` what it can measure, `resolution_nm` one step of its
    display or scale; `steps` ascend, and the last one ends its range.
    """

    code: str
    name: str
    ways: tuple[Way, ...]
    resolution_nm: int
    resolution_source: str
    steps: tuple[ErrorStep, ...]
    extra: tuple[ExtraError, ...] = ()

    @property
    def greatest_length_nm(self) -> int:
        """The longest length (nm) for which an error is stated."""
        return self.steps[-1].up_to_nm

    def check_way(self, way: Way) -> None:
        """Raise `UnsuitableInstrument` with code `cannot_measure` where it cannot measure that way."""
        if way not in self.ways:
            expected = f"an instrument that measures {way} (a {self.name} measures {', '.join(self.ways)})"
            raise UnsuitableInstrument.because(self.code, expected, "cannot_measure")

    def permissible_error_nm(self, way: Way, length_nm: int) -> int:
        """Return how far (plus or minus, nm) a sound instrument may be off at `length_nm` (above 0).

        Raises `UnsuitableInstrument` as `check_way` does, and with code `beyond_range` where no error
        is stated for so long a length.
        """
        self.check_way(way)
        for step in self.steps:
            if length_nm <= step.up_to_nm:
                return step.error_nm + sum(extra.error_nm for extra in self.extra if extra.way == way)
        expected = f"at most {format_length(self.greatest_length_nm)} by {self.name}"
        raise UnsuitableInstrument.because(format_length(length_nm), expected, "beyond_range")
