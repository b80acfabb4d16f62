"""How probably a value lies inside its limits, and what verdict follows. Pure.

JCGM 106:2012, clause 7: with what a measurement tells of a value taken as its distribution, the conformance
probability is the part of it inside the limits. ISO 14253-1: conformity is proven only where the value
lies inside by more than its uncertainty, non-conformity only where it lies outside by more; between, neither.
"""

import math
from typing import Final

import attrs

from api.fit.judging.differences import Difference
from api.fit.judging.features import Feature
from api.inspection.vocabulary import Verdict

PROVEN: Final = 0.95
"""Least probability that proves conformity, or non-conformity: the 95 % one-sided rule that ISO 14253-1 is
said to default to (from memory; a guard band of 1.65 standard uncertainties)."""

NEAR_SHARE: Final = 0.8
"""Share of the wear allowed from which a piece inside its limit is near it (our judgement)."""

LEAST_CAPABILITY: Final = 1.0
"""Least ratio of the wear allowed to four standard uncertainties (JCGM 106:2012 calls a like ratio the
measurement capability index; from memory) at which a doubtful reading still says that the limit is near;
below it the reading cannot tell. The value is our judgement."""


@attrs.frozen
class Known:
    """A value as far as it is known: a middle, full rectangular widths (two at most) and a normal part.

    All in one unit: nm for lengths, the unit in the feature's name for numbers. `u >= 0`.
    """

    middle: float
    widths: tuple[float, ...] = ()
    u: float = 0.0

    @classmethod
    def of(cls, feature: Feature) -> "Known":
        """Return a length in nm."""
        width = feature.upper_nm - feature.lower_nm
        return cls(feature.middle_nm, (float(width),) if width else (), feature.u_nm)

    @property
    def deviation(self) -> float:
        """The standard deviation."""
        return math.hypot(self.u, *(width / math.sqrt(12) for width in self.widths))

    def minus(self, other: "Known") -> "Known":
        """Return the difference of two independent values, with one width each at most."""
        return Known(self.middle - other.middle, (*self.widths, *other.widths), math.hypot(self.u, other.u))

    def chance_above(self, x: float) -> float:
        """Return the probability, 0 to 1, that the value is greater than `x`."""
        wide, narrow = sorted((*self.widths, 0.0, 0.0), reverse=True)[:2]
        # The closed form of a difference takes any unit: only ratios to the deviation count.
        return Difference(self.middle, wide, narrow, self.u, 0, 0).chance_above(x)

    def chance_below(self, x: float) -> float:
        """Return the probability, 0 to 1, that the value is less than `x`."""
        return attrs.evolve(self, middle=-self.middle).chance_above(-x)


@attrs.frozen
class Conformance:
    """How probably a value lies inside its limits, the limits themselves included, and beyond either one."""

    inside: float
    below: float
    above: float


def conformance(value: Known, least: float | None, most: float | None) -> Conformance:
    """Return the probabilities, 0 to 1, that a value lies inside its limits, below, and above them."""
    below = 0.0 if least is None else value.chance_below(least)
    above = 0.0 if most is None else value.chance_above(most)
    return Conformance(min(1.0, max(0.0, 1.0 - below - above)), below, above)


def verdict_of(chances: Conformance, *, near: bool, resolves: bool) -> Verdict:
    """Return what follows from the probabilities.

    `near`: so much of the wear allowed is used that a piece inside is near its limit. `resolves`: the
    reading is fine enough beside the wear allowed that a doubt means nearness. A piece is refused only for
    lying beyond one limit, never for a reading too coarse to lie between two.
    """
    if chances.inside >= PROVEN:
        return "near_limit" if near else "good"
    if max(chances.below, chances.above) >= PROVEN:
        return "renew"
    return "near_limit" if resolves else "cannot_tell"


def resolves_wear(deviation: float, allowed: float) -> bool:
    """Return whether a reading of this standard deviation resolves the wear allowed (same unit, positive)."""
    return allowed >= LEAST_CAPABILITY * 4 * deviation


WORSENING: Final[tuple[Verdict, ...]] = ("good", "near_limit", "cannot_tell", "renew")
"""From the best verdict to the worst: what cannot be told is no pass."""


def worst(verdicts: tuple[Verdict, ...]) -> Verdict:
    """Return the worst of verdicts; none at all is `cannot_tell`."""
    return max(verdicts, key=WORSENING.index, default="cannot_tell")
