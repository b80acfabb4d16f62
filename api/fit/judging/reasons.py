"""What one check says of one dimension, with its figures, and the grade that reasons add up to. Pure."""

from collections.abc import Iterable
from typing import Final, Literal

import attrs

Grade = Literal["fits", "fits_with_rework", "does_not_fit", "unknown"]

GRADE_ORDER: Final[tuple[Grade, ...]] = ("fits", "fits_with_rework", "unknown", "does_not_fit")
"""From the best to the worst."""


@attrs.frozen
class Figure:
    """A number that a verdict rests on; its name carries its unit (`least_clearance_mm`)."""

    name: str
    value: float


@attrs.frozen
class Reason:
    """What one dimension (or the listing, or the part's voltage) says, in words with figures.

    `exact` marks a count, a choice or a voltage: what cannot be a matter of tolerance.
    """

    dimension: str
    verdict: Grade
    text: str
    exact: bool = False
    figures: tuple[Figure, ...] = ()


def grade_of(reasons: Iterable[Reason]) -> Grade:
    """Return the grade of reasons that all count: one that does not fit decides, then one unknown.

    No reason at all is `unknown`, never a pass.
    """
    verdicts = {reason.verdict for reason in reasons}
    for grade in ("does_not_fit", "unknown", "fits_with_rework", "fits"):
        if grade in verdicts:
            return grade
    return "unknown"


def limiting_reason(reasons: Iterable[Reason]) -> Reason | None:
    """Return the first reason whose verdict decides the grade, or None where there is no reason."""
    told = tuple(reasons)
    grade = grade_of(told)
    return next((reason for reason in told if reason.verdict == grade), None)
