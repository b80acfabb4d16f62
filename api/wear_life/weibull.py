"""The Weibull life of a wear part, new or of a known age.

With shape b and scale s the cumulative hazard is H(t) = (t/s)^b and the survival exp(-H(t)). What is
conditional on an age a is reckoned from the growth of H,

    H(a + t) - H(a) = (a/s)^b expm1(b log1p(t/a)),

so that it keeps its digits where the survival itself is far below the smallest double.
Source: IEC 61649:2008 (Weibull analysis); NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.6.2.
"""

import attrs
import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gamma, gammaincc, gammaln

from api.wear_life.refusals import AgeRefused, ScaleRefused, ShapeRefused

FloatArray = NDArray[np.float64]

LEAST_SHAPE = 0.5
"""Below this the early failures are no wear (our judgement)."""
GREATEST_SHAPE = 10.0
"""Above this all pieces fail at practically the same time (our judgement)."""

_TAIL_NODES, _TAIL_WEIGHTS = np.polynomial.legendre.leggauss(64)
_HUGE_HAZARD = 1e100
"""Cumulative hazard past which ages are no longer told apart; it keeps its powers within doubles."""
_FAR = 45.0
"""Growth of the cumulative hazard past which nothing is left: exp(-45) is 3e-20."""


def check_age(age: float) -> None:
    """Raise `AgeRefused` unless `age` is finite and not below zero."""
    if not 0.0 <= age < np.inf:
        raise AgeRefused("age", age, "a number of at least 0", "age_out_of_range")


@attrs.frozen
class WeibullLife:
    """How long a piece lasts: shape 0.5 to 10 (no unit), scale above 0 in any one time unit.

    The scale is the time by which 63.2 % have failed. Raises `ShapeRefused`, `ScaleRefused`.
    """

    shape: float
    scale: float

    def __attrs_post_init__(self) -> None:
        if not LEAST_SHAPE <= self.shape <= GREATEST_SHAPE:
            expected = f"{LEAST_SHAPE:g} to {GREATEST_SHAPE:g}"
            raise ShapeRefused("shape", self.shape, expected, "shape_out_of_range")
        if not 0.0 < self.scale < np.inf:
            raise ScaleRefused("scale", self.scale, "a number above 0", "scale_out_of_range")

    @property
    def mean(self) -> float:
        """The mean life of a new piece, in the unit of the scale."""
        return self.scale * float(gamma(1.0 + 1.0 / self.shape))

    @property
    def squared_variation(self) -> float:
        """The variance over the square of the mean (no unit)."""
        logs = gammaln(1.0 + np.array([2.0, 1.0]) / self.shape)
        return float(np.expm1(logs[0] - 2.0 * logs[1]))

    def cumulative_hazard(self, time: ArrayLike) -> FloatArray:
        """Return (time/scale)^shape; times of at least 0."""
        with np.errstate(over="ignore"):
            hazard: FloatArray = (np.asarray(time, dtype=np.float64) / self.scale) ** self.shape
        return hazard

    def survival(self, time: ArrayLike) -> FloatArray:
        """Return the chance that a new piece lasts longer than `time` (at least 0)."""
        chance: FloatArray = np.exp(-self.cumulative_hazard(time))
        return chance

    def failed(self, time: ArrayLike) -> FloatArray:
        """Return the chance that a new piece has failed by `time` (at least 0), precise where it is small."""
        chance: FloatArray = -np.expm1(-self.cumulative_hazard(time))
        return chance

    def hazard(self, time: ArrayLike) -> FloatArray:
        """Return the failure rate, per time unit, at `time` (above 0; at 0 it may be 0 or infinite)."""
        x = np.asarray(time, dtype=np.float64) / self.scale
        with np.errstate(divide="ignore"):
            rate: FloatArray = self.shape / self.scale * x ** (self.shape - 1.0)
        return rate

    def density(self, time: ArrayLike) -> FloatArray:
        """Return the density of the life of a new piece, per time unit, at `time` (at least 0)."""
        dense: FloatArray = self.hazard(time) * self.survival(time)
        return dense

    def reduced_age(self, age: float) -> float:
        """Return an age in scales, no greater than can be told apart. Raises `AgeRefused`."""
        check_age(age)
        return float(min(age / self.scale, _HUGE_HAZARD ** (1.0 / self.shape)))

    def hazard_growth(self, age: float, time: ArrayLike) -> FloatArray:
        """Return how much the cumulative hazard grows in `time` (at least 0) from `age` on."""
        a = self.reduced_age(age)
        base = a**self.shape
        with np.errstate(over="ignore"):  # past every double nothing survives, which is the right answer
            t = np.asarray(time, dtype=np.float64) / self.scale
            if base < np.finfo(np.float64).tiny:
                return np.asarray((a + t) ** self.shape)
            growth: FloatArray = base * np.expm1(self.shape * np.log1p(t / a))
        return growth

    def conditional_survival(self, age: float, time: ArrayLike) -> FloatArray:
        """Return the chance that a piece of that age lasts longer than another `time` (at least 0)."""
        chance: FloatArray = np.exp(-self.hazard_growth(age, time))
        return chance

    def conditional_failed(self, age: float, time: ArrayLike) -> FloatArray:
        """Return the chance that a piece of that age fails within `time` (at least 0)."""
        chance: FloatArray = -np.expm1(-self.hazard_growth(age, time))
        return chance

    def time_of_growth(self, age: float, growth: ArrayLike) -> FloatArray:
        """Return the time in which the cumulative hazard grows by `growth` (at least 0) from `age` on.

        With growth drawn from the unit exponential distribution these are the remaining lives of pieces
        of that age.
        """
        y = np.asarray(growth, dtype=np.float64)
        a = self.reduced_age(age)
        base = a**self.shape
        if base < np.finfo(np.float64).tiny:
            return np.asarray(self.scale * np.maximum(y ** (1.0 / self.shape) - a, 0.0))
        time: FloatArray = self.scale * a * np.expm1(np.log1p(y / base) / self.shape)
        return time

    def quantile(self, chance: ArrayLike, age: float = 0.0) -> FloatArray:
        """Return the time by which a piece of that age has failed with `chance` (at least 0, below 1)."""
        return self.time_of_growth(age, -np.log1p(-np.asarray(chance, dtype=np.float64)))

    def residual_mean(self, age: float) -> float:
        """Return the mean time that a piece of that age still lasts.

        The integral of the conditional survival: in closed form by the incomplete gamma function while
        the cumulative hazard is below 1, from there on at 64 Gauss-Legendre nodes.
        """
        reduced = self.reduced_age(age)
        base = reduced**self.shape
        inverse = 1.0 / self.shape
        if base < 1.0:
            return float(self.mean * gammaincc(inverse, base) * np.exp(base))
        growth = 0.5 * _FAR * (1.0 + _TAIL_NODES)
        # d(time)/d(growth) is 1/hazard; exp(-growth) is what has survived.
        ages = reduced * self.scale + self.time_of_growth(age, growth)
        return float(np.sum(0.5 * _FAR * _TAIL_WEIGHTS * np.exp(-growth) / self.hazard(ages)))
