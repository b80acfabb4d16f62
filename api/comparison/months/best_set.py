"""Which positions to renew while the starter is open, at each horizon: the set that costs least. Pure.

Failed positions are renewed, with everything that is renewed together with them. With stated part costs
the rest separates: a unit (a position, or a group renewed as one) is renewed where it saves more later
than it costs now. Positions bought by baskets share packs and shipping, so every set of those whose
saving exceeds their bench labour is priced by its own basket; the others cannot pay, since buying more
never costs less. Ties, within the precision of the counts, go to the smaller set.
"""

from itertools import combinations

import attrs
import numpy as np

from api.comparison.costs_now.figures import ComparisonFigures
from api.comparison.months.failure_process import FloatArray
from api.comparison.months.months_terms import MonthsTerms, basket_price, opening_now
from api.comparison.months.outlook import Outlook
from api.comparison.months.units import TIE, BoolArray, Unit
from api.errors import DomainError, FieldFault

MOST_FREE_UNITS = 8
"""Most sound positions (or groups) bought by baskets: 256 sets to price at worst (our judgement)."""


@attrs.frozen
class TooManySets(DomainError):
    """Too many sound positions are bought by baskets for every set of them to be priced."""

    positions: tuple[str, ...]
    most: int = MOST_FREE_UNITS

    def explain(self) -> str:
        """Return how many there are and what would help."""
        return (
            f"{len(self.positions)} sound positions have no stated part cost; expected {self.most} at most, "
            "since every set of them is priced by its own basket. State part costs, or name fewer."
        )

    def fault(self, *path: str | int) -> FieldFault:
        """Return this as a fault of the list of positions at `path`."""
        expected = f"{self.most} sound positions at most without part_cost"
        return FieldFault(path, str(len(self.positions)), expected, "too_many_sets")


class BasketPrices:
    """What baskets cost, as stated and with shipping, each asked for once."""

    def __init__(self, figures: ComparisonFigures) -> None:
        self._figures = figures
        self._prices: dict[frozenset[str], float] = {}

    def price(self, positions: frozenset[str]) -> float:
        """Return the price in minor units of the basket for these positions; nothing for none."""
        if positions not in self._prices:
            self._prices[positions] = basket_price(self._figures.bought_for(positions))
        return self._prices[positions]


@attrs.frozen
class RepairOutlook:
    """The repair at each horizon: its total with the best set, and which unit that set renews."""

    total: FloatArray
    units: tuple[Unit, ...]
    chosen: BoolArray

    def renewed(self, horizon: int) -> frozenset[str]:
        """Return the names renewed at the horizon of this place."""
        pairs = zip(self.units, self.chosen[:, horizon], strict=True)
        return frozenset(name for unit, chosen in pairs if chosen for name in unit.names)


def units_of(terms: MonthsTerms, outlook: Outlook) -> tuple[Unit, ...]:
    """Return the units of a comparison with their gains. Raises `TooManySets`."""
    units = tuple(
        outlook.unit(terms.shared, tuple(terms.positions[place] for place in places))
        for places in terms.units
    )
    free = [unit for unit in units if unit.bought and not unit.forced]
    if len(free) > MOST_FREE_UNITS:
        raise TooManySets(tuple(name for unit in free for name in unit.names))
    return units


def best_repair(terms: MonthsTerms, outlook: Outlook, baskets: BasketPrices) -> RepairOutlook:
    """Return the repair with its best set at every horizon of the outlook. Raises `TooManySets`."""
    units = units_of(terms, outlook)
    total = opening_now(terms.shared) + outlook.remainder(terms)
    chosen = np.zeros((len(units), len(outlook.horizons)), dtype=np.bool_)
    for place, unit in enumerate(units):
        if unit.forced:
            total = total + unit.now + unit.renewed
            chosen[place] = True
        else:
            total = total + unit.kept
            if not unit.bought and unit.pays.any():
                total = total - np.where(unit.pays, unit.gain, 0.0)
                chosen[place] = unit.pays
    candidates = tuple(
        place for place, unit in enumerate(units) if unit.bought and not unit.forced and unit.pays.any()
    )
    sets = sets_of(candidates)
    factor = terms.shared.basket_factor * terms.shared.tax_parts
    costs = [factor * baskets.price(bought) for bought in bought_by(units, sets)]
    best = np.full(len(outlook.horizons), costs[0])
    which = np.zeros(len(outlook.horizons), dtype=np.intp)
    tie = TIE * sum((units[place].kept for place in candidates), start=0.0 * best)
    for number, (each, cost) in enumerate(zip(sets, costs, strict=True)):
        net = cost - sum((units[place].gain for place in each), start=0.0 * best)
        better = net < best - tie
        best, which = np.where(better, net, best), np.where(better, number, which)
    for place in candidates:
        chosen[place] = np.array([place in each for each in sets])[which]
    return RepairOutlook(total + best, units, chosen)


def sets_of(candidates: tuple[int, ...]) -> list[tuple[int, ...]]:
    """Return every set of the candidates, smaller ones first, the empty one at the head."""
    return [each for size in range(len(candidates) + 1) for each in combinations(candidates, size)]


def bought_by(units: tuple[Unit, ...], sets: list[tuple[int, ...]]) -> list[frozenset[str]]:
    """Return for each set of units what baskets buy with it: its positions and those that are forced."""
    forced = frozenset(name for unit in units if unit.forced for name in unit.bought)
    return [forced.union(*(units[place].bought for place in each)) for each in sets]
