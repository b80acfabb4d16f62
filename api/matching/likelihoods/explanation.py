"""Why a size is likely or not: dimension by dimension, and which dimension limits the match."""

from collections.abc import Sequence
from typing import Literal

import attrs
import numpy as np

from api.matching.likelihoods.best_likelihood import log_best_likelihood
from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.likelihood import applied_wear, two_point_factors
from api.matching.likelihoods.posterior import Posterior
from api.matching.model import DimensionModel, KindModel
from api.matching.readings import AbsentReading, ChoiceReading, CountReading, LengthReading, Reading
from api.matching.sizes.size_table import IntArray, Recorded, SizeTable

_NOT_RECORDED, _RECORDED, _DOES_NOT_APPLY = (int(one) for one in Recorded)
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
        relative[place] = np.where(state == _NOT_RECORDED, np.inf, log_likelihood - best)
    by_reading = [
        _explain(dimension, reading, table, chosen)
        for dimension, reading in zip(dimensions, posterior.readings, strict=True)
    ]
    if not dimensions:
        return tuple(SizeExplanation(dimensions=(), limiting_dimension=None) for _ in rows)
    codes = [one.code for one in dimensions]
    return tuple(
        SizeExplanation(dimensions=told, limiting_dimension=codes[least] if compared else None)
        for told, least, compared in zip(
            zip(*by_reading, strict=True),
            relative.argmin(axis=0).tolist(),
            np.isfinite(relative).any(axis=0).tolist(),
            strict=True,
        )
    )


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


def _explain(
    dimension: DimensionModel, reading: Reading, table: SizeTable, rows: IntArray
) -> list[DimensionExplanation]:
    """Return how one reading lies beside each of those sizes."""
    if isinstance(reading, LengthReading):
        return _explain_length(dimension, reading, table, rows)
    column = table.columns[dimension.code]
    told = zip(column.state[rows].tolist(), column.lower[rows].tolist(), strict=True)
    return [_explain_value(dimension, reading, state, value) for state, value in told]


def _explain_value(
    dimension: DimensionModel, reading: Reading, state: int, value: int
) -> DimensionExplanation:
    is_recorded = state == _RECORDED
    recorded = _recorded_value(dimension, value) if is_recorded else None
    if isinstance(reading, CountReading):
        read: int | str | None = reading.count
    else:
        read = reading.choice if isinstance(reading, ChoiceReading) else None
    agrees = is_recorded and recorded == read
    if isinstance(reading, AbsentReading):
        agrees = not is_recorded
    verdict: Verdict = "agrees" if agrees else "contradicts"
    return DimensionExplanation(
        dimension=dimension.code,
        verdict="not_recorded" if state == _NOT_RECORDED else verdict,
        read_value=read,
        recorded_value=recorded,
    )


def _recorded_value(dimension: DimensionModel, value: int) -> int | str | None:
    if dimension.measure == "length":
        return None
    return dimension.choices[value] if dimension.measure == "choice" else value


def _nearest_values(
    read: float, low: FloatArray, high: FloatArray, lower: IntArray, upper: IntArray
) -> FloatArray:
    """Return, of the values that may have read so, the ones nearest the intervals."""
    least, greatest = read / high, read / low
    middle = 0.5 * (np.maximum(least, lower) + np.minimum(greatest, upper))
    return np.minimum(np.maximum(middle, least), greatest)


def _explain_length(
    dimension: DimensionModel, reading: LengthReading, table: SizeTable, rows: IntArray
) -> list[DimensionExplanation]:
    column = table.columns[dimension.code]
    least, greatest, known = two_point_factors(dimension, reading.two_point, table, rows)
    lower, upper = column.lower[rows], column.upper[rows]
    value = _nearest_values(reading.value_nm, least, greatest, lower, upper)
    gap = np.maximum(value - upper, 0.0) + np.minimum(value - lower, 0.0)
    columns = (column.state[rows], known, lower, upper, value, gap)
    explained = []
    for state, is_known, low, high, compared, off in zip(*(one.tolist() for one in columns), strict=True):
        if state != _RECORDED or not is_known:
            verdict: Verdict = "contradicts" if state == _DOES_NOT_APPLY else "not_recorded"
            told = DimensionExplanation(dimension=dimension.code, verdict=verdict, read_nm=reading.value_nm)
        else:
            uncertainty = reading.uncertainty_nm * compared / reading.value_nm
            told = DimensionExplanation(
                dimension=dimension.code,
                verdict=judge_gap(dimension, off, uncertainty, reading.worn),
                read_nm=reading.value_nm,
                compared_nm=compared,
                lower_nm=low,
                upper_nm=high,
                gap_nm=off,
                implied_wear_nm=_wear_of_gap(dimension, off, reading.worn),
                standardised_gap=off / uncertainty,
            )
        explained.append(told)
    return explained
