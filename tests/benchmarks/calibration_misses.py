"""Why the true group is not the first: what the readings taken could tell of it and of the one before it."""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Literal

from api.matching.readings import Reading
from api.matching.sizes.size_table import Recorded

from .calibration_figures import Search
from .calibration_report import STAGES
from .kind_tables import KindTable

Miss = Literal["nothing", "wear", "other"]
"""What of the readings tells the two apart: none (the limits overlap in all that was read), only lengths that
wear, or something that does not wear (then it is the error of the reading, or few listings)."""

TOLD: tuple[Miss, ...] = ("nothing", "wear", "other")
JUDGED = ("3", "3+ meas.", "all")


def why_missed(kind: KindTable, readings: Iterable[Reading], true_row: int, first_row: int) -> Miss:
    """Return what the readings could tell of the true size and of the size of the group before it."""
    told: Miss = "nothing"
    for reading in readings:
        dimension = kind.model.dimension(reading.dimension)
        column = kind.table.columns[reading.dimension]
        states = {int(column.state[true_row]), int(column.state[first_row])}
        if Recorded.NOT_RECORDED in states:
            continue
        if len(states) > 1:
            return "other"
        if column.state[true_row] != Recorded.RECORDED:
            continue
        lower, upper = column.lower[[true_row, first_row]], column.upper[[true_row, first_row]]
        if lower.max() > upper.min():
            if dimension.wear_sense == "none":
                return "other"
            told = "wear"
    return told


def report_misses(searches: Sequence[Search]) -> str:
    """Return, of listed parts without a slip, how often the true group is first, and what the misses are."""
    lines = [
        "kind          readings  searches   first   exact   of the misses, told apart by: "
        "nothing read   wear alone   more"
    ]
    kinds = list(dict.fromkeys(one.kind for one in searches))
    for kind in [*kinds, "all kinds"]:
        for stage in JUDGED:
            chosen = [
                one
                for one in searches
                if kind in (one.kind, "all kinds")
                and STAGES[stage](one)
                and one.ours.is_listed
                and one.ours.is_clean
            ]
            if not chosen:
                continue
            missed = Counter(one.miss for one in chosen if one.miss is not None)
            first = sum(one.ours.place == 0 for one in chosen) / len(chosen)
            exact = sum(one.exact.place == 0 for one in chosen) / len(chosen)
            many = max(missed.total(), 1)
            shares = "   ".join(f"{missed[told] / many:10.3f}" for told in TOLD)
            lines.append(
                f"{kind:<13} {stage:>8} {len(chosen):9d}   {first:.3f}   {exact:.3f}"
                f"{missed.total():9d} misses            {shares}"
            )
    return "\n".join(lines)
