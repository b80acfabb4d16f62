"""Where a sum of smallest lines is zero: the break-evens of amounts that enter a cost linearly. Pure.

At a fixed horizon every total is linear in a price or a rate for a given set of renewed positions, and
the best set takes the smallest: the difference of two options is concave and made of straight pieces.
Such a function is zero at two places at most. Each is found by following the line in force: it lies
above the function, so the walk comes from outside, never passes the root and ends after finitely many
pieces (our derivation from concavity).
"""

import math
from collections.abc import Sequence

import attrs

MOST_STEPS = 1000
"""More pieces than a walk meets; one that needs more is given up."""


@attrs.frozen
class Line:
    """`at_zero + slope * x`."""

    at_zero: float
    slope: float

    def at(self, x: float) -> float:
        """Return the value at `x` (finite)."""
        return self.at_zero + self.slope * x

    def __add__(self, other: "Line") -> "Line":
        """Return the sum of two lines."""
        return Line(self.at_zero + other.at_zero, self.slope + other.slope)

    def __sub__(self, other: "Line") -> "Line":
        """Return the difference of two lines."""
        return Line(self.at_zero - other.at_zero, self.slope - other.slope)


@attrs.frozen
class SumOfSmallest:
    """A line plus, from each group of lines, the smallest: concave in x."""

    line: Line
    groups: tuple[tuple[Line, ...], ...]

    def in_force(self, x: float) -> Line:
        """Return the line that holds at `x`, which may be infinite."""
        line = self.line
        for group in self.groups:
            line = line + _smallest(group, x)
        return line


def roots_from_zero(function: SumOfSmallest) -> tuple[float, ...]:
    """Return where the function is zero at x >= 0: none, one or two places, ascending."""
    found = []
    if function.in_force(0.0).at_zero < 0:
        found.append(_walk(function, 0.0, rising=True))
    last = function.in_force(math.inf)
    if last.slope < 0 and last.at_zero >= 0:
        found.append(_walk(function, -last.at_zero / last.slope, rising=False))
    return tuple(sorted({root for root in found if root is not None}))


def _walk(function: SumOfSmallest, start: float, *, rising: bool) -> float | None:
    x = start
    for _ in range(MOST_STEPS):
        line = function.in_force(x)
        if line.at(x) >= 0:
            return x
        if line.slope == 0 or (line.slope > 0) != rising:
            return None
        following = -line.at_zero / line.slope
        if math.isclose(following, x, rel_tol=1e-13):
            return following
        x = following
    return None


def _smallest(group: Sequence[Line], x: float) -> Line:
    if math.isinf(x):
        return min(group, key=lambda line: (line.slope, line.at_zero))
    return min(group, key=lambda line: (line.at(x), line.slope))
