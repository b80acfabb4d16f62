"""How the generated catalogues draw: from standard steps that some are far commoner than others, or freely.

The order of a list of steps is that of their use, the most usual first (our judgement). A draw by a power law
takes the first ones most often, as shops do; a worst-case catalogue draws from the whole range instead.
"""

import random
from collections.abc import Sequence
from functools import lru_cache
from typing import Literal, TypeVar

import attrs

from api.fit.limits.tolerance_classes import limits_of

NM_PER_UM = 1_000
NM_PER_MM = 1_000_000
STEEPNESS = 1.8
"""How much commoner the first steps are than the last (our judgement)."""

Step = TypeVar("Step")


@attrs.frozen(eq=False)
class Draws:
    """A seeded source of draws; `own_sizes` takes lengths from a range in steps of 0.01 mm."""

    source: random.Random
    own_sizes: bool = False

    def usual(self, steps: Sequence[Step]) -> Step:
        """Return one of the steps, the first ones most often."""
        return steps[int(len(steps) * self.source.random() ** STEEPNESS)]

    def length_nm(self, steps_mm: Sequence[float]) -> int:
        """Return a nominal length: one of the steps or, of own sizes, any between the least and the most."""
        if not self.own_sizes:
            return round(self.usual(steps_mm) * NM_PER_MM)
        least, most = min(steps_mm), max(steps_mm)
        return self.source.randint(round(least * 100), round(most * 100)) * NM_PER_MM // 100

    def near_nm(self, nominal_nm: int) -> int:
        """Return a nominal length 0.1 to 0.5 mm beside a usual one: a near miss, such as shelves hold."""
        return nominal_nm + self.source.choice((-3, -2, -1, 1, 2, 3, 4, 5)) * NM_PER_MM // 10


@lru_cache(maxsize=100_000)
def classed(nominal_nm: int, tolerance_class: str, feature: Literal["hole", "shaft"]) -> str:
    """Return the limits of an ISO 286 class as a catalogue writes them."""
    return limits(*limits_of(nominal_nm, tolerance_class, feature))


def about(nominal_nm: int, tolerance_mm: float) -> str:
    """Return limits evenly about a nominal length."""
    half = round(tolerance_mm * NM_PER_MM)
    return limits(nominal_nm - half, nominal_nm + half)


def between(nominal_nm: int, below_mm: float, above_mm: float) -> str:
    """Return limits so far below and above a nominal length (a negative `above_mm` lies below it too)."""
    return limits(nominal_nm - round(below_mm * NM_PER_MM), nominal_nm + round(above_mm * NM_PER_MM))


def limits(lower_nm: int, upper_nm: int) -> str:
    """Return two limits in millimetres, to the micrometre: `12.506..12.524 mm`."""
    lower, upper = round(lower_nm / NM_PER_UM), round(upper_nm / NM_PER_UM)
    return f"{lower // 1000}.{lower % 1000:03d}..{upper // 1000}.{upper % 1000:03d} mm"
