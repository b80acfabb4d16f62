"""What a value becomes when records speak: which follow them, which stand, and why. Pure.

A value that its maker, a standard or the keeper of the catalogue states is never overwritten: a disagreement
is told instead. What is not recorded follows the records; so does what was measured without one, once two
specimens tell. Where specimens contradict each other, the majority that agrees counts, else what stood before
any record. So a value follows from what stood there and from the set of records alone: in whichever order
they came, and whichever came and went again.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Final, Literal

import attrs

from api.measurement.ranges import parse_range
from api.records.evidence import Evidence

MEASURED: Final = "measured"

Standing = Literal[
    "not_measured", "no_reading_counts", "follows_records", "inconsistent", "stated", "breaks_a_rule"
]
"""How a value stands to the records of it."""

Rules = Callable[[Mapping[str, str]], Mapping[str, str]]
"""The catalogue's rule of a whole size or seat: from its values to what is expected of faulty features."""

LEAST_SPECIMENS: Final = 2
"""Specimens that a measured value gives way to which nobody kept a record of (our judgement)."""

EXPANSION: Final = 2.0
"""Beyond so many standard uncertainties outside stated limits, records disagree (JCGM 100:2008, 6.3.3)."""


@attrs.frozen
class Held:
    """A value in the words of the catalogue's files, where it comes from and how well it is known (nm)."""

    value: str | None = None
    provenance: str | None = None
    uncertainty_nm: int | None = None


@attrs.frozen
class Learned:
    """One former change of a value by the records."""

    former: Held
    adopted: Held


@attrs.frozen
class Disagreement:
    """What the records say against a stated value: how far outside its limits (nm, signed; None of words)."""

    stated: str
    measured: str
    gap_nm: float | None = None
    standardised: float | None = None


@attrs.frozen(kw_only=True)
class Lesson:
    """What one feature holds, what its records say, what it is to hold, and how that stands to them."""

    feature: str
    present: Held
    evidence: Evidence
    target: Held
    standing: Standing
    disagreement: Disagreement | None = None
    expected: str | None = None

    @property
    def is_news(self) -> bool:
        """Whether the value is to change."""
        return self.target != self.present


def before_records(present: Held, history: Sequence[Learned]) -> Held:
    """Return what stood there before any record spoke, or since somebody last wrote it by hand.

    `history` goes from the oldest change to the latest.
    """
    base = present
    for change in reversed(history):
        if change.adopted != base:
            break
        base = change.former
    return base


def draw_lesson(feature: str, present: Held, evidence: Evidence, history: Sequence[Learned]) -> Lesson:
    """Return what a feature is to hold by itself, before the rules of the whole are asked."""

    base = before_records(present, history)

    def lesson(standing: Standing, target: Held, against: Disagreement | None = None) -> Lesson:
        return Lesson(
            feature=feature,
            present=present,
            evidence=evidence,
            target=target,
            standing=standing,
            disagreement=against,
        )

    if base.value is not None and (base.provenance != MEASURED or evidence.specimens < LEAST_SPECIMENS):
        untold = evidence.specimens == 0 or not evidence.is_consistent
        return lesson("stated", base, None if untold else find_disagreement(base.value, evidence))
    if evidence.specimens == 0:
        return lesson("no_reading_counts" if evidence.passed_over else "not_measured", base)
    told = base if evidence.value is None else Held(evidence.value, MEASURED, evidence.uncertainty_nm)
    return lesson("follows_records" if evidence.is_consistent else "inconsistent", told)


def find_disagreement(stated: str, evidence: Evidence) -> Disagreement | None:
    """Return how consistent records contradict a stated value, if they do."""
    said = evidence.value or ""
    if evidence.length is None or not stated[:1].isdigit():
        return None if said == stated else Disagreement(stated, said)
    limits, length = parse_range(stated), evidence.length
    gap = min(length.mean_nm - limits.lower_nm, 0.0) or max(length.mean_nm - limits.upper_nm, 0.0)
    if abs(gap) <= EXPANSION * length.uncertainty_nm:
        return None
    return Disagreement(stated, said, gap, gap / length.uncertainty_nm)


def keep_to_rules(lessons: Sequence[Lesson], rules: Rules) -> tuple[Lesson, ...]:
    """Return the lessons with those undone that would break the rules of the whole."""
    refused: dict[str, str] = {}
    known = set(rules(_values(lessons, ())))
    while True:
        wanted = [one.feature for one in lessons if one.is_news and one.feature not in refused]
        faults = {
            feature: expected
            for feature, expected in rules(_values(lessons, wanted)).items()
            if feature not in known or feature in wanted
        }
        if not faults or not wanted:
            break
        refused |= _culprits(lessons, wanted, faults, rules)
    return tuple(
        attrs.evolve(one, target=one.present, standing="breaks_a_rule", expected=refused[one.feature])
        if one.feature in refused
        else one
        for one in lessons
    )


def _culprits(
    lessons: Sequence[Lesson], wanted: Sequence[str], faults: Mapping[str, str], rules: Rules
) -> dict[str, str]:
    """Return which changes to leave, with what was expected: the faulty ones, else one that mends all."""
    direct = {feature: expected for feature, expected in faults.items() if feature in wanted}
    if direct:
        return direct
    expected = "; ".join(f"{feature}: {told}" for feature, told in faults.items())
    for feature in wanted:
        rest = [one for one in wanted if one != feature]
        if not set(rules(_values(lessons, rest))) & set(faults):
            return {feature: expected}
    return dict.fromkeys(wanted, expected)


def _values(lessons: Sequence[Lesson], changed: Collection[str]) -> dict[str, str]:
    """Return all values by feature, the changed ones as they would be."""
    told = {one.feature: (one.target if one.feature in changed else one.present).value for one in lessons}
    return {feature: value for feature, value in told.items() if value is not None}
