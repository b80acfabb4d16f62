"""What a search advises to read next, with the instrument's uncertainty at the length that is expected."""

from functools import cached_property

import numpy as np

from api.matching.advice.next_reading import advise_next_reading
from api.matching.likelihoods.posterior import Posterior
from api.matching.model import DimensionModel
from api.matching.sizes.size_table import Recorded
from tests.whole_tables import weigh_sizes

from .kind_tables import KindTable
from .simulated_parts import World


class Adviser:
    """Advises on the parts of one kind, worn, measured in one world."""

    def __init__(self, kind: KindTable, world: World) -> None:
        self.kind, self.world = kind, world

    @cached_property
    def first(self) -> str:
        """What to read of a part of which nothing is known."""
        return self.next(weigh_sizes(self.kind.model, self.kind.table, ()))

    def next(self, posterior: Posterior) -> str:
        """Return the dimension to read next; one must be left."""
        kind = self.kind
        lengths = [one for one in kind.model.dimensions if one.measure == "length"]
        best = int(np.argmax(posterior.size_probability))
        u_nm = {one.code: self.world.uncertainty_nm(one, self._expected_nm(one, best)) for one in lengths}
        advice = advise_next_reading(kind.model, kind.table, posterior, kind.grouping, u_nm)
        if advice is None:
            raise ValueError("everything is read")
        return advice.dimension

    def _expected_nm(self, dimension: DimensionModel, row: int) -> float:
        column = self.kind.table.columns[dimension.code]
        if column.state[row] == Recorded.RECORDED:
            return float(column.lower[row] + column.upper[row]) / 2
        return (dimension.span_lower + dimension.span_upper) / 2
