"""How two lengths differ: within which limits, and how probably by more than so much. Pure.

Each length is equally likely within its limits and known with a normal uncertainty, so the difference is
the sum of two rectangular and one normal variable. Its distribution has a closed form through the normal
distribution integrated twice (integration by parts of the normal; JCGM 101:2008 makes the same sum by
drawing). Where a width is small beside the normal part, the closed form would subtract nearly equal
numbers; there the same integral is taken by Gauss-Legendre quadrature, which is then exact to rounding.
"""

import math
from typing import Final

import attrs
import numpy as np
from numpy.polynomial.legendre import leggauss
from numpy.typing import NDArray
from scipy.special import ndtr

from api.fit.judging.features import Feature

FloatArray = NDArray[np.float64]

NARROW: Final = 4.0
"""A width up to so many standard uncertainties is integrated numerically (rounding errors of the closed
form grow with the square of uncertainty over width; 16 nodes over 4 deviations leave 1e-14)."""

NOTHING_NM: Final = 1e-6
"""An uncertainty below it is none: lengths are whole nanometres, and dividing by less would overflow."""

REACH: Final = 40.0
"""Standard uncertainties beyond which a chance is 0 or 1 to the last digit. Farther off, the closed form
would take the difference of great squares."""

_NODES, _WEIGHTS = leggauss(16)


@attrs.frozen
class Difference:
    """A length less another: two rectangular widths and a normal uncertainty around a mean, all in nm.

    `wide_nm >= narrow_nm >= 0` are the full widths, `u_nm >= 0` the standard uncertainty.
    """

    mean_nm: float
    wide_nm: float
    narrow_nm: float
    u_nm: float
    least_nm: int
    most_nm: int

    @property
    def is_exact(self) -> bool:
        """Whether it is one number."""
        return self.wide_nm == 0 and self.u_nm == 0

    def chance_above(self, x_nm: float) -> float:
        """Return the probability, 0 to 1, that the difference is greater than `x_nm`."""
        return float(self.chances_above(np.array([x_nm]))[0])

    def chances_above(self, x_nm: FloatArray) -> FloatArray:
        """Return the probability, 0 to 1, that the difference is greater than each of `x_nm`."""
        left = self.mean_nm - np.asarray(x_nm, dtype=np.float64)
        u = self.u_nm if self.u_nm > NOTHING_NM else 0.0
        widths = (self.wide_nm, self.narrow_nm)
        reach = sum(widths) / 2 + REACH * u
        if reach == 0:
            return _chance(left, widths, u)
        found = np.clip(_chance(np.clip(left, -reach, reach), widths, u), 0.0, 1.0)
        return np.where(left >= reach, 1.0, np.where(left <= -reach, 0.0, found))


def difference(a: Feature, b: Feature) -> Difference:
    """Return `a` less `b`, taken as independent.

    `least_nm` and `most_nm` come from their limits, each widened by two standard uncertainties.
    """
    widths = sorted((float(a.upper_nm - a.lower_nm), float(b.upper_nm - b.lower_nm)))
    (a_least, a_most), (b_least, b_most) = a.bounds_nm(), b.bounds_nm()
    return Difference(
        mean_nm=a.middle_nm - b.middle_nm,
        wide_nm=widths[1],
        narrow_nm=widths[0],
        u_nm=math.hypot(a.u_nm, b.u_nm),
        least_nm=a_least - b_most,
        most_nm=a_most - b_least,
    )


def _chance(left: FloatArray, widths: tuple[float, ...], u: float) -> FloatArray:
    """Return P(left + rectangular parts + normal part > 0); widths descend."""
    kept = [width for width in widths if width > 0]
    smooth = [width for width in kept if width <= NARROW * u]
    if smooth:
        rest = tuple(width for width in kept if width > NARROW * u) + tuple(smooth[1:])
        inner = _chance(left[..., None] + smooth[0] / 2 * _NODES, rest, u)
        return np.asarray(inner @ _WEIGHTS / 2)
    if not kept:
        return np.where(left > 0, 1.0, 0.0) if u == 0 else np.asarray(ndtr(left / u))
    if len(kept) == 1:
        half = kept[0] / 2
        return np.asarray((_once(left + half, u) - _once(left - half, u)) / kept[0])
    far, near = (kept[0] + kept[1]) / 2, (kept[0] - kept[1]) / 2
    corners = _twice(left + far, u) - _twice(left + near, u) - _twice(left - near, u) + _twice(left - far, u)
    return np.asarray(corners / (kept[0] * kept[1]))


def _once(t: FloatArray, u: float) -> FloatArray:
    """Return the integral of the normal distribution function of deviation `u` up to t."""
    if u == 0:
        return np.maximum(t, 0.0)
    return np.asarray(t * ndtr(t / u) + u * _density(t / u))


def _twice(t: FloatArray, u: float) -> FloatArray:
    """Return the integral of `_once` up to t."""
    if u == 0:
        return np.maximum(t, 0.0) ** 2 / 2
    return np.asarray(((t * t + u * u) * ndtr(t / u) + t * u * _density(t / u)) / 2)


def _density(z: FloatArray) -> FloatArray:
    return np.asarray(np.exp(-z * z / 2) / math.sqrt(2 * math.pi))
