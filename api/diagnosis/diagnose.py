"""One diagnosis: from a starter and what was observed to ranked faults and the next test. Pure."""

from collections.abc import Sequence

import attrs
import numpy as np

from api.diagnosis.contradictions import Contradiction, find_contradictions
from api.diagnosis.knowledge import AnswerKnown, FaultKnown, Knowledge
from api.diagnosis.likelihood import Told, weigh_evidence
from api.diagnosis.next_test import Advice, Person, advise
from api.diagnosis.posterior import weigh
from api.diagnosis.stated import Chosen, Stated
from api.diagnosis.subject import Subject, weigh_faults


@attrs.frozen
class Moved:
    """What one piece of evidence added to the natural logarithm of a fault's odds."""

    told: Told
    log_odds: float


@attrs.frozen
class RankedFault:
    """A fault with its chance before and after, and what moved it, the strongest first."""

    known: FaultKnown
    before: float
    chance: float
    moved: tuple[Moved, ...]


@attrs.frozen
class Diagnosis:
    """Faults, likeliest first (chances add up to 1), evidence by code, contradictions, tests, best first.

    `cautions` are the codes of those that what was observed calls for.
    """

    subject: Subject
    faults: tuple[RankedFault, ...]
    evidence: tuple[Told, ...]
    contradictions: tuple[Contradiction, ...]
    advice: tuple[Advice, ...]
    cautions: tuple[str, ...] = ()


def diagnose(knowledge: Knowledge, subject: Subject, person: Person, stated: Sequence[Stated]) -> Diagnosis:
    """Weigh what was observed; the order in which it was stated does not matter."""
    prior = weigh_faults(knowledge, subject)
    evidence = weigh_evidence(stated, prior.faults, knowledge.observations)
    weighed = weigh(prior, evidence)
    order = np.argsort(-weighed.chances, kind="stable")
    observed = {one.code for one in evidence}
    given = _answers(evidence)
    stopped = {code for answer in given for code in answer.stops}
    return Diagnosis(
        subject,
        tuple(
            RankedFault(
                prior.faults[place],
                float(prior.chances[place]),
                float(weighed.chances[place]),
                _moved(evidence, [float(share) for share in weighed.log_odds[place]]),
            )
            for place in order
        ),
        evidence,
        find_contradictions(prior, evidence, subject),
        advise(knowledge, subject, person, prior, weighed.chances, observed, stopped),
        tuple(dict.fromkeys(code for answer in given for code in answer.cautions)),
    )


def _answers(evidence: Sequence[Told]) -> list[AnswerKnown]:
    """Return the answers that were given to questions."""
    chosen = [one for told in evidence for one in told.stated if isinstance(one, Chosen)]
    return [answer for one in chosen for answer in one.known.answers if answer.code == one.answer]


def _moved(evidence: Sequence[Told], shares: Sequence[float]) -> tuple[Moved, ...]:
    moved = [Moved(told, share) for told, share in zip(evidence, shares, strict=True)]
    return tuple(sorted(moved, key=lambda one: (-abs(one.log_odds), one.told.code)))
