"""Compare repair with replacement over the months the starter is kept: figures in, all of it out. Pure."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

import attrs
import numpy as np

from api.comparison.costs_now.cost_now import Option, cost_of_repair, cost_of_replacement
from api.comparison.costs_now.figures import ComparisonFigures, NoFailedPosition, PositionFigures
from api.comparison.months.best_set import BasketPrices, RepairOutlook, best_repair
from api.comparison.months.break_evens import SEARCHED_MONTHS, BreakEven, break_evens
from api.comparison.months.check_months import check_over_months
from api.comparison.months.failure_counts import FailureCounts
from api.comparison.months.failure_process import FailureProcess, FloatArray
from api.comparison.months.months_terms import (
    MonthsTerms,
    position_process,
    remainder_process,
    renewing_now,
    replacement_process,
    terms_of,
)
from api.comparison.months.outlook import Outlook, prepare_counts
from api.comparison.months.over_months import (
    LEAST_KEEP_MONTHS,
    MOST_KEEP_MONTHS,
    OverMonths,
    counts_as_failed,
)
from api.comparison.months.sensitivity import Swing, sensitivity, swung
from api.comparison.months.units import Unit
from api.money.amounts import Money, round_half_away
from api.money.currencies import Currency

Why = Literal["failed", "with_failed", "pays", "does_not_pay"]


@attrs.frozen(kw_only=True)
class OptionOverMonths:
    """An option: its cost now, what may fail later under it, and what that is expected to cost.

    `later` is the expected discounted cost in minor units, not rounded; `expected_later` is it rounded,
    and `expected_total` the cost now and that.
    """

    option: Option
    processes: tuple[FailureProcess, ...]
    later: float
    expected_later: Money
    expected_total: Money


@attrs.frozen(kw_only=True)
class WorthRenewing:
    """Whether a position is worth renewing while the starter is open.

    `costs_now` is what the repair costs more with it than without, `saves_later` what its later failures
    are expected to cost less (below zero: more); none for a failed one, which cannot be left. Positions of
    `together_with` are renewed with it or not at all: their sums decide.
    """

    position: str
    why: Why
    costs_now: Money
    saves_later: Money | None
    together_with: tuple[str, ...]

    @property
    def renewed(self) -> bool:
        """Return whether the best set holds it."""
        return self.why != "does_not_pay"


@attrs.frozen(kw_only=True)
class WorthOfUnit:
    """The same for positions renewed as one that may also be left: names, choice, cost, saving."""

    names: tuple[str, ...]
    renewed: bool
    costs_now: Money
    saves_later: Money


@attrs.frozen(kw_only=True)
class ComparisonOverMonths:
    """The options (repair first), which is recommended, and what would change that."""

    figures: ComparisonFigures
    months: OverMonths
    options: tuple[OptionOverMonths, ...]
    recommended: OptionOverMonths
    worth_renewing: tuple[WorthRenewing, ...]
    free_units: tuple[WorthOfUnit, ...]
    break_even: Mapping[str, BreakEven]
    sensitivity: tuple[Swing, ...]

    @property
    def currency(self) -> Currency:
        """Return the currency of all amounts."""
        return self.figures.currency


def compare_over_months(figures: ComparisonFigures, months: OverMonths) -> ComparisonOverMonths:
    """Return what each option will have cost when the vehicle is given up, and what hangs on what.

    Raises `InvalidInput` (see `check_over_months`), `NoFailedPosition`, `TooManySets`, and
    `CurrencyMismatch` when the figures are not all of one currency.
    """
    check_over_months(figures, months)
    figures = attrs.evolve(
        figures, positions=tuple(_with_failure(each, months) for each in figures.positions)
    )
    if not any(each.failed for each in figures.positions):
        raise NoFailedPosition(tuple(each.position for each in figures.positions))
    terms = terms_of(figures, months)
    counts = prepare_counts(terms, _months_asked_for(terms))
    baskets = BasketPrices(figures)
    outlook = Outlook(counts, np.array([terms.keep_months]))
    repair = best_repair(terms, outlook, baskets)
    renewed = repair.renewed(0)
    options = (
        _repair(figures, terms, renewed, counts),
        *(_replacement(figures, terms, place, counts) for place in range(len(figures.replacements))),
    )
    worth = _Worth(terms, repair, baskets, figures.currency)
    return ComparisonOverMonths(
        figures=figures,
        months=months,
        options=options,
        recommended=min(
            options, key=lambda each: (each.expected_total.minor, each.option.cost_now.total.minor)
        ),
        worth_renewing=tuple(worth.of_position(place, outlook) for place in range(len(terms.positions))),
        free_units=tuple(worth.of_unit(unit) for unit in repair.units if not unit.forced),
        break_even=break_evens(terms, counts, baskets) if terms.replacements else {},
        sensitivity=sensitivity(figures, terms, counts, baskets),
    )


def _with_failure(position: PositionFigures, months: OverMonths) -> PositionFigures:
    """Return the position as failed where its wear share says so."""
    failed = counts_as_failed(position.failed, months.positions[position.position].age)
    return position if failed == position.failed else attrs.evolve(position, failed=failed)


def _months_asked_for(terms: MonthsTerms) -> FloatArray:
    keep = terms.keep_months
    warranties = [each.warranty_months for each in terms.positions]
    warranties += [each.warranty_months for each in terms.replacements]
    within = [min(max(each, LEAST_KEEP_MONTHS), MOST_KEEP_MONTHS) for each in swung(keep)]
    searched = SEARCHED_MONTHS if terms.replacements else np.array([])
    return np.concatenate([searched, [keep, *within, *warranties]])


def _repair(
    figures: ComparisonFigures, terms: MonthsTerms, renewed: frozenset[str], counts: FailureCounts
) -> OptionOverMonths:
    processes = [
        position_process(terms.shared, each, renewed=each.position in renewed) for each in terms.positions
    ]
    if terms.remainder is not None:
        processes.append(remainder_process(terms.shared, terms.remainder, terms.replacements))
    return _option(cost_of_repair(figures, renewed), tuple(processes), terms, counts)


def _replacement(
    figures: ComparisonFigures, terms: MonthsTerms, place: int, counts: FailureCounts
) -> OptionOverMonths:
    process = replacement_process(terms.shared, terms.replacements[place])
    return _option(cost_of_replacement(figures.replacements[place], figures), (process,), terms, counts)


def _option(
    option: Option, processes: tuple[FailureProcess, ...], terms: MonthsTerms, counts: FailureCounts
) -> OptionOverMonths:
    horizon = np.array([terms.keep_months])
    later = sum(float(counts.costs(each, horizon, terms.shared.rate)[0]) for each in processes)
    total = option.cost_now.total
    rounded = _rounded(later, total.currency)
    return OptionOverMonths(
        option=option,
        processes=processes,
        later=later,
        expected_later=rounded,
        expected_total=total + rounded,
    )


class _Worth:
    """What renewing a position or a unit costs now, beside the rest of the best set, and saves later."""

    def __init__(
        self, terms: MonthsTerms, repair: RepairOutlook, baskets: BasketPrices, currency: Currency
    ) -> None:
        self._terms, self._repair, self._baskets, self._currency = terms, repair, baskets, currency
        self._bought = {each.position for each in terms.positions if each.basket_part is not None}
        self._renewed = repair.renewed(0)

    def of_position(self, place: int, outlook: Outlook) -> WorthRenewing:
        """Return the worth of one position."""
        position = self._terms.positions[place]
        name = position.position
        unit = next(unit for unit in self._repair.units if name in unit.names)
        view = outlook.position(self._terms.shared, position)
        why: Why = "pays" if name in self._renewed else "does_not_pay"
        if unit.forced:
            why = "failed" if position.counts_as_failed else "with_failed"
        now = renewing_now(self._terms.shared, position) + self._in_baskets(frozenset({name}))
        saved = None if view.kept is None else float(view.kept[0] - view.renewed[0])
        return WorthRenewing(
            position=name,
            why=why,
            costs_now=_rounded(now, self._currency),
            saves_later=None if saved is None else _rounded(saved, self._currency),
            together_with=tuple(other for other in unit.names if other != name),
        )

    def of_unit(self, unit: Unit) -> WorthOfUnit:
        """Return the worth of a unit that is not forced."""
        return WorthOfUnit(
            names=unit.names,
            renewed=unit.names[0] in self._renewed,
            costs_now=_rounded(unit.now + self._in_baskets(frozenset(unit.names)), self._currency),
            saves_later=_rounded(float(unit.kept[0] - unit.renewed[0]), self._currency),
        )

    def _in_baskets(self, names: frozenset[str]) -> float:
        """Return what the basket costs more with these names than without, with tax."""
        if not names & self._bought:
            return 0.0
        shared = self._terms.shared
        prices = [
            self._baskets.price(frozenset(some & self._bought))
            for some in (self._renewed | names, self._renewed - names)
        ]
        return (prices[0] - prices[1]) * shared.basket_factor * shared.tax_parts


def _rounded(minor: float, currency: Currency) -> Money:
    return Money(round_half_away(Fraction(minor)), currency)
