"""The posterior under the simulator's true parameters, by numerical quadrature from the definitions.

Nothing of the matching rules' own likelihood is used. A length has (1 - e) times the mean, over the
tolerance, of the density of wear plus error, plus e / R within the span; the distribution of wear plus
error is integrated over the error by Gauss-Legendre panels, split where the integrand bends.
"""

import math
from collections.abc import Iterable

import attrs
import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from api.matching.likelihoods.likelihood import WIDEST_LAND
from api.matching.model import DimensionModel
from api.matching.readings import AbsentReading, CountReading, LengthReading, Reading
from api.matching.sizes.size_table import Recorded, SizeTable

from .simulated_parts import World, across_the_tips, count_chances, may_lack, readable_nm

FloatArray = NDArray[np.float64]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(12)
_LANDS, _LAND_WEIGHTS = np.polynomial.legendre.leggauss(8)
_NORMAL_EDGES = np.array([-9.0, -6.0, -4.0, -2.5, -1.2, 0.0, 1.2, 2.5, 4.0, 6.0, 9.0])
FEWEST_ODD_TEETH = 3
_WEAR_REACH = 40.0
"""Wear scales beyond which exp(-40) of the worn parts lie."""


@attrs.frozen(kw_only=True, eq=False)
class ErrorLaw:
    """How an instrument's error (nm) falls: its density, and the panels over which that is smooth."""

    edges: FloatArray
    uncertainty_nm: float
    half_widths_nm: tuple[float, float] | None = None

    def density(self, error: FloatArray) -> FloatArray:
        """Return the density (per nm) of errors: normal, or two rectangular errors added."""
        if self.half_widths_nm is None:
            scaled = error / self.uncertainty_nm
            return np.exp(-0.5 * scaled * scaled) / (self.uncertainty_nm * math.sqrt(2 * math.pi))
        wide, narrow = self.half_widths_nm
        share = np.clip((wide + narrow - np.abs(error)) / (2 * narrow), 0.0, 1.0)
        return share / (2 * wide)

    def nodes_below(self, limit: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return nodes and weights (limits by nodes) that integrate over the errors below each limit."""
        edges = np.minimum(self.edges, limit[:, None])
        half = np.diff(edges)[:, :, None] / 2
        shape = len(limit), half.shape[1] * len(_NODES)
        nodes = (edges[:, :-1, None] + half + half * _NODES).reshape(shape)
        weights = (half * _WEIGHTS).reshape(shape)
        return nodes, weights * self.density(nodes)


def error_law(world: World, dimension: DimensionModel, reading: LengthReading) -> ErrorLaw:
    """Return the law of the error of a reading in that world."""
    u = reading.uncertainty_nm
    if world.noise == "normal":
        return ErrorLaw(edges=_NORMAL_EDGES * u, uncertainty_nm=u)
    error = float(world.instrument.permissible_error_nm(dimension.how, max(round(reading.value_nm), 1)))
    step = world.instrument.resolution_nm / 2.0
    wide, narrow = max(error, step), min(error, step)
    edges = np.array([-wide - narrow, narrow - wide, wide - narrow, wide + narrow])
    return ErrorLaw(edges=edges, uncertainty_nm=u, half_widths_nm=(wide, narrow))


def worn_distribution(distance: FloatArray, wear_scale: float, law: ErrorLaw) -> FloatArray:
    """Return the chance that wear plus error is at most each distance (nm); a scale of 0 is no wear."""
    if wear_scale == 0.0 and law.half_widths_nm is None:
        return np.asarray(ndtr(distance / law.uncertainty_nm))
    nodes, weights = law.nodes_below(distance)
    if wear_scale == 0.0:
        return np.asarray(weights.sum(axis=1))
    return np.asarray((weights * -np.expm1(-(distance[:, None] - nodes) / wear_scale)).sum(axis=1))


def worn_density(distance: FloatArray, wear_scale: float, law: ErrorLaw) -> FloatArray:
    """Return the density (per nm) of wear plus error at each distance (nm)."""
    if wear_scale == 0.0:
        return law.density(distance)
    nodes, weights = law.nodes_below(distance)
    return np.asarray((weights * np.exp(-(distance[:, None] - nodes) / wear_scale)).sum(axis=1) / wear_scale)


class ExactPosterior:
    """The log likelihoods of one case's readings, dimension by dimension, and what any of them leave."""

    def __init__(self, world: World, table: SizeTable, readings: Iterable[Reading]) -> None:
        kind = world.kind
        share = table.listings + 1.0
        self._log_prior = np.log((1.0 - kind.unlisted_prior) * share / share.sum())
        self._log_unlisted = math.log(kind.unlisted_prior)
        self._by_dimension = {
            one.dimension: _log_likelihoods(world, kind.dimension(one.dimension), one, table)
            for one in readings
        }

    def after(self, dimensions: Iterable[str]) -> tuple[FloatArray, float]:
        """Return the probability of every size and of `unlisted` after the readings of these dimensions."""
        log_weight, log_unlisted = self._log_prior.copy(), self._log_unlisted
        for code in dimensions:
            of_sizes, of_unlisted = self._by_dimension[code]
            log_weight += of_sizes
            log_unlisted += of_unlisted
        top = max(float(log_weight.max()), log_unlisted)
        weight, unlisted = np.exp(log_weight - top), math.exp(log_unlisted - top)
        total = float(weight.sum()) + unlisted
        return weight / total, unlisted / total


def _log_likelihoods(
    world: World, dimension: DimensionModel, reading: Reading, table: SizeTable
) -> tuple[FloatArray, float]:
    column = table.columns[dimension.code]
    recorded = column.state == Recorded.RECORDED
    lacking = column.state == Recorded.DOES_NOT_APPLY
    slip = dimension.slip_chance
    chances = np.zeros(len(table))
    absent = world.lacking if may_lack(table, dimension) else 0.0
    unknown = 1.0 - absent
    if isinstance(reading, AbsentReading):
        unknown = absent
        chances[lacking] = 1.0 - slip
    elif isinstance(reading, LengthReading):
        is_plausible = dimension.span_lower <= reading.value_nm <= dimension.span_upper
        even = 1.0 / dimension.span_nm if is_plausible else 0.0
        unknown *= even
        if dimension.two_point_over is not None:
            recorded = recorded & (table.columns[dimension.two_point_over].state == Recorded.RECORDED)
        rows = np.flatnonzero(recorded)
        chances[rows] = (1.0 - slip) * _length_densities(world, dimension, reading, table, rows)
        chances[recorded | lacking] += slip * even
    else:
        even = 1.0 / dimension.outcomes
        unknown *= even
        chances[lacking] = slip * even
        rows = np.flatnonzero(recorded)
        values, which = np.unique(column.lower[rows], return_inverse=True)
        chances[rows] = np.array([_outcome_chance(dimension, reading, int(one)) for one in values])[which]
    chances[~recorded & ~lacking] = unknown
    with np.errstate(divide="ignore"):
        return np.log(chances), math.log(unknown) if unknown > 0 else -math.inf


def _outcome_chance(dimension: DimensionModel, reading: Reading, true: int) -> float:
    if isinstance(reading, CountReading):
        return float(count_chances(dimension, true)[reading.count - dimension.span_lower])
    place = dimension.choices.index(reading.choice)
    if dimension.outcomes == 1:
        return 1.0
    miscount = dimension.miscount_chance
    return 1.0 - miscount if place == true else miscount / (dimension.outcomes - 1)


def _length_densities(
    world: World, dimension: DimensionModel, reading: LengthReading, table: SizeTable, rows: NDArray[np.int64]
) -> FloatArray:
    """Return the density of the reading under each row, without slips."""
    column = table.columns[dimension.code]
    lower, upper = column.lower[rows].astype(float), column.upper[rows].astype(float)
    law = error_law(world, dimension, reading)
    value, reach, tail = reading.value_nm, float(law.edges[-1]), _WEAR_REACH * dimension.wear_scale_nm
    down, up = (tail + reach, reach) if dimension.wear_sense == "shrinks" else (reach, tail + reach)
    across = dimension.two_point_over if reading.two_point else None
    least = 1.0 if across is None else across_the_tips(FEWEST_ODD_TEETH, 0.0)
    near = (value > lower * least - down) & (value < upper + up)
    answer = np.zeros(len(rows))
    if across is None:
        answer[near] = _mean_density(dimension, value, lower[near], upper[near], 1.0, law)
        return answer
    teeth = table.columns[across].lower[rows]
    for count in np.unique(teeth[near]):
        chosen = near & (teeth == count)
        for land, weight in zip(_LANDS, _LAND_WEIGHTS / 2, strict=True):
            factor = across_the_tips(int(count), WIDEST_LAND * (land + 1) / 2)
            answer[chosen] += weight * _mean_density(
                dimension, value, lower[chosen], upper[chosen], factor, law
            )
    return answer


def _mean_density(
    dimension: DimensionModel,
    value: float,
    lower: FloatArray,
    upper: FloatArray,
    factor: float,
    law: ErrorLaw,
) -> FloatArray:
    """Return the mean density over each tolerance, of readings that can be taken at all."""
    lower, upper = lower * factor, upper * factor
    scale = dimension.wear_scale_nm * factor
    start, end = (lower - value, upper - value)
    if dimension.wear_sense != "shrinks":
        start, end = -end, -start
    width = end - start
    density = np.empty(len(lower))
    exact = width == 0.0
    density[exact] = worn_density(start[exact], scale, law)
    wide = ~exact
    rise = worn_distribution(end[wide], scale, law) - worn_distribution(start[wide], scale, law)
    density[wide] = rise / width[wide]
    if scale == 0.0:
        return density
    low, high = readable_nm(dimension)
    middle = (lower + upper) / 2
    room = middle - low if dimension.wear_sense == "shrinks" else high - middle
    return np.asarray(density / -np.expm1(-room / scale))
