"""What positions cost when renewed today and when left, one by one and as they are renewed together. Pure."""

from collections.abc import Callable
from functools import cached_property

import attrs
import numpy as np
import numpy.typing as npt

from api.comparison.months.failure_process import FloatArray

BoolArray = npt.NDArray[np.bool_]

TIE = 1e-7
"""A gain below this share of the later costs it is taken from is none: counts are not known better."""


@attrs.frozen(kw_only=True, slots=False, eq=False)
class PositionOutlook:
    """A position: what renewing it adds today, and its later costs when renewed and when left, by horizon.

    `now` holds stated parts and bench labour, not a basket. `kept` is none for a failed position, which
    cannot be left.
    """

    now: float
    kept: FloatArray | None
    later_when_renewed: Callable[[], FloatArray]

    @cached_property
    def renewed(self) -> FloatArray:
        """Return its later costs when renewed, computed when first asked for."""
        return self.later_when_renewed()


@attrs.frozen(kw_only=True, slots=False, eq=False)
class Unit:
    """Positions that are renewed as one, and what renewing them adds and saves by horizon, without baskets.

    `bought` are those of them that baskets buy; a `forced` unit holds a failed position.
    """

    names: tuple[str, ...]
    bought: frozenset[str]
    forced: bool
    views: tuple[PositionOutlook, ...]

    @cached_property
    def now(self) -> float:
        """Return what renewing it adds today."""
        return sum(view.now for view in self.views)

    @cached_property
    def renewed(self) -> FloatArray:
        """Return its later costs when renewed."""
        return np.asarray(np.sum([view.renewed for view in self.views], axis=0))

    @cached_property
    def kept(self) -> FloatArray:
        """Return its later costs when left; it must not be forced."""
        return np.asarray(np.sum([view.kept for view in self.views if view.kept is not None], axis=0))

    @cached_property
    def gain(self) -> FloatArray:
        """Return what renewing it saves in all; it must not be forced."""
        return self.kept - self.renewed - self.now

    @cached_property
    def pays(self) -> BoolArray:
        """Return where renewing it gains more than a tie; it must not be forced.

        Where leaving it costs less than renewing it does today, the rest need not be computed.
        """
        if bool(np.all(self.kept <= self.now)):
            return np.zeros(len(self.kept), dtype=np.bool_)
        return self.gain > TIE * self.kept
