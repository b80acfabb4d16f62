"""Observations that no single fault explains, and numbers that do not go with the starter. Pure."""

from collections.abc import Iterator, Sequence
from itertools import combinations

import attrs
import numpy as np

from api.diagnosis.likelihood import Told
from api.diagnosis.stated import Chosen, Measured
from api.diagnosis.subject import Prior, Subject, is_known

LEAST_EXPLAINED = 0.1
"""How much of what two observations could each be explained by one fault has to explain (our judgement)."""

GAP = 3.0
"""How many standard uncertainties two numbers of one observation may lie apart (our judgement)."""

EITHER = "either is taken to be right as well as the other"

HALF_SYSTEM = (10.5, 14.5)
"""Volts of a rested battery of 12 V: on 24 V they are those of one of two batteries (our judgement)."""


@attrs.frozen
class Contradiction:
    """Observations that do not go together, by code, and why, in words."""

    codes: tuple[str, ...]
    words: str


def find_contradictions(
    prior: Prior, evidence: Sequence[Told], subject: Subject
) -> tuple[Contradiction, ...]:
    """Return what does not go together: within one observation, with the starter, and between two of them."""
    return (
        *(found for one in evidence for found in _within(one)),
        *(found for one in evidence for found in _half_measured(one, subject)),
        *(found for one in evidence for found in _impossible(one, subject)),
        *_between(prior, evidence),
    )


def _within(told: Told) -> Iterator[Contradiction]:
    chosen = sorted({one.answer for one in told.stated if isinstance(one, Chosen)})
    if len(chosen) > 1 and not told.stated[0].known.may_vary:
        words = f"{told.code} was answered with {' and '.join(chosen)}; {EITHER}"
        yield Contradiction((told.code,), words)
    measured = [one for one in told.stated if isinstance(one, Measured)]
    for code in dict.fromkeys(one.known.code for one in measured):
        yield from _far_apart([one for one in measured if one.known.code == code])


def _far_apart(measured: Sequence[Measured]) -> Iterator[Contradiction]:
    """Yield the two numbers of one observation that lie farthest apart, where that is too far."""
    pairs = [
        (abs(one.value - two.value) / float(np.hypot(one.uncertainty, two.uncertainty)), one, two)
        for one, two in combinations(measured, 2)
    ]
    if not pairs:
        return
    apart, one, two = max(pairs, key=lambda pair: pair[0])
    if apart > GAP:
        words = (
            f"{one.known.code} was read as {one.value:g} and as {two.value:g}, "
            f"{apart:.1f} standard uncertainties apart; {EITHER}"
        )
        yield Contradiction((one.known.code,), words)


def _half_measured(told: Told, subject: Subject) -> Iterator[Contradiction]:
    if told.code != "battery_open_circuit_volts" or subject.voltage != 24:
        return
    for one in told.stated:
        if isinstance(one, Measured) and HALF_SYSTEM[0] <= one.value <= HALF_SYSTEM[1]:
            words = f"{one.value:g} V is what one battery of 12 V shows on 24 V: was one of two measured?"
            yield Contradiction((told.code,), words)


def _impossible(told: Told, subject: Subject) -> Iterator[Contradiction]:
    for one in told.stated:
        built = subject.construction is None or subject.construction in one.known.constructions
        if not built or (subject.field is not None and subject.field not in one.known.fields):
            starter = " ".join(word for word in (subject.construction, subject.field) if word)
            yield Contradiction((one.known.code,), f"{one.known.code} cannot be observed on {starter}")
        elif isinstance(one, Chosen) and subject.field not in (None, *one.meant.fields):
            words = f"{one.known.code} cannot be answered with {one.answer} on {subject.field}"
            yield Contradiction((one.known.code,), words)


def _between(prior: Prior, evidence: Sequence[Told]) -> Iterator[Contradiction]:
    """Yield pairs that some fault explains each, and no known fault both.

    Compared is the best product of both likelihoods under one fault with the product of each at its best.
    """
    known = np.array([is_known(fault) for fault in prior.faults])
    for first, second in combinations(evidence, 2):
        one, two = first.likelihood[known], second.likelihood[known]
        explained = float((one * two).max() / (one.max() * two.max()))
        if explained < LEAST_EXPLAINED:
            words = (
                f"no single fault explains both {first.code} and {second.code} well: the best one explains "
                f"{explained:.3f} of what each could be explained by; ask and measure again, or look for two"
            )
            yield Contradiction((first.code, second.code), words)
