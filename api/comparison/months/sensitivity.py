"""How far each stated number moves the difference between the best replacement and the repair. Pure.

Every number is taken 20 % lower and 20 % higher, one at a time, and the comparison made anew with it: the
best set, and which replacement is the best, are chosen again. What a number does not touch is not computed
again. Costs now are taken without rounding here, so that an effect is no effect of rounding. A number of
zero does not move and is left out, and so are an unknown age, the age of a failed position and taxes that
stated amounts contain.
"""

from fractions import Fraction

import attrs
import numpy as np

from api.comparison.costs_now.figures import ComparisonFigures
from api.comparison.months.best_set import BasketPrices, best_repair
from api.comparison.months.failure_counts import FailureCounts
from api.comparison.months.months_terms import MonthsTerms, PositionTerms, SharedTerms
from api.comparison.months.outlook import Outlook
from api.comparison.months.stated_inputs import Input, inputs_of
from api.money.fractions import exact

SWING = Fraction(1, 5)
"""The share by which each number is lowered and raised."""
_LOWERED, _RAISED = 1 - SWING, 1 + SWING

FAILS = "worn through at {share:g}: counts as failed"


@attrs.frozen(kw_only=True)
class Swing:
    """What a number does to the difference (best replacement minus repair), in minor units.

    `low` and `high` are the values taken, `low_effect` and `high_effect` by how much the difference grows
    (below zero: shrinks) with them. `note` says where a bound was hit, or that a position fails.
    """

    name: str
    value: float
    low: float
    high: float
    low_effect: float
    high_effect: float
    amount: bool
    note: str | None

    @property
    def size(self) -> float:
        """Return the larger effect without its sign."""
        return max(abs(self.low_effect), abs(self.high_effect))


def sensitivity(
    figures: ComparisonFigures, terms: MonthsTerms, counts: FailureCounts, baskets: BasketPrices
) -> tuple[Swing, ...]:
    """Return the effect of each stated number, the largest first; nothing where there is no replacement.

    `terms` are those of the figures. Raises `TooManySets`.
    """
    if not terms.replacements:
        return ()
    again = _Again(counts, baskets)
    stated = again.difference(terms)
    swings = []
    for each in inputs_of(figures, terms):
        low, high = (min(max(value, each.least), each.most) for value in swung(each.value))
        effects = [
            0.0 if value == each.value else again.difference(each.change(terms, value)) - stated
            for value in (low, high)
        ]
        swings.append(
            Swing(
                name=each.name,
                value=each.value,
                low=low,
                high=high,
                low_effect=effects[0],
                high_effect=effects[1],
                amount=each.amount,
                note=_note(each, low, high),
            )
        )
    return tuple(sorted(swings, key=lambda swing: -swing.size))


class _Again:
    """Makes a comparison anew, keeping what the last change did not touch."""

    def __init__(self, counts: FailureCounts, baskets: BasketPrices) -> None:
        self._counts, self._baskets = counts, baskets
        self._outlooks: dict[float, Outlook] = {}
        self._repairs: dict[tuple[float, SharedTerms, tuple[PositionTerms, ...]], float] = {}

    def difference(self, terms: MonthsTerms) -> float:
        """Return the best replacement minus the repair."""
        months = terms.keep_months
        if months not in self._outlooks:
            self._outlooks[months] = Outlook(self._counts, np.array([months]))
        outlook = self._outlooks[months]
        key = (months, terms.shared, terms.positions)
        if key not in self._repairs:
            wear_parts = best_repair(attrs.evolve(terms, remainder=None), outlook, self._baskets)
            self._repairs[key] = float(wear_parts.total[0])
        replacement = min(float(outlook.replacement(terms.shared, each)[0]) for each in terms.replacements)
        return replacement - self._repairs[key] - float(outlook.remainder(terms)[0])


def swung(value: float) -> tuple[float, float]:
    """Return a number lowered and raised by `SWING`, free of binary noise."""
    stated = exact(value)
    return float(stated * _LOWERED), float(stated * _RAISED)


def _note(each: Input, low: float, high: float) -> str | None:
    if each.fails_at is not None and high >= each.fails_at:
        return FAILS.format(share=high)
    lowered, raised = swung(each.value)
    held = [f"not below {each.least:g}"] if low > lowered else []
    held += [f"not above {each.most:g}"] if high < raised else []
    return ", ".join(held) or None
