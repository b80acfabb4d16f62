"""The rules of matching over every size of a table: what an index that looks at few has to agree with."""

from collections.abc import Iterable

import numpy as np

from api.matching.likelihoods.likelihood import log_likelihood
from api.matching.likelihoods.posterior import Looked, Posterior, weigh_looked
from api.matching.model import KindModel
from api.matching.readings import Reading, settle_readings
from api.matching.sizes.grouping import Grouping, founders_of_groups
from api.matching.sizes.size_table import SizeTable


def weigh_sizes(kind: KindModel, table: SizeTable, readings: Iterable[Reading]) -> Posterior:
    """Return the probability of every size of the table, and of a part that it does not hold.

    A size's prior share of 1 - p0 is proportional to its listings + 1; the unlisted alternative has the
    prior p0 and the density of readings that tell nothing. Neither the order of the readings nor that
    of the rows the table was built from changes a digit. Raises `InvalidInput` as `settle_readings`.
    """
    settled = settle_readings(kind, readings)
    logs = {
        one.dimension: log_likelihood(kind.dimension(one.dimension), one, table) for one in settled.readings
    }
    total = float((table.listings + 1).sum())
    return weigh_looked(kind, table, settled, Looked(log_likelihoods=logs, total_weight=total))


def group_sizes(kind: KindModel, table: SizeTable) -> Grouping:
    """Return the groups of all sizes; the order of the rows that made the table changes nothing."""
    rows, number = np.unique(founders_of_groups(kind, table), return_inverse=True)
    return Grouping(number=number.astype(np.int64), ids=tuple(table.codes[row] for row in rows))
