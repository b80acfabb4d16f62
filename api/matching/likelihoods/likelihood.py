"""How likely a reading is under each size: tolerance, wear, noise, slips and miscounts, in logs.

A length has L = (1 - e) f(reading) + e / R. A count has 1 - m if equal, m/2 one off and a floor (the
slip chance spread over the plausible range, at most m/2) beyond, normalised over that range; a choice
has 1 - m if equal and m spread evenly over the others. A dimension that a size does not record has
the density of a reading that tells nothing, 1/R or 1 over the outcomes: the very factor that the
unlisted alternative gets, so that it moves the size neither up nor down against it, in any unit. One
that does not apply has only the slip: e / R, the floor, or m over the other choices.
"""

import math

import numpy as np

from api.matching.likelihoods.density import FloatArray, log_density
from api.matching.model import DimensionModel, WearSense
from api.matching.readings import AbsentReading, ChoiceReading, CountReading, LengthReading, Reading
from api.matching.sizes.size_table import BoolArray, IntArray, SizeTable

WIDEST_LAND = 0.8
"""Widest land of a tip, in modules (our judgement; long-addendum stubs by the involute: 0.4 to 0.7)."""

ADDENDA = 2.6
"""Modules by which the tip diameter exceeds z (long-addendum stubs: 2.4 to 2.7; summary of SAE J543)."""

_NEGLIGIBLE = 40.0
"""A density this many nats below e/R no longer changes it in double precision."""


def log_likelihood(dimension: DimensionModel, reading: Reading, table: SizeTable) -> FloatArray:
    """Return the log likelihood of a reading under every size of the table (per nm for a length)."""
    column = table.columns[dimension.code]
    if isinstance(reading, AbsentReading):
        e = dimension.slip_chance
        chances = np.array([0.5, e, 1.0 - e])
        return np.asarray(np.log(chances)[column.state])
    answer = np.full(len(table), dimension.log_even)
    answer[column.does_not_apply] = log_slip(dimension)
    if isinstance(reading, LengthReading):
        rows = np.flatnonzero(column.is_recorded)
        least, greatest, known = two_point_factors(dimension, reading.two_point, table, rows)
        rows, least, greatest = rows[known], least[known], greatest[known]
        lower, upper = column.lower[rows] * least, column.upper[rows] * greatest
        answer[rows] = log_length_likelihood(dimension, reading, reading.value_nm, lower, upper, greatest)
        return answer
    rows = np.flatnonzero(column.is_recorded)
    chances_of_all = outcome_chances(dimension, column.lower[rows])
    answer[rows] = np.log(chances_of_all[:, outcome_place(dimension, reading)])
    return answer


def log_even(dimension: DimensionModel, reading: Reading) -> float:
    """Return the log likelihood of a reading under the unlisted alternative."""
    return math.log(0.5) if isinstance(reading, AbsentReading) else dimension.log_even


def log_slip(dimension: DimensionModel) -> float:
    """Return the log likelihood of reading a feature that the size does not have."""
    if dimension.measure == "length":
        return math.log(dimension.slip_chance) + dimension.log_even
    if dimension.measure == "count":
        return math.log(_count_floor(dimension) / _count_total(dimension))
    return math.log(dimension.miscount_chance / max(dimension.outcomes - 1, 1))


def log_length_likelihood(
    dimension: DimensionModel,
    reading: LengthReading,
    value_nm: FloatArray | float,
    lower_nm: FloatArray,
    upper_nm: FloatArray,
    factor: FloatArray,
) -> FloatArray:
    """Return log((1 - e) f + e / R) of a value read as `reading` was, against limits in the reading's scale.

    `factor` is the two-point factor that the limits already carry; wear carries it too. Where f cannot
    change the sum in double precision it is not computed.
    """
    sense, scale = applied_wear(dimension, reading.worn)
    floor = math.log(dimension.slip_chance) + dimension.log_even
    answer = np.full(len(lower_nm), floor)
    values = np.broadcast_to(np.asarray(value_nm, dtype=np.float64), lower_nm.shape)
    u = reading.uncertainty_nm
    least = floor - _NEGLIGIBLE + math.log(u)
    reach = u * math.sqrt(max(-2.0 * least, 1.0))
    tail = reach + (scale * max(_NEGLIGIBLE - floor - math.log(scale), 0.0) if scale else 0.0)
    down, up = (tail, reach) if sense == "shrinks" else (reach, tail)
    near = np.flatnonzero((values > lower_nm - down) & (values < upper_nm + up))
    density = log_density(values[near], lower_nm[near], upper_nm[near], u, scale * factor[near], sense)
    answer[near] = np.logaddexp(math.log1p(-dimension.slip_chance) + density, floor)
    return answer


def applied_wear(dimension: DimensionModel, worn: bool) -> tuple[WearSense, float]:
    """Return the wear sense and scale (nm) that apply to a surface, none where it is not worn."""
    return (dimension.wear_sense, dimension.wear_scale_nm) if worn else ("none", 0.0)


def two_point_factors(
    dimension: DimensionModel, two_point: bool, table: SizeTable, rows: IntArray
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Return by what least and greatest factor those sizes read low, and where that is known.

    Between two opposite faces an even number of teeth reads its tip diameter. An odd number z with pointed
    tips reads cos(90 degrees / z) of it; tips with a land that spans an angle of 2e reads
    cos(90 degrees / z - e) (plane geometry). Sizes do not record the land: it is taken as between none and
    `WIDEST_LAND` modules, the tip diameter as z + `ADDENDA` modules. A size that does not record its teeth
    is treated as not recording this dimension either.
    """
    ones = np.ones(len(rows))
    if dimension.two_point_over is None or not two_point:
        return ones, ones, ones > 0
    column = table.columns[dimension.two_point_over]
    teeth, known = np.maximum(column.lower[rows], 1), column.is_recorded[rows]
    is_odd = known & (teeth % 2 == 1)
    pointed = 0.5 * np.pi / teeth
    landed = np.maximum(pointed - WIDEST_LAND / (teeth + ADDENDA), 0.0)
    return np.where(is_odd, np.cos(pointed), ones), np.where(is_odd, np.cos(landed), ones), known


def outcome_place(dimension: DimensionModel, reading: CountReading | ChoiceReading) -> int:
    """Return the place of a count or choice among the dimension's outcomes."""
    if isinstance(reading, CountReading):
        return reading.count - dimension.span_lower
    return dimension.choices.index(reading.choice)


def recorded_value(dimension: DimensionModel, reading: CountReading | ChoiceReading) -> int:
    """Return what a size's column holds where the size has this very count or choice."""
    return reading.count if isinstance(reading, CountReading) else dimension.choices.index(reading.choice)


def outcome_chances(dimension: DimensionModel, true_value: IntArray) -> FloatArray:
    """Return, one row for each true count (or place of a choice), the chance of every outcome."""
    m = dimension.miscount_chance
    if dimension.measure == "choice":
        if dimension.outcomes == 1:
            return np.ones((len(true_value), 1))
        places = np.arange(dimension.outcomes)
        return np.where(places == true_value[:, None], 1.0 - m, m / (dimension.outcomes - 1))
    off = np.abs(np.arange(dimension.span_lower, dimension.span_upper + 1) - true_value[:, None])
    chances = np.where(off == 0, 1.0 - m, np.where(off == 1, 0.5 * m, _count_floor(dimension)))
    normalised: FloatArray = chances / chances.sum(axis=1, keepdims=True)
    return normalised


def _count_total(dimension: DimensionModel) -> float:
    """Return what the chances of all outcomes add up to for a count that has a neighbour on either side."""
    beyond = max(dimension.outcomes - 3, 0)
    return 1.0 + beyond * _count_floor(dimension)


def _count_floor(dimension: DimensionModel) -> float:
    return min(dimension.slip_chance / dimension.outcomes, 0.5 * dimension.miscount_chance)
