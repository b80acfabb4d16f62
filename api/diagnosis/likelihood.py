"""How likely an observation is under each fault. Pure.

A choice: the chance of the answer. A number: the true value lies in a band with the band's chance, evenly
spread over it; the reading blurs it with a normal error; one reading in fifty is taken to be a slip,
evenly spread over everything plausible. No observation has a likelihood of 0 under any fault.
"""

from collections.abc import Mapping, Sequence

import attrs
import numpy as np
from scipy.special import ndtr

from api.diagnosis.knowledge import OTHER, FaultKnown, ObservationKnown
from api.diagnosis.stated import Chosen, Measured, Stated
from api.diagnosis.subject import Vector

SLIP = 0.02
"""Chance that a number was misread or mistyped (our judgement)."""

STATES = ("none", "low", "rated", "high")
"""How speed and current of a no-load test stand to their rated ranges, in ascending order."""

OTHER_EVEN = 0.2
"""How much of the unknown fault's chances is spread evenly; the rest is `otherwise` (our judgement)."""


@attrs.frozen
class Told:
    """One piece of evidence: its code, what was stated of it, and its likelihood under each fault (relative).

    Where several answers or numbers were given for one code, one of them is right and each as well as the
    others: the likelihood is their mean, so that it counts once. The amperes and rpm of one no-load test are
    one piece of evidence.
    """

    code: str
    stated: tuple[Stated, ...]
    likelihood: Vector


def chances_of(known: ObservationKnown, fault: FaultKnown) -> Vector:
    """Return the chances of each answer or band under a fault, in their order."""
    otherwise = np.array(known.otherwise.chances)
    for row in known.rows:
        if fault.code in row.faults:
            return np.array(row.chances)
    if fault.code == OTHER:
        return (1 - OTHER_EVEN) * otherwise + OTHER_EVEN / len(otherwise)
    return otherwise


def chance_table(known: ObservationKnown, faults: Sequence[FaultKnown]) -> Vector:
    """Return the chances by fault (rows) and answer or band (columns)."""
    return np.array([chances_of(known, fault) for fault in faults])


def weigh_evidence(
    stated: Sequence[Stated], faults: Sequence[FaultKnown], observations: Mapping[str, ObservationKnown]
) -> tuple[Told, ...]:
    """Return the pieces of evidence in order of their code, whatever order they were stated in."""
    by_code: dict[str, list[Stated]] = {}
    for one in stated:
        by_code.setdefault(one.known.no_load or one.known.code, []).append(one)
    return tuple(
        Told(code, _in_order(given), _likelihood(observations[code], given, faults))
        for code, given in sorted(by_code.items())
    )


def _in_order(given: Sequence[Stated]) -> tuple[Stated, ...]:
    return tuple(sorted(given, key=lambda one: (one.known.code, _value(one))))


def _value(one: Stated) -> str:
    return one.answer if isinstance(one, Chosen) else f"{one.value:020.6f}"


def _likelihood(known: ObservationKnown, given: Sequence[Stated], faults: Sequence[FaultKnown]) -> Vector:
    table = chance_table(known, faults)
    if any(one.known.no_load for one in given):
        return _no_load(known, given, table)
    each = [
        table[:, [answer.code for answer in known.answers].index(one.answer)]
        if isinstance(one, Chosen)
        else _of_number(one, table)
        for one in _in_order(given)
    ]
    return np.asarray(np.mean(each, axis=0))


def _of_number(measured: Measured, table: Vector) -> Vector:
    """Return the density of a reading under each fault, per unit of the number."""
    widths = np.diff(measured.edges)
    spread = _inside(measured) / widths
    plausible = measured.edges[-1] - measured.edges[0]
    return np.asarray((1 - SLIP) * table @ spread + SLIP / plausible)


def _inside(measured: Measured) -> Vector:
    """Return the chance that the true value lies in each band, by the reading alone."""
    below = ndtr((np.array(measured.edges) - measured.value) / measured.uncertainty)
    return np.diff(below)


def _no_load(known: ObservationKnown, given: Sequence[Stated], table: Vector) -> Vector:
    """Return the likelihood of speed and current of a no-load test, through the rows that they fill.

    A reading gives each of its four states a weight (they add up to 1); what was not measured leaves all
    alike. A row's chance goes to its cell, that of the answer without a cell evenly to all cells left.
    """
    speed, current = np.ones(4), np.ones(4)
    for unit in ("rpm", "amperes"):
        read = [
            _states(one)
            for one in given
            if isinstance(one, Measured) and one.known.number is not None and one.known.number.unit == unit
        ]
        if read and unit == "rpm":
            speed = np.mean(read, axis=0)
        elif read:
            current = np.mean(read, axis=0)
    weights = np.outer(speed, current)
    return np.asarray(table @ _cell_weights(known, weights))


def _states(measured: Measured) -> Vector:
    inside = _inside(measured)
    even = np.full(len(inside), 1 / len(inside))
    held = inside / inside.sum() if inside.sum() > 0 else even
    return (1 - SLIP) * held + SLIP * even


def _cell_weights(known: ObservationKnown, weights: Vector) -> Vector:
    """Return the weight of each answer: of its cell, or the mean of the cells that no answer has."""
    cells = {
        place: (STATES.index(answer.cell[0]), STATES.index(answer.cell[1]))
        for place, answer in enumerate(known.answers)
        if answer.cell is not None
    }
    taken = np.zeros_like(weights, dtype=bool)
    for cell in cells.values():
        taken[cell] = True
    rest = weights[~taken].mean()
    return np.array(
        [weights[cells[place]] if place in cells else rest for place in range(len(known.answers))]
    )
