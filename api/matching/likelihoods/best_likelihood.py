"""The likelihood of the likeliest reading that a size could have given: the yardstick of a reading."""

import math

import numpy as np

from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.likelihood import (
    applied_wear,
    log_length_likelihood,
    outcome_chances,
    two_point_factors,
)
from api.matching.model import DimensionModel
from api.matching.readings import AbsentReading, LengthReading, Reading
from api.matching.sizes.size_table import IntArray, SizeTable

_PLACES = np.linspace(0.0, 1.0, 9)
_REACH = 4.0
"""Standard uncertainties beyond the interval within which the density of a worn reading is greatest."""


def log_best_likelihood(
    dimension: DimensionModel, reading: Reading, table: SizeTable, rows: IntArray
) -> FloatArray:
    """Return the greatest log likelihood that a reading of this uncertainty and surface could have had.

    For a length to about 0.03, from nine places between the interval's far end and `_REACH` uncertainties
    beyond it in the wear direction. Sizes without the feature, for which only its absence would be a
    good reading, have the likelihood of an exact reading, or of an equal count or choice.
    """
    column = table.columns[dimension.code]
    if isinstance(reading, AbsentReading):
        return np.full(len(rows), math.log1p(-dimension.slip_chance))
    if not isinstance(reading, LengthReading):
        best = np.log(outcome_chances(dimension, column.lower[rows]).max(axis=1))
        return np.where(column.does_not_apply[rows], math.log1p(-dimension.miscount_chance), best)
    exact = (1.0 - dimension.slip_chance) / (reading.uncertainty_nm * math.sqrt(2.0 * math.pi))
    answer = np.full(len(rows), math.log(exact + dimension.slip_chance / dimension.span_nm))
    least, greatest, known = two_point_factors(dimension, reading.two_point, table, rows)
    recorded = column.is_recorded[rows] & known
    factor = greatest[recorded]
    lower = column.lower[rows][recorded] * least[recorded]
    upper = column.upper[rows][recorded] * factor
    sense, _ = applied_wear(dimension, reading.worn)
    reach = _REACH * reading.uncertainty_nm
    if sense == "none":
        places = (0.5 * (lower + upper))[:, None]
    else:
        far = upper + reach if sense == "grows" else lower - reach
        start = lower if sense == "grows" else upper
        places = start[:, None] + (far - start)[:, None] * _PLACES
    many = places.shape[1]
    repeated = (np.repeat(one, many) for one in (lower, upper, factor))
    likelihood = log_length_likelihood(dimension, reading, places.ravel(), *repeated)
    answer[recorded] = likelihood.reshape(places.shape).max(axis=1)
    return answer
