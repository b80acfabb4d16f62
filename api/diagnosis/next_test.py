"""What to observe next: what it may tell, against what it takes. Pure.

What the person may not do, what is too hazardous for him, what this starter does not allow and what was
observed forbids is left out first. The rest is ordered by minutes over the expected fall of entropy of the
faults' chances, in bits.
"""

from collections.abc import Collection, Iterator, Sequence
from typing import Final, Literal

import attrs
import numpy as np
from scipy.special import xlogy

from api.diagnosis.knowledge import AnswerKnown, Band, FaultKnown, Hazard, Knowledge, ObservationKnown
from api.diagnosis.likelihood import chance_table
from api.diagnosis.subject import Prior, Subject, Vector

Person = Literal["do_it_yourselfer", "repairer"]

HAZARDS: Final[tuple[Hazard, ...]] = ("none", "low", "moderate", "high")
MOST_HAZARD: Final[dict[Person, Hazard]] = {"do_it_yourselfer": "moderate", "repairer": "high"}
LEAST_BITS, LEAST_SHARE = 0.02, 0.25
"""What tells less than so many bits, or than this share of the most telling test that the person may do, is
not worth doing now, however little it takes (our judgement)."""

SETTLED = 0.9
"""From this chance on a fault counts as found (our judgement)."""


@attrs.frozen
class Expected:
    """One answer that a test may have: its chance, and the fault that would then lead, with its chance."""

    answer: AnswerKnown | Band
    chance: float
    leading: str
    leading_chance: float


@attrs.frozen
class Advice:
    """A test worth doing: the bits it is expected to tell, its minutes for each, the chance that it settles
    which fault it is, and its answers, likeliest first."""

    known: ObservationKnown
    bits: float
    minutes_per_bit: float
    settling_chance: float
    answers: tuple[Expected, ...]


def advise(
    knowledge: Knowledge,
    subject: Subject,
    person: Person,
    prior: Prior,
    chances: Vector,
    observed: Collection[str],
    stopped: Collection[str] = (),
) -> tuple[Advice, ...]:
    """Return the tests worth doing, the best first; none where nothing would tell enough.

    Tests with a caution of `stopped` are left out: what was observed forbids them.
    """
    weighed = [
        _weigh(known, prior, chances)
        for known in knowledge.observations.values()
        if known.code not in observed
        and may_do(known, subject, person)
        and not set(known.cautions) & set(stopped)
    ]
    least = max(LEAST_BITS, LEAST_SHARE * max((one.bits for one in weighed), default=0.0))
    worth = [one for one in weighed if one.bits >= least]
    return tuple(sorted(worth, key=lambda one: (one.minutes_per_bit, one.known.code)))


def may_do(known: ObservationKnown, subject: Subject, person: Person) -> bool:
    """Return whether this person may do a test on this starter; the no-load numbers come with their test."""
    if known.no_load is not None or not is_allowed(known, person):
        return False
    fits = subject.construction is None or subject.construction in known.constructions
    return fits and (subject.field is None or subject.field in known.fields)


def is_allowed(known: ObservationKnown, person: Person) -> bool:
    """Return whether a person may do this, by who has to and how hazardous it is."""
    practised = known.who == "anyone" or person == "repairer"
    return practised and HAZARDS.index(known.hazard) <= HAZARDS.index(MOST_HAZARD[person])


def _entropy_bits(chances: Vector) -> Vector:
    return np.asarray(-xlogy(chances, chances).sum(axis=0) / np.log(2))


def _weigh(known: ObservationKnown, prior: Prior, chances: Vector) -> Advice:
    together = chance_table(known, prior.faults) * chances[:, None]
    of_answers = together.sum(axis=0)
    after = together / of_answers
    bits = float(_entropy_bits(chances) - (of_answers * _entropy_bits(after)).sum())
    settles = (after.max(axis=0) >= SETTLED) & (chances.max() < SETTLED)
    return Advice(
        known,
        max(bits, 0.0),
        known.minutes.value / max(bits, 1e-9),
        float(of_answers[settles].sum()),
        tuple(sorted(_expected(known, prior.faults, of_answers, after), key=lambda one: -one.chance)),
    )


def _expected(
    known: ObservationKnown, faults: Sequence[FaultKnown], of_answers: Vector, after: Vector
) -> Iterator[Expected]:
    for place, answer in enumerate(known.outcomes()):
        leading = int(after[:, place].argmax())
        yield Expected(answer, float(of_answers[place]), faults[leading].code, float(after[leading, place]))
