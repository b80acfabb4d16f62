"""What the readings leave: a probability for every size, for every group, and for `unlisted`."""

import math
from collections.abc import Mapping, Sequence

import attrs
import numpy as np

from api.matching.likelihoods.contradictions import Contradiction, find_contradictions
from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.likelihood import log_even
from api.matching.model import KindModel
from api.matching.readings import Reading, SettledReadings
from api.matching.sizes.grouping import Grouping
from api.matching.sizes.size_table import IntArray, SizeTable

FEWEST_CANDIDATES = 20
MOST_CANDIDATES = 200
MOST_REMAINING = 0.1


@attrs.frozen(kw_only=True, eq=False)
class Posterior:
    """The outcome of a search over sizes; the probabilities of the sizes and of the others add to one.

    `readings` are those used, one for each dimension read; `log_likelihoods` holds, for each of their
    dimensions, the log likelihood under every size; `contradictions` names what does not go together.
    `elsewhere_probability` is that of listed sizes that were not looked at one by one.
    """

    readings: tuple[Reading, ...]
    size_probability: FloatArray
    unlisted_probability: float
    elsewhere_probability: float = 0.0
    log_likelihoods: Mapping[str, FloatArray]
    contradictions: tuple[Contradiction, ...]


@attrs.frozen(kw_only=True, eq=False)
class Looked:
    """What was looked at, where the table holds a part of the sizes only (see `find_sizes`).

    The log likelihoods of its sizes by dimension, the sum of (listings + 1) over all sizes, and the log of
    the sum of weight times likelihood over those not looked at.
    """

    log_likelihoods: Mapping[str, FloatArray]
    total_weight: float
    log_elsewhere: float = -math.inf


def weigh_looked(kind: KindModel, table: SizeTable, settled: SettledReadings, looked: Looked) -> Posterior:
    """Return the probability of the sizes that were looked at, of all other sizes, and of none of them."""
    prior: FloatArray = np.log((table.listings + 1) / max(looked.total_weight, 1.0))
    log_weight = prior + math.log1p(-kind.unlisted_prior)
    log_unlisted = math.log(kind.unlisted_prior)
    for reading in settled.readings:
        log_weight = log_weight + looked.log_likelihoods[reading.dimension]
        log_unlisted += log_even(kind.dimension(reading.dimension), reading)
    log_elsewhere = looked.log_elsewhere - math.log(max(looked.total_weight, 1.0))
    log_elsewhere += math.log1p(-kind.unlisted_prior)
    top = max(log_unlisted, log_elsewhere, float(log_weight.max(initial=-np.inf)))
    weight = np.exp(log_weight - top)
    unlisted, elsewhere = math.exp(log_unlisted - top), math.exp(log_elsewhere - top)
    total = float(weight.sum()) + unlisted + elsewhere
    probability: FloatArray = weight / total
    return Posterior(
        readings=settled.readings,
        size_probability=probability,
        unlisted_probability=unlisted / total,
        elsewhere_probability=elsewhere / total,
        log_likelihoods=looked.log_likelihoods,
        contradictions=find_contradictions(
            kind, table, settled, probability, looked.log_likelihoods, elsewhere / total
        ),
    )


def group_probabilities(posterior: Posterior, grouping: Grouping) -> FloatArray:
    """Return the probability of every group, in the order of `grouping.ids`."""
    weights = posterior.size_probability
    totals = np.bincount(grouping.number, weights=weights, minlength=len(grouping.ids))
    return totals.astype(np.float64)


def count_candidates(
    probabilities: Sequence[float], unlisted_probability: float, limit: int | None = None
) -> int:
    """Return how many of the parts, the most probable first, an answer lists.

    With a limit, that many at most. Without one, enough that at most `MOST_REMAINING` is left over
    beside `unlisted`, but `FEWEST_CANDIDATES` where there are as many and `MOST_CANDIDATES` at most.
    """
    if limit is not None:
        return min(limit, len(probabilities))
    remaining = 1.0 - unlisted_probability
    for listed, probability in enumerate(probabilities[:MOST_CANDIDATES]):
        if remaining <= MOST_REMAINING and listed >= FEWEST_CANDIDATES:
            return listed
        remaining -= probability
    return min(len(probabilities), MOST_CANDIDATES)


def among_greatest(values: FloatArray, most: int) -> IntArray:
    """Return the places, ascending, of so many of the greatest values and of all that equal the last."""
    if len(values) <= most:
        return np.arange(len(values))
    return np.flatnonzero(values >= np.partition(values, -most)[-most])


def greatest(values: FloatArray, most: int) -> IntArray:
    """Return the places of so many of the greatest values, the greatest first, equals by place."""
    places = among_greatest(values, most)
    order: IntArray = places[np.argsort(-values[places], kind="stable")][:most]
    return order
