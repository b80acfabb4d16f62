"""The warranty of parts bought from offers, by the offers that are taken in the end. Pure.

Which offers a basket takes hangs on what else is renewed, and what pays to be renewed hangs on the warranty.
So the best set is found with the warranty of each part bought alone, then with that of the basket found,
until both agree. Where they do not, each part takes the shortest warranty met: never a longer one than is
bought (our judgement).
"""

from collections.abc import Collection, Mapping

import attrs
import numpy as np

from api.comparison.costs_now.figures import ComparisonFigures
from api.comparison.from_catalogue.parts_baskets import PartsBaskets
from api.comparison.months.best_set import BasketPrices, best_repair
from api.comparison.months.check_months import check_over_months
from api.comparison.months.months_terms import terms_of
from api.comparison.months.outlook import Outlook, prepare_counts
from api.comparison.months.over_months import OverMonths

MOST_ROUNDS = 8
"""Rounds until the warranties are taken as not agreeing; two are usual (our judgement)."""


def settle_warranties(
    figures: ComparisonFigures,
    months: OverMonths,
    baskets: PartsBaskets,
    names: Collection[str],
    most_rounds: int = MOST_ROUNDS,
) -> OverMonths:
    """Return the months with the warranty of the positions named, which baskets buy.

    Raises what `check_over_months` raises.
    """
    check_over_months(figures, months)
    if not names:
        return months
    bought = frozenset(each.position for each in figures.positions if not each.parts)
    warranty = {
        name: float(baskets.warranty_months(frozenset({name}))[name])
        for name in sorted(bought.intersection(names))
    }
    shortest = dict(warranty)
    for _ in range(most_rounds):
        months = _with(months, warranty)
        renewed = _best_set(figures, months) & bought
        taken = baskets.warranty_months(renewed)
        settled = {name: float(taken.get(name, months)) for name, months in warranty.items()}
        if settled == warranty:
            return months
        warranty = settled
        shortest = {name: min(shortest[name], months) for name, months in settled.items()}
    return _with(months, shortest)


def _with(months: OverMonths, warranty: Mapping[str, float]) -> OverMonths:
    positions = {
        name: attrs.evolve(wear, warranty_months=warranty.get(name, wear.warranty_months))
        for name, wear in months.positions.items()
    }
    return attrs.evolve(months, positions=positions)


def _best_set(figures: ComparisonFigures, months: OverMonths) -> frozenset[str]:
    terms = terms_of(figures, months)
    kept = np.array([months.keep_months])
    warranties = np.array([each.warranty_months for each in terms.positions])
    counts = prepare_counts(terms, np.concatenate([kept, warranties]))
    return best_repair(terms, Outlook(counts, kept), BasketPrices(figures)).renewed(0)
