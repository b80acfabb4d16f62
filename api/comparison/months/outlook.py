"""What each position and each option of a comparison will have cost, at one or many horizons. Pure.

An outlook keeps what it has computed by the terms it came from, so that a comparison with one input
changed computes only what that input touches.
"""

from functools import partial

from api.comparison.months.failure_counts import FailureCounts
from api.comparison.months.failure_process import FailureProcess, FloatArray
from api.comparison.months.months_terms import (
    MonthsTerms,
    PositionTerms,
    RemainderTerms,
    ReplacementTerms,
    SharedTerms,
    position_process,
    remainder_process,
    renewing_now,
    replacement_process,
    replacing_now,
)
from api.comparison.months.units import PositionOutlook, Unit


class Outlook:
    """The later costs of a comparison at `horizons` (months, one or more)."""

    def __init__(self, counts: FailureCounts, horizons: FloatArray) -> None:
        self.horizons = horizons
        self._counts = counts
        self._positions: dict[tuple[SharedTerms, PositionTerms], PositionOutlook] = {}
        self._units: dict[tuple[SharedTerms, tuple[PositionTerms, ...]], Unit] = {}
        self._replacements: dict[tuple[SharedTerms, ReplacementTerms], FloatArray] = {}
        self._remainders: dict[
            tuple[SharedTerms, RemainderTerms, tuple[ReplacementTerms, ...]], FloatArray
        ] = {}

    def position(self, shared: SharedTerms, position: PositionTerms) -> PositionOutlook:
        """Return the outlook of a position."""
        key = (shared, position)
        if key not in self._positions:
            left = position_process(shared, position, renewed=False)
            renewed = position_process(shared, position, renewed=True)
            self._positions[key] = PositionOutlook(
                now=renewing_now(shared, position),
                kept=None if position.counts_as_failed else self._later(shared, left),
                later_when_renewed=partial(self._later, shared, renewed),
            )
        return self._positions[key]

    def unit(self, shared: SharedTerms, positions: tuple[PositionTerms, ...]) -> Unit:
        """Return the outlook of positions that are renewed as one."""
        key = (shared, positions)
        if key not in self._units:
            self._units[key] = Unit(
                names=tuple(each.position for each in positions),
                bought=frozenset(each.position for each in positions if each.basket_part is not None),
                forced=any(each.counts_as_failed for each in positions),
                views=tuple(self.position(shared, each) for each in positions),
            )
        return self._units[key]

    def remainder(self, terms: MonthsTerms) -> FloatArray:
        """Return the later cost of what no wear part renews; nothing where it is not stated."""
        if terms.remainder is None:
            return self.horizons * 0.0
        return self._later(terms.shared, remainder_process(terms.shared, terms.remainder, terms.replacements))

    def replacement(self, shared: SharedTerms, replacement: ReplacementTerms) -> FloatArray:
        """Return what a replacement costs now and later together."""
        key = (shared, replacement)
        if key not in self._replacements:
            later = self._later(shared, replacement_process(shared, replacement))
            self._replacements[key] = replacing_now(shared, replacement) + later
        return self._replacements[key]

    def _later(self, shared: SharedTerms, process: FailureProcess) -> FloatArray:
        return self._counts.costs(process, self.horizons, shared.rate)


def prepare_counts(terms: MonthsTerms, months: FloatArray) -> FailureCounts:
    """Return the counts of everything that can fail in a comparison, computed at these months."""
    counts = FailureCounts(months)
    for process in every_process(terms):
        counts.prepare(process, terms.shared.rate)
    return counts


def every_process(terms: MonthsTerms) -> list[FailureProcess]:
    """Return everything that can fail: each position renewed and (unless failed) left, and the options."""
    shared = terms.shared
    processes = [position_process(shared, each, renewed=True) for each in terms.positions]
    processes += [
        position_process(shared, each, renewed=False) for each in terms.positions if not each.counts_as_failed
    ]
    processes += [replacement_process(shared, each) for each in terms.replacements]
    if terms.remainder is not None:
        processes.append(remainder_process(shared, terms.remainder, terms.replacements))
    return processes
