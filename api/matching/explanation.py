"""Why a size is likely or not: dimension by dimension, and which dimension limits the match."""

from collections.abc import Sequence
from typing import Literal

import attrs
import numpy as np

from api.matching.best_likelihood import log_best_likelihood
from api.matching.likelihood import applied_wear, two_point_factors
from api.matching.model import DimensionModel, KindModel
from api.matching.posterior import Posterior
from api.matching.readings import AbsentReading, CountReading, LengthReading, Reading
from api.matching.sizes import Recorded, SizeTable

Verdict = Literal["agrees", "worn", "too_worn", "contradicts", "not_recorded"]


@attrs.frozen(kw_only=True)
class DimensionExplanation:
    """One reading beside one size. Lengths in nm; None where nothing can be said.

    `compared_nm` is the reading in the dimension's own scale: across an odd number of tooth tips it is
    greater than `read_nm`. `gap_nm` is the signed distance from the tolerance interval, 0 inside it;
    `standardised_gap` is in standard uncertainties; `implied_wear_nm` the least wear that explains the
    gap. `read_value` and `recorded_value` are those of a count or choice.
    """

    dimension: str
    verdict: Verdict
    read_nm: float | None = None
    compared_nm: float | None = None
    lower_nm: int | None = None
    upper_nm: int | None = None
    gap_nm: float | None = None
    implied_wear_nm: float | None = None
    standardised_gap: float | None = None
    read_value: int | str | None = None
    recorded_value: int | str | None = None


@attrs.frozen(kw_only=True)
class SizeExplanation:
    """All readings beside one size; `limiting_dimension` is None where nothing was compared."""

    dimensions: tuple[DimensionExplanation, ...]
    limiting_dimension: str | None


def explain_sizes(
    kind: KindModel, table: SizeTable, posterior: Posterior, rows: Sequence[int]
) -> tuple[SizeExplanation, ...]:
    """Return for each of those sizes how every reading of the search lies beside it.

    The limiting dimension is the one whose reading is least likely relative to the likeliest reading
    that the size could have given (to about 0.03 in the log; equals by the kind's order).
    """
    chosen = np.asarray(rows, dtype=np.int64)
    dimensions = [kind.dimension(reading.dimension) for reading in posterior.readings]
    relative = np.full((len(dimensions), len(chosen)), np.inf)
    for place, (dimension, reading) in enumerate(zip(dimensions, posterior.readings, strict=True)):
        state = table.columns[dimension.code].state[chosen]
        best = log_best_likelihood(dimension, reading, table, chosen)
        log_likelihood = posterior.log_likelihoods[dimension.code][chosen]
        relative[place] = np.where(state == Recorded.NOT_RECORDED, np.inf, log_likelihood - best)
    explained = []
    for place, row in enumerate(chosen):
        told = [
            _explain(one, reading, table, int(row))
            for one, reading in zip(dimensions, posterior.readings, strict=True)
        ]
        compared = bool(np.isfinite(relative[:, place]).any())
        limiting = dimensions[int(relative[:, place].argmin())].code if compared else None
        explained.append(SizeExplanation(dimensions=tuple(told), limiting_dimension=limiting))
    return tuple(explained)


def judge_gap(dimension: DimensionModel, gap_nm: float, uncertainty_nm: float, worn: bool) -> Verdict:
    """Return the verdict on a signed gap: from both thresholds of the dimension, and its wear sense.

    `agrees` within `agrees_within` uncertainties of the interval; `worn` when the gap lies in the wear
    direction of a worn surface, within that plus `worn_within` wear scales; `too_worn` beyond;
    `contradicts` otherwise. Each limit grows with the uncertainty, so a wider one never turns `agrees`
    or `worn` into `contradicts`.
    """
    allowed = dimension.agrees_within * uncertainty_nm
    if abs(gap_nm) <= allowed:
        return "agrees"
    if _wear_of_gap(dimension, gap_nm, worn) == 0.0:
        return "contradicts"
    return "worn" if abs(gap_nm) <= allowed + dimension.worn_within * dimension.wear_scale_nm else "too_worn"


def _wear_of_gap(dimension: DimensionModel, gap_nm: float, worn: bool) -> float:
    sense, _ = applied_wear(dimension, worn)
    return max({"grows": gap_nm, "shrinks": -gap_nm, "none": 0.0}[sense], 0.0)


def _explain(dimension: DimensionModel, reading: Reading, table: SizeTable, row: int) -> DimensionExplanation:
    column = table.columns[dimension.code]
    state = column.state[row]
    is_recorded = state == Recorded.RECORDED
    if isinstance(reading, LengthReading):
        return _explain_length(dimension, reading, table, row)
    if isinstance(reading, AbsentReading):
        read: int | str | None = None
        agrees = not is_recorded
    else:
        read = reading.count if isinstance(reading, CountReading) else reading.choice
        agrees = is_recorded and _recorded_value(dimension, table, row) == read
    verdict: Verdict = "agrees" if agrees else "contradicts"
    return DimensionExplanation(
        dimension=dimension.code,
        verdict="not_recorded" if state == Recorded.NOT_RECORDED else verdict,
        read_value=read,
        recorded_value=_recorded_value(dimension, table, row) if is_recorded else None,
    )


def _recorded_value(dimension: DimensionModel, table: SizeTable, row: int) -> int | str | None:
    value = int(table.columns[dimension.code].lower[row])
    if dimension.measure == "length":
        return None
    return dimension.choices[value] if dimension.measure == "choice" else value


def _nearest_value(read: float, low: float, high: float, lower: int, upper: int) -> float:
    """Return, of the values that may have read so, the one nearest the interval."""
    least, greatest = read / high, read / low
    middle = 0.5 * (max(least, lower) + min(greatest, upper))
    return min(max(middle, least), greatest)


def _explain_length(
    dimension: DimensionModel, reading: LengthReading, table: SizeTable, row: int
) -> DimensionExplanation:
    column = table.columns[dimension.code]
    least, greatest, known = two_point_factors(dimension, reading.two_point, table, np.array([row]))
    state = column.state[row]
    if state != Recorded.RECORDED or not known[0]:
        verdict: Verdict = "contradicts" if state == Recorded.DOES_NOT_APPLY else "not_recorded"
        return DimensionExplanation(dimension=dimension.code, verdict=verdict, read_nm=reading.value_nm)
    low, high = float(least[0]), float(greatest[0])
    lower, upper = int(column.lower[row]), int(column.upper[row])
    value = _nearest_value(reading.value_nm, low, high, lower, upper)
    uncertainty = reading.uncertainty_nm * value / reading.value_nm
    gap = max(value - upper, 0.0) + min(value - lower, 0.0)
    return DimensionExplanation(
        dimension=dimension.code,
        verdict=judge_gap(dimension, gap, uncertainty, reading.worn),
        read_nm=reading.value_nm,
        compared_nm=value,
        lower_nm=lower,
        upper_nm=upper,
        gap_nm=gap,
        implied_wear_nm=_wear_of_gap(dimension, gap, reading.worn),
        standardised_gap=gap / uncertainty,
    )
