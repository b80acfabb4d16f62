"""How long the piece in place lasts from today on: drawn, and by quantile. Pure.

Every law here is a rising function of one standard draw, so that what outlasts the months is known from
its draw alone. With shape b and scale s:

- new, or of a known age: the draw is the growth of the cumulative hazard until the failure, exponential;
- of unknown age: the excess life of a process that has run for ever has the density S(x)/mean. With
  g = (x/s)^b that is the gamma law of shape 1/b, so x = s G^(1/b), exactly. (The same law as a uniform
  share of a life drawn with a chance proportional to its length, in one draw instead of two.)

Source: our derivation from the definitions; the excess life is from Cox, Renewal Theory (1962), chapter 5
(from memory).
"""

import attrs
import numpy as np
import numpy.typing as npt
from scipy.special import gammainc, gammaincinv

from api.wear_life.renewal import AgedLife, FirstLife, UnknownAge
from api.wear_life.weibull import WeibullLife

FloatArray = npt.NDArray[np.float64]


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
    def _age(self) -> float:
        return self.first.age if isinstance(self.first, AgedLife) else 0.0

    def draw(self, generator: np.random.Generator, count: int) -> FloatArray:
        """Return `count` independent standard draws."""
        if self.of_unknown_age:
            return generator.standard_gamma(1 / self.life.shape, count)
        return generator.standard_exponential(count)

    def draws_at(self, times: FloatArray) -> FloatArray:
        """Return the draws of what fails at `times` (0 or more): a greater draw outlasts it."""
        return self.life.hazard_growth(self._age, times)

    def times_at(self, draws: FloatArray) -> FloatArray:
        """Return the times of failure that belong to standard draws."""
        return self.life.time_of_growth(self._age, draws)

    def chances_within(self, times: FloatArray) -> FloatArray:
        """Return the chances of a failure within `times` (0 or more)."""
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
