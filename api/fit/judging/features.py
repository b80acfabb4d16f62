"""A length as far as it is known: by its limits, by a reading, or by both. Pure."""

import math

import attrs


@attrs.frozen
class Feature:
    """A length that is equally likely anywhere from `lower_nm` to `upper_nm`, known with `u_nm`.

    A size with limits has a width and no uncertainty; a reading has no width and a standard uncertainty
    (nm, normal); what was read off many pieces may have both. `lower_nm <= upper_nm`, `u_nm >= 0`.
    """

    lower_nm: int
    upper_nm: int
    u_nm: float = 0.0

    @classmethod
    def exact(cls, nm: int) -> "Feature":
        """Return a length that is known exactly."""
        return cls(nm, nm)

    @classmethod
    def read(cls, nm: int, u_nm: float) -> "Feature":
        """Return a reading and its standard uncertainty."""
        return cls(nm, nm, u_nm)

    @property
    def middle_nm(self) -> float:
        """The mean of the length in nm."""
        return (self.lower_nm + self.upper_nm) / 2

    @property
    def deviation_nm(self) -> float:
        """The standard deviation of the length in nm: of its width (rectangular) and its uncertainty."""
        return math.hypot((self.upper_nm - self.lower_nm) / math.sqrt(12), self.u_nm)

    def bounds_nm(self, coverage: float = 2.0) -> tuple[int, int]:
        """Return where the length lies: its limits, widened by `coverage` standard uncertainties.

        2 is the usual coverage factor (JCGM 100:2008, 6.3.3: about 95 % for a normal). Whole nm, outwards.
        """
        spread = math.ceil(coverage * self.u_nm)
        return self.lower_nm - spread, self.upper_nm + spread

    def shifted(self, by_nm: int) -> "Feature":
        """Return the same length, longer by `by_nm`."""
        return attrs.evolve(self, lower_nm=self.lower_nm + by_nm, upper_nm=self.upper_nm + by_nm)
