"""A hole over something round or square: the clearance they leave, and what to make of it. Pure."""

from typing import Protocol

import attrs

from api.fit.judging.gaps import exact_span
from api.fit.judging.reasons import Reason
from api.measurement.lengths import format_length


class Ranged(Protocol):
    """Whatever may state a range of lengths."""

    @property
    def lower_nm(self) -> int | None:
        """The lower end, in nanometres."""

    @property
    def upper_nm(self) -> int | None:
        """The upper end, in nanometres."""


@attrs.frozen
class Limits:
    """Up to which greatest clearance (nm) something fits, and from which it does not; between: unknown."""

    fits_to_nm: int
    refused_from_nm: int


def range_of(entry: Ranged | None) -> tuple[int, int] | None:
    """Return a stated range in nanometres, or None where none is stated."""
    if entry is None or entry.lower_nm is None or entry.upper_nm is None:
        return None
    return entry.lower_nm, entry.upper_nm


def judge_clearance(
    dimension: str, hole: tuple[int, int], inner: tuple[int, int], limits: Limits, words: str
) -> Reason:
    """Return what the clearance of `inner` in `hole` (ranges in nm) says of a dimension.

    Surely no clearance: does not fit. Surely some, and not too much: fits. Else unknown. `words` names
    the pair in the sentence ("over the shaft").
    """
    least, most = hole[0] - inner[1], hole[1] - inner[0]
    told = f"clearance {words} {exact_span((least, most))}"
    if most <= 0:
        return Reason(dimension, "does_not_fit", f"{told}: it does not go together")
    if least >= limits.refused_from_nm:
        return Reason(dimension, "does_not_fit", f"{told}: far too loose")
    if least <= 0:
        return Reason(dimension, "unknown", f"{told}: it may not go together")
    if most > limits.fits_to_nm:
        return Reason(dimension, "unknown", f"{told}: looser than {_mm(limits.fits_to_nm)}")
    return Reason(dimension, "fits", told)


def _mm(nm: int) -> str:
    return format_length(nm)
