"""The tables of a calibration: ours beside the exact posterior on the same cases."""

from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np

from .calibration_figures import Judged, Search, reliability, summarise, unlisted_reliability

FEWEST_MEASURED = 3

STAGES: dict[str, Callable[[Search], bool]] = {
    "2": lambda one: one.readings == 2,
    "3": lambda one: one.readings == 3,
    "4": lambda one: one.readings == 4,
    "5": lambda one: one.readings == 5,
    "3+": lambda one: one.readings >= 3,
    "3+ meas.": lambda one: one.lengths >= FEWEST_MEASURED,
    "all": lambda one: one.is_whole,
}
"""After how many readings searches are judged; `3+` is every search with three or more, `3+ meas.` every one
with three or more lengths measured with the instrument."""

ONCE = ("2", "3", "all")
"""The stages at which a case is judged once, so that the candidates of a bin are of different cases."""


def report_reliability(searches: Sequence[Search]) -> str:
    """Return the bins of stated probability, all kinds together, each stage by itself."""
    groups = {f"groups, {stage}": reliability(_ours(searches, stage)) for stage in ONCE}
    unlisted = {f"unlisted, {stage}": unlisted_reliability(_ours(searches, stage)) for stage in ONCE}
    lines = ["candidates, readings  stated       count   mean stated   right    99 % interval     holds"]
    for name, bins in (groups | unlisted).items():
        for one in bins:
            low, high = one.interval
            lines.append(
                f"{name:<20}  {one.lower:4.2f}-{one.upper:4.2f} {one.count:9d}   {one.mean_stated:10.4f}"
                f"   {one.share_right:6.4f}   {low:6.4f}-{high:6.4f}   {'yes' if one.holds else 'NO'}"
            )
    return "\n".join(lines)


def report_kinds(searches: Sequence[Search]) -> str:
    """Return, of each kind and stage, where the true group stands, how unlisted parts fare, the Brier score.

    Each figure is followed by that of the exact posterior; `clean` is without slips and miscounts.
    """
    kinds = list(dict.fromkeys(one.kind for one in searches))
    lines = [
        "kind          readings  searches   first          first clean    first three    Brier"
        "            unlisted called  listed called so  bins"
    ]
    for kind in [*kinds, "all kinds"]:
        chosen = [one for one in searches if kind in (one.kind, "all kinds")]
        lines.extend(_line(kind, stage, chosen) for stage in STAGES)
    lines.append(_compared(searches))
    return "\n".join(lines)


def report_variants(runs: Mapping[str, Sequence[Search]]) -> str:
    """Return the same line for every run, all kinds together, and how many bins hold."""
    lines = []
    for name, searches in runs.items():
        lines.extend(_line(name, stage, searches) for stage in ONCE)
    return "\n".join(lines)


def _line(name: str, stage: str, searches: Iterable[Search]) -> str:
    chosen = [one for one in searches if STAGES[stage](one)]
    ours, exact = (summarise(side) for side in ([one.ours for one in chosen], [one.exact for one in chosen]))
    pairs = "  ".join(
        _pair(getattr(ours, field), getattr(exact, field), digits)
        for field, digits in (
            ("first", 3),
            ("first_clean", 3),
            ("first_three", 3),
            ("brier", 4),
            ("unlisted_called", 3),
            ("listed_called_unlisted", 4),
        )
    )
    bins = reliability(one.ours for one in chosen)
    held = f"{sum(one.holds for one in bins)}/{len(bins)}" if stage in ONCE else ""
    return f"{name:<13} {stage:>8} {ours.searches:9d}   {pairs}  {held}"


def _pair(ours: float, exact: float, digits: int) -> str:
    return f"{ours:.{digits}f} ({exact:.{digits}f})"


def _compared(searches: Sequence[Search]) -> str:
    """Say how far what is stated of the truth lies from the exact posterior, in points."""
    apart = np.array(
        [
            abs(one.ours.probabilities[one.ours.true] - one.exact.probabilities[one.exact.true])
            for one in searches
        ]
    )
    mean, most = 100 * float(apart.mean()), 100 * float(np.quantile(apart, 0.99))
    return (
        f"the truth's probability is {mean:.2f} points from the exact one in the mean, 99 % within {most:.2f}"
    )


def _ours(searches: Iterable[Search], stage: str) -> list[Judged]:
    return [one.ours for one in searches if STAGES[stage](one)]
