"""How a part came into question, and the judgement of it. Pure."""

from typing import Final, Literal

import attrs

from api.fit.judging.reasons import Grade, Reason

Relation = Literal["listed", "same_size", "overlapping_size", "look_alike"]
"""Listed by its maker for the position; of the very size of a listed part (or of the part asked about);
of a size that overlaps it in every length and equals it in every count and choice; overlapping in every
length, but different in a count or a choice."""

RELATION_ORDER: Final[tuple[Relation, ...]] = ("listed", "same_size", "overlapping_size", "look_alike")


@attrs.frozen
class Judgement:
    """A grade and everything it rests on."""

    relation: Relation
    grade: Grade
    reasons: tuple[Reason, ...]
