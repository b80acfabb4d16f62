"""What is said of one dimension, and the grade that the reasons add up to. Pure."""

from collections.abc import Iterable
from typing import Final, Literal

import attrs

Grade = Literal["fits", "fits_with_rework", "does_not_fit", "unknown"]
Relation = Literal["listed", "same_size", "overlapping_size", "look_alike"]
"""Listed by its maker for the position; of the very size of a listed part (or of the part asked about);
of a size that overlaps it in every length and equals it in every count and choice; overlapping in every
length, but different in a count or a choice."""

GRADE_ORDER: Final[tuple[Grade, ...]] = ("fits", "fits_with_rework", "unknown", "does_not_fit")
RELATION_ORDER: Final[tuple[Relation, ...]] = ("listed", "same_size", "overlapping_size", "look_alike")


@attrs.frozen
class Reason:
    """What one dimension (or the listing, or the part's voltage) says, in words with figures.

    `exact` marks a count, a choice or a voltage: what cannot be a matter of tolerance.
    """

    dimension: str
    verdict: Grade
    text: str
    exact: bool = False


@attrs.frozen
class Judgement:
    """A grade and everything it rests on."""

    relation: Relation
    grade: Grade
    reasons: tuple[Reason, ...]


def grade_of(reasons: Iterable[Reason]) -> Grade:
    """Return the grade of reasons that all count: one that does not fit decides, then one unknown.

    No reason at all is `unknown`, never a pass.
    """
    verdicts = {reason.verdict for reason in reasons}
    for grade in ("does_not_fit", "unknown", "fits_with_rework", "fits"):
        if grade in verdicts:
            return grade
    return "unknown"
