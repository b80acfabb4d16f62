"""What the readings leave: a probability for every size, for every group, and for `unlisted`."""

import math
from collections.abc import Iterable, Mapping, Sequence

import attrs
import numpy as np

from api.matching.contradictions import Contradiction, find_contradictions
from api.matching.density import FloatArray
from api.matching.grouping import Grouping
from api.matching.likelihood import log_even, log_likelihood
from api.matching.model import KindModel
from api.matching.readings import Reading, settle_readings
from api.matching.sizes import SizeTable

FEWEST_CANDIDATES = 20
MOST_CANDIDATES = 200
MOST_REMAINING = 0.1


@attrs.frozen(kw_only=True, eq=False)
class Posterior:
    """The outcome of a search over sizes; `size_probability` and `unlisted_probability` add to one.

    `readings` are those used, one for each dimension read; `log_likelihoods` holds, for each of their
    dimensions, the log likelihood under every size; `contradictions` names what does not go together.
    """

    readings: tuple[Reading, ...]
    size_probability: FloatArray
    unlisted_probability: float
    log_likelihoods: Mapping[str, FloatArray]
    contradictions: tuple[Contradiction, ...]


def weigh_sizes(kind: KindModel, table: SizeTable, readings: Iterable[Reading]) -> Posterior:
    """Return the probability of every size of the table, and of a part that it does not hold.

    A size's prior share of 1 - p0 is proportional to its listings + 1; the unlisted alternative has the
    prior p0 and the density of readings that tell nothing. Neither the order of the readings nor that
    of the rows the table was built from changes a digit. Raises `InvalidInput` as `settle_readings`.
    """
    settled = settle_readings(kind, readings)
    log_weight: FloatArray = np.log((table.listings + 1) / max(int((table.listings + 1).sum()), 1))
    log_weight += math.log1p(-kind.unlisted_prior)
    log_unlisted = math.log(kind.unlisted_prior)
    log_likelihoods: dict[str, FloatArray] = {}
    for reading in settled.readings:
        dimension = kind.dimension(reading.dimension)
        log_likelihoods[reading.dimension] = log_likelihood(dimension, reading, table)
        log_weight = log_weight + log_likelihoods[reading.dimension]
        log_unlisted += log_even(dimension, reading)
    top = max(log_unlisted, float(log_weight.max(initial=-np.inf)))
    weight = np.exp(log_weight - top)
    unlisted = math.exp(log_unlisted - top)
    total = float(weight.sum()) + unlisted
    probability: FloatArray = weight / total
    return Posterior(
        readings=settled.readings,
        size_probability=probability,
        unlisted_probability=unlisted / total,
        log_likelihoods=log_likelihoods,
        contradictions=find_contradictions(kind, table, settled, probability, log_likelihoods),
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
