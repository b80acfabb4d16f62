"""Which readings do not go together, or go with nothing in the catalogue.

Given that the part is listed, a reading's *slip probability* is the chance that it has nothing to do with
the part: over the sizes, weighted by their probability, the share e/R of its likelihood (1 for a
feature the size does not have, or a count or choice that is not the size's; 0 where the size does not
record it). The readings contradict when the chance that at least one of them is a slip is above one
half; named are then those with at least half the greatest slip probability, so that of two readings
that exclude each other both are named, and of four of which one is wrong only that one.
"""

from collections.abc import Mapping
from typing import Literal

import attrs
import numpy as np

from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.likelihood import log_slip
from api.matching.model import DimensionModel, KindModel
from api.matching.readings import AbsentReading, CountReading, LengthReading, Reading, SettledReadings
from api.matching.sizes.size_table import Column, SizeTable

Reason = Literal["repeats_disagree", "no_size_explains_it", "disagrees_with_other_readings"]


@attrs.frozen(kw_only=True)
class Contradiction:
    """A reading that contradicts: why, and the probability that it is a slip (None for repeats)."""

    dimension: str
    reason: Reason
    slip_probability: float | None = None


def find_contradictions(
    kind: KindModel,
    table: SizeTable,
    settled: SettledReadings,
    size_probability: FloatArray,
    log_likelihoods: Mapping[str, FloatArray],
    elsewhere: float = 0.0,
) -> tuple[Contradiction, ...]:
    """Return the contradictory readings: disagreeing repeats first, then by the kind's order.

    A reading `no_size_explains_it` when for every size of the table it would more likely be a slip;
    otherwise it `disagrees_with_other_readings`. `elsewhere` is the probability of listed sizes that the
    table leaves out since under them two readings or more are slips.
    """
    found = [Contradiction(dimension=code, reason="repeats_disagree") for code in settled.disagreeing]
    listed = float(size_probability.sum()) + elsewhere
    if not settled.readings or not len(table) or listed <= 0.0:
        return tuple(found)
    shares = [
        _slip_share(
            kind.dimension(one.dimension), one, table.columns[one.dimension], log_likelihoods[one.dimension]
        )
        for one in settled.readings
    ]
    weight = size_probability / listed
    all_good = np.prod([1.0 - share for share in shares], axis=0)
    if 1.0 - float(weight @ all_good) > 0.5:
        slips = [float(weight @ share) + elsewhere / listed for share in shares]
        for reading, share, slip in zip(settled.readings, shares, slips, strict=True):
            if slip >= 0.5 * max(slips):
                alone = len(settled.readings) == 1 or float(share.min()) > 0.5
                reason: Reason = "no_size_explains_it" if alone else "disagrees_with_other_readings"
                found.append(Contradiction(dimension=reading.dimension, reason=reason, slip_probability=slip))
    return tuple(found)


def _slip_share(
    dimension: DimensionModel, reading: Reading, column: Column, log_likelihoods: FloatArray
) -> FloatArray:
    if isinstance(reading, AbsentReading):
        return np.where(column.is_recorded, 1.0, 0.0)
    if isinstance(reading, LengthReading):
        share = np.exp(np.minimum(log_slip(dimension) - log_likelihoods, 0.0))
    else:
        value = (
            reading.count if isinstance(reading, CountReading) else dimension.choices.index(reading.choice)
        )
        share = np.where(column.lower == value, 0.0, 1.0)
    return np.where(column.is_recorded, share, np.where(column.does_not_apply, 1.0, 0.0))
