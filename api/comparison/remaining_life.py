"""How long the piece in place lasts from today on: drawn, and by quantile. Pure.

Every law here is a rising function of one standard draw, so that what outlasts the months is known from
its draw alone. With shape b and scale s:

- new: the draw E is exponential, the life is s E^(1/b);
- aged a: it fails at a + x where ((a + x)/s)^b - (a/s)^b = E, so x = a ((1 + E (a/s)^-b)^(1/b) - 1),
  taken by expm1 and log1p from b ln(a/s): no difference of nearly equal numbers, and no survival that
  underflows, however great the age;
- of unknown age: the excess life of a process that has run for ever has the density S(x)/mean. With
  g = (x/s)^b that is the gamma law of shape 1/b, so x = s G^(1/b), exactly. (The same law as a uniform
  share of a life drawn with a chance proportional to its length, in one draw instead of two.)

Source: our derivation from the definitions; the excess life is from Cox, Renewal Theory (1962), chapter 5
(from memory).
"""

import math

import attrs
import numpy as np
import numpy.typing as npt
from scipy.special import gammainc, gammaincinv

from api.wear_life.renewal import AgedLife, FirstLife, UnknownAge
from api.wear_life.weibull import WeibullLife

FloatArray = npt.NDArray[np.float64]

NEGLIGIBLE_LOG_AGE = -500.0
"""Below this b ln(a/s), at shapes of 10 or less, an age is under e^-50 of the scale: the piece is new."""
GREATEST_LOG_AGE = 700.0
"""From this b ln(a/s) on, a piece fails within 1e-300 of its age, and e to a greater power overflows."""


@attrs.frozen
class RemainingLife:
    """The law of the time from today to the first failure, in the unit of the life's scale."""

    life: WeibullLife
    first: FirstLife

    @property
    def of_unknown_age(self) -> bool:
        """Whether the draw is gamma of shape 1/b; else it is exponential."""
        return isinstance(self.first, UnknownAge)

    @property
    def _log_age(self) -> float | None:
        """b ln(a/s), or nothing where the age is none or negligible."""
        if not isinstance(self.first, AgedLife) or self.first.age <= 0:
            return None
        log_age = self.life.shape * (math.log(self.first.age) - math.log(self.life.scale))
        return None if log_age < NEGLIGIBLE_LOG_AGE else min(log_age, GREATEST_LOG_AGE)

    def draw(self, generator: np.random.Generator, count: int) -> FloatArray:
        """Return `count` independent standard draws."""
        if self.of_unknown_age:
            return generator.standard_gamma(1 / self.life.shape, count)
        return generator.standard_exponential(count)

    def draws_at(self, times: FloatArray) -> FloatArray:
        """Return the draws of what fails at `times` (above 0): a greater draw outlasts it."""
        log_age = self._log_age
        if log_age is None or not isinstance(self.first, AgedLife):
            draws: FloatArray = (times / self.life.scale) ** self.life.shape
            return draws
        grown = np.log(np.expm1(self.life.shape * np.log1p(times / self.first.age)))
        return np.exp(np.minimum(log_age + grown, GREATEST_LOG_AGE))

    def times_at(self, draws: FloatArray) -> FloatArray:
        """Return the times of failure that belong to standard draws."""
        log_age = self._log_age
        if log_age is None or not isinstance(self.first, AgedLife):
            return new_lives(self.life, draws)
        grown = np.log1p(draws * math.exp(-log_age)) / self.life.shape
        times: FloatArray = self.first.age * np.expm1(grown)
        return times

    def chances_within(self, times: FloatArray) -> FloatArray:
        """Return the chances of a failure within `times` (above 0)."""
        draws = self.draws_at(times)
        chances: FloatArray = (
            gammainc(1 / self.life.shape, draws) if self.of_unknown_age else -np.expm1(-draws)
        )
        return chances

    def times_of_shares(self, chances: FloatArray) -> FloatArray:
        """Return the times within which the first failure comes with `chances` of 0 to below 1."""
        draws: FloatArray = (
            gammaincinv(1 / self.life.shape, chances) if self.of_unknown_age else -np.log1p(-chances)
        )
        return self.times_at(draws)


def new_lives(life: WeibullLife, draws: FloatArray) -> FloatArray:
    """Return the lives of new pieces that belong to standard exponential draws (of any array shape)."""
    lives: FloatArray = life.scale * draws ** (1 / life.shape)
    return lives
