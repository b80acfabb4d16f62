"""At which months, labour rate and price a replacement and the repair cost the same in all. Pure.

The best set of the repair is chosen anew at each. Months: the difference is computed every month from 1
to 240; where it changes sign, or turns so near to zero that it may have touched it, it is looked at again
in smaller steps, between which it is taken as straight. Labour rate and price: exactly, at the months
that the starter is kept (`lines`).
"""

from collections.abc import Callable, Mapping

import attrs
import numpy as np
import numpy.typing as npt

from api.comparison.months.best_set import BasketPrices, best_repair, bought_by, sets_of, units_of
from api.comparison.months.failure_counts import FailureCounts
from api.comparison.months.failure_process import FloatArray
from api.comparison.months.lines import Line, SumOfSmallest, roots_from_zero
from api.comparison.months.months_terms import MonthsTerms, ReplacementTerms, opening_now
from api.comparison.months.outlook import Outlook
from api.comparison.months.over_months import LEAST_KEEP_MONTHS, MOST_KEEP_MONTHS

SEARCHED_MONTHS: FloatArray = np.arange(LEAST_KEEP_MONTHS, MOST_KEEP_MONTHS + 1)
"""The horizons at which the difference is computed first."""
STEPS_OF_A_MONTH = 64
"""Into how many steps a month that may hold a break-even is divided."""

Difference = Mapping[str, FloatArray]


@attrs.frozen
class Crossing:
    """A horizon at which both cost the same; whether the repair is the cheaper one before it."""

    months: float
    repair_cheaper_before: bool


@attrs.frozen(kw_only=True)
class BreakEven:
    """Where a replacement and the repair cost the same in all; what is left out is not there.

    `keep_months` are all such horizons, ascending. `labour_rate` (per hour) and `replacement_price` are in
    minor units, as stated: the nearest to the stated one where there are two. `none_because` says in
    words why there is none, by the name of the field.
    """

    keep_months: tuple[Crossing, ...]
    labour_rate: float | None
    replacement_price: float | None
    none_because: Mapping[str, str]


def break_evens(terms: MonthsTerms, counts: FailureCounts, baskets: BasketPrices) -> Mapping[str, BreakEven]:
    """Return the break-evens with each replacement, by its id. Raises `TooManySets`.

    `counts` are best prepared at `SEARCHED_MONTHS` and at the months that the starter is kept.
    """
    differences = _differences(terms, Outlook(counts, SEARCHED_MONTHS), baskets)
    crossings = _crossings(terms, differences, counts, baskets)
    kept = Outlook(counts, np.array([terms.keep_months]))
    found = {}
    for each in terms.replacements:
        none: dict[str, str] = {}
        if not crossings[each.id]:
            none["keep_months"] = _always(
                differences[each.id][0], each.id, "at every horizon up to 240 months"
            )
        by_rate = labour_difference(terms, each, kept, baskets)
        rate = _nearest(by_rate, terms.shared.rate_per_hour)
        if rate is None:
            value = by_rate.in_force(terms.shared.rate_per_hour).at(terms.shared.rate_per_hour)
            none["labour_rate"] = _always(value, each.id, "at every labour rate")
        by_price = price_difference(terms, each, kept, baskets)
        price = _nearest(by_price, each.price)
        if price is None:
            value = by_price.in_force(each.price).at(each.price)
            none["replacement_price"] = _always(value, each.id, "at every price, even at none")
        found[each.id] = BreakEven(
            keep_months=crossings[each.id], labour_rate=rate, replacement_price=price, none_because=none
        )
    return found


def labour_difference(
    terms: MonthsTerms, replacement: ReplacementTerms, outlook: Outlook, baskets: BasketPrices
) -> SumOfSmallest:
    """Return repair minus replacement by the labour rate (minor units an hour), at one horizon.

    Every amount is linear in the rate, so two rates tell its line. All replacements need the same hours:
    which of them is the cheapest to meet a failure of the remainder does not hang on the rate.
    """
    unit = max(terms.shared.rate_per_hour, 1.0)
    ends = [
        attrs.evolve(terms, shared=attrs.evolve(terms.shared, rate_per_hour=rate)) for rate in (0.0, unit)
    ]

    def line(amount: Callable[[MonthsTerms], float]) -> Line:
        first, last = (amount(each) for each in ends)
        return Line(first, (last - first) / unit)

    units = units_of(ends[0], outlook)
    at_ends = [units, units_of(ends[1], outlook)]

    def unit_line(place: int, amount: str) -> Line:
        first, last = (float(getattr(each[place], amount)[0]) for each in at_ends)
        return Line(first, (last - first) / unit)

    total = line(
        lambda each: (
            opening_now(each.shared)
            + float(outlook.remainder(each)[0])
            - float(outlook.replacement(each.shared, replacement)[0])
        )
    )
    groups = []
    gains: dict[int, Line] = {}
    for place, each in enumerate(units):
        if each.forced:
            first, last = (of[place].now for of in at_ends)
            total = total + Line(first, (last - first) / unit) + unit_line(place, "renewed")
            continue
        total = total + unit_line(place, "kept")
        gain = unit_line(place, "gain")
        if not each.bought:
            groups.append((Line(0.0, 0.0), Line(0.0, 0.0) - gain))
        elif gain.at_zero > 0 or gain.slope > 0:
            gains[place] = gain
    factor = terms.shared.basket_factor * terms.shared.tax_parts
    sets = sets_of(tuple(gains))
    priced = []
    for places, bought in zip(sets, bought_by(units, sets), strict=True):
        net = Line(factor * baskets.price(bought), 0.0)
        for place in places:
            net = net - gains[place]
        priced.append(net)
    return SumOfSmallest(total, (*groups, tuple(priced)))


def price_difference(
    terms: MonthsTerms, replacement: ReplacementTerms, outlook: Outlook, baskets: BasketPrices
) -> SumOfSmallest:
    """Return repair minus replacement by the replacement's price (minor units), at one horizon.

    The best set does not hang on the price; a failure of the remainder is met by this replacement or by
    the cheapest of the others, whichever costs less.
    """
    unit = max(replacement.price, 1.0)
    free, priced = (attrs.evolve(replacement, price=price) for price in (0.0, unit))
    first, last = (float(outlook.replacement(terms.shared, each)[0]) for each in (free, priced))
    repair = best_repair(attrs.evolve(terms, remainder=None), outlook, baskets).total
    total = Line(float(repair[0]), 0.0) - Line(first, (last - first) / unit)
    if terms.remainder is None:
        return SumOfSmallest(total, ())

    def met_by(*replacements: ReplacementTerms) -> float:
        return float(outlook.remainder(attrs.evolve(terms, replacements=replacements))[0])

    meeting = [Line(met_by(free), (met_by(priced) - met_by(free)) / unit)]
    others = tuple(each for each in terms.replacements if each.id != replacement.id)
    if others:
        meeting.append(Line(met_by(*others), 0.0))
    return SumOfSmallest(total, (tuple(meeting),))


def _differences(terms: MonthsTerms, outlook: Outlook, baskets: BasketPrices) -> Difference:
    repair = best_repair(terms, outlook, baskets).total
    return {each.id: repair - outlook.replacement(terms.shared, each) for each in terms.replacements}


def _crossings(
    terms: MonthsTerms, differences: Difference, counts: FailureCounts, baskets: BasketPrices
) -> Mapping[str, tuple[Crossing, ...]]:
    """Return every change of sign, looked at again in smaller steps."""
    months = np.unique(np.concatenate([_months_of_roots(each) for each in differences.values()]))
    if not months.size:
        return dict.fromkeys(differences, ())
    steps = np.arange(STEPS_OF_A_MONTH + 1) / STEPS_OF_A_MONTH
    finer = np.unique((SEARCHED_MONTHS[months][:, None] + steps).ravel())
    again = _differences(terms, Outlook(counts, finer), baskets)
    return {name: tuple(_roots(finer, values)) for name, values in again.items()}


def _months_of_roots(values: FloatArray) -> npt.NDArray[np.intp]:
    """Return the places of months in which a root may lie: between this place and the next."""
    changes = [np.arange(before, after) for before, after in _sign_changes(values)]
    size, step = np.abs(values), np.abs(np.diff(values))
    least = (size[1:-1] <= size[:-2]) & (size[1:-1] <= size[2:])
    near = 1 + np.flatnonzero(least & (size[1:-1] <= np.maximum(step[:-1], step[1:])))
    return np.concatenate([*changes, near - 1, near]).astype(np.intp)


def _sign_changes(values: FloatArray) -> list[tuple[int, int]]:
    """Return the places before and after each change of sign; zeros in between belong to it."""
    places = np.flatnonzero(values)
    signs = np.sign(values[places])
    return [(int(places[at]), int(places[at + 1])) for at in np.flatnonzero(signs[1:] != signs[:-1])]


def _roots(months: FloatArray, values: FloatArray) -> list[Crossing]:
    found = []
    for before, after in _sign_changes(values):
        share = values[before] / (values[before] - values[after])
        root = months[before] + share * (months[after] - months[before])
        found.append(Crossing(float(root), bool(values[before] < 0)))
    return found


def _nearest(function: SumOfSmallest, stated: float) -> float | None:
    return min(roots_from_zero(function), key=lambda root: abs(root - stated), default=None)


def _always(difference: float, name: str, where: str) -> str:
    if difference == 0:
        return f"Repairing and {name} cost the same {where}."
    cheaper, dearer = ("Repairing", name) if difference < 0 else (name, "repairing")
    return f"{cheaper} is expected to cost less than {dearer} {where}."
