"""A fit by its classes: the limits of hole and shaft, and the clearance they may leave. Pure."""

from typing import Literal

import attrs

from api.fit.limits.tolerance_classes import limits_of

Character = Literal["clearance", "transition", "interference"]


@attrs.frozen(kw_only=True)
class LimitsAndFits:
    """Limits of size of hole and shaft, lower and upper, and the clearance between them, all in nm.

    A clearance below zero is interference.
    """

    hole_nm: tuple[int, int]
    shaft_nm: tuple[int, int]

    @property
    def least_clearance_nm(self) -> int:
        """The smallest hole less the largest shaft."""
        return self.hole_nm[0] - self.shaft_nm[1]

    @property
    def most_clearance_nm(self) -> int:
        """The largest hole less the smallest shaft."""
        return self.hole_nm[1] - self.shaft_nm[0]

    @property
    def character(self) -> Character:
        """What the fit is whatever the two parts measure within their limits.

        Never tighter than touching: clearance; never looser than touching: interference; else transition
        (terms of ISO 286-1; that touching counts with the first two is as pressfit 0.1.0 has it).
        """
        if self.least_clearance_nm >= 0:
            return "clearance"
        return "interference" if self.most_clearance_nm <= 0 else "transition"


def describe_fit(size_nm: int, hole: str, shaft: str) -> LimitsAndFits:
    """Return limits and clearances of a hole and a shaft class at one nominal size (above 0, up to 80 mm).

    Example: 25 mm H7/p6 gives a hole of 25.000 to 25.021, a shaft of 25.022 to 25.035 mm, and a clearance
    of -0.035 to -0.001 mm: interference. Raises `UnknownToleranceClass` and `SizeOutsideTables`.
    """
    return LimitsAndFits(
        hole_nm=limits_of(size_nm, hole, "hole"), shaft_nm=limits_of(size_nm, shaft, "shaft")
    )
