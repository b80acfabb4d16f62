"""What repair and replacement are expected to cost when it is not yet sure which fault it is. Pure."""

from collections.abc import Sequence
from fractions import Fraction

import attrs

from api.money.amounts import Money


@attrs.frozen
class PricedOption:
    """An option of a comparison for one fault: its id, what it is, and its total."""

    id: str
    option: str
    total: Money


@attrs.frozen
class PricedFault:
    """A fault with its probability and what each option costs if it is the one."""

    fault: str
    probability: float
    options: tuple[PricedOption, ...]


def expect_costs(faults: Sequence[PricedFault]) -> tuple[PricedOption, ...]:
    """Return each option's total, averaged over the faults by their probabilities, rounded once.

    The mean is over the priced faults alone: given that one of them is it. Options that not every fault
    has are left out. No faults: nothing.
    """
    if not faults:
        return ()
    whole = sum((Fraction(one.probability) for one in faults), start=Fraction(0))
    expected = []
    for option in faults[0].options:
        totals = [(one, each.total) for one in faults for each in one.options if each.id == option.id]
        if len(totals) == len(faults):
            first = totals[0][1]
            minor = sum(Fraction(one.probability) * total.minor for one, total in totals) / whole
            mean = Money(1, first.currency).times(Fraction(minor))
            expected.append(PricedOption(option.id, option.option, mean))
    return tuple(expected)
