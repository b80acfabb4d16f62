"""One length of several specimens, each read once or more: mean, spread, whether they agree. Pure.

A reading (the mean of its repeats) is the length of the size, plus how far this specimen lies off it, plus
the error of its instrument, plus scatter. The covariance of the readings says so: a between-specimen term
that readings of one specimen share; the instrument's own standard uncertainty, shared by all readings with
that instrument, so that neither repeats nor specimens average it down (two readings share the smaller of
theirs); and for each reading alone s squared over n, s pooled over the repeats by one instrument (JCGM
100:2008, 4.2.3, 4.2.4), never less than the step of its display over the square root of 12 (F.2.2.1).

The mean is that of generalised least squares. The between-specimen term is the one by which the weighted
sum of squares is what is expected of it: Paule and Mandel, J. Res. NBS 87 (1982) 377-385, with this
covariance. Consistency is the chi-square test of M. G. Cox, Metrologia 39 (2002) 589-595, at 5 %, where
specimens may differ as far as is usual of such a length; the Birge ratio is the root of chi-square over its
degrees of freedom (R. T. Birge, Phys. Rev. 40 (1932) 207). A few specimens tell little of their spread:
while they are consistent, the mean is known as if they differed by the usual one, and the limits are no
wider than that (our judgement).
"""

import math
import statistics
from collections import defaultdict
from collections.abc import Sequence

import attrs
import numpy as np
from scipy.optimize import brentq
from scipy.special import chdtrc

from api.measurement.uncertainty import resolution_part_nm

LEAST_CHANCE = 0.05
"""Least chance of so great a chi-square at which specimens still count as consistent (Cox 2002)."""

FAR_OFF = 2.0
"""From how many standard deviations off the median a specimen is named as deviating (Cox 2002: 2 u)."""

_OWN_SHARE = 0.1
"""Share of a stated uncertainty that at least is a reading's own: repeats are never quite alike."""
_MOST_RANGES = 10.0
"""A spread ten times the range of the readings explains every difference between specimens."""

FloatMatrix = np.ndarray[tuple[int, int], np.dtype[np.float64]]


@attrs.frozen
class SpecimenReading:
    """One reading of a length: of which specimen, its n values in nm (n >= 1), with which instrument.

    `shared_nm` is the instrument's own standard uncertainty (more than 0), `step_nm` one step of its display;
    0 where the caller stated the uncertainty himself.
    """

    specimen: str
    values_nm: tuple[int, ...]
    instrument: str
    shared_nm: float
    step_nm: float

    @property
    def mean_nm(self) -> float:
        """The mean of the repeats in nm."""
        return math.fsum(self.values_nm) / len(self.values_nm)


@attrs.frozen
class Deviation:
    """How far a specimen lies off the median of all (nm), and in standard deviations of that difference."""

    specimen: str
    mean_nm: float
    deviation_nm: float
    standardised: float

    @property
    def is_far(self) -> bool:
        """Whether it lies further off than `FAR_OFF` standard deviations."""
        return abs(self.standardised) > FAR_OFF


@attrs.frozen(kw_only=True)
class CombinedLength:
    """What the readings of one length come to; lengths in nm.

    `between_nm` is the standard deviation between specimens, None with a single one; `uncertainty_nm` the
    standard uncertainty of the mean, in which consistent specimens differ by `usual_nm`, inconsistent ones by
    `between_nm` where that is greater. `chi_square`, `birge_ratio` and `chance` (of a chi-square as great)
    compare with `usual_nm`; the latter two are None with a single reading, which agrees with itself.
    """

    mean_nm: float
    between_nm: float | None
    usual_nm: float
    uncertainty_nm: float
    specimens: int
    readings: int
    chi_square: float
    birge_ratio: float | None
    chance: float | None
    deviations: tuple[Deviation, ...]

    @property
    def is_consistent(self) -> bool:
        """Whether one length explains all of them."""
        return self.chance is None or self.chance >= LEAST_CHANCE

    @property
    def limits_nm(self) -> tuple[int, int] | None:
        """The limits that a size would be given: a rectangle of that spread; None where inconsistent.

        Mean plus or minus sqrt(3) standard deviations between specimens (JCGM 100:2008, 4.3.7), but no more
        than the usual ones, rounded to micrometres; one specimen shows no spread: both ends are its mean.
        """
        if not self.is_consistent:
            return None
        half = math.sqrt(3) * min(self.between_nm or 0.0, self.usual_nm)
        return _to_micrometre(self.mean_nm - half), _to_micrometre(self.mean_nm + half)


def combine_lengths(readings: Sequence[SpecimenReading], usual_nm: float) -> CombinedLength:
    """Combine n >= 1 readings of one length; their order does not matter.

    `usual_nm` (0 or more) is the standard deviation that specimens of one size usually show.
    """
    ordered = sorted(readings, key=lambda one: (one.specimen, one.instrument, one.values_nm, one.shared_nm))
    model = _Model(ordered)
    degrees = len(ordered) - 1
    chi_square = model.chi_square(usual_nm)
    chance = float(chdtrc(degrees, chi_square)) if degrees else None
    between_nm = model.between_nm() if model.specimens > 1 else None
    consistent = chance is None or chance >= LEAST_CHANCE
    mean_nm, uncertainty_nm = model.mean(usual_nm if consistent else max(usual_nm, between_nm or 0.0))
    return CombinedLength(
        mean_nm=mean_nm,
        between_nm=between_nm,
        usual_nm=usual_nm,
        uncertainty_nm=uncertainty_nm,
        specimens=model.specimens,
        readings=len(ordered),
        chi_square=chi_square,
        birge_ratio=math.sqrt(chi_square / degrees) if degrees else None,
        chance=chance,
        deviations=model.deviations(usual_nm),
    )


def agreeing_majority(readings: Sequence[SpecimenReading], usual_nm: float) -> CombinedLength | None:
    """Return what the readings come to without the specimens that lie farthest off, one after another.

    None unless more than half of the specimens, two at least, are left when the rest agree. What lies equally
    far off is left out together. After M. G. Cox, Metrologia 44 (2007) 187-200 (largest consistent subset);
    the majority is our judgement.
    """
    rest = list(readings)
    needed = max(2, len({one.specimen for one in readings}) // 2 + 1)
    while len({one.specimen for one in rest}) >= needed:
        found = combine_lengths(rest, usual_nm)
        if found.is_consistent:
            return found
        farthest = max(abs(one.standardised) for one in found.deviations) * (1 - 1e-9)
        off = {one.specimen for one in found.deviations if abs(one.standardised) >= farthest}
        rest = [one for one in rest if one.specimen not in off]
    return None


def usual_deviation_nm(width_nm: float) -> float:
    """Return the standard deviation (nm) of lengths spread evenly over a tolerance as wide as this."""
    return width_nm / math.sqrt(12)


def _to_micrometre(nm: float) -> int:
    return round(nm / 1000) * 1000


class _Model:
    """The readings as a vector with its covariance, but for the between-specimen term."""

    def __init__(self, readings: Sequence[SpecimenReading]) -> None:
        names = sorted({one.specimen for one in readings})
        self.names, self.specimens = names, len(names)
        self.of = np.array([names.index(one.specimen) for one in readings])
        # Taken from the first, so that a micrometre's difference keeps its digits.
        self.origin_nm = readings[0].mean_nm
        self.x = np.array([one.mean_nm - self.origin_nm for one in readings])
        self.same_specimen = (self.of[:, None] == self.of[None, :]).astype(np.float64)
        shared = np.array([one.shared_nm for one in readings])
        tools = np.array([one.instrument for one in readings])
        common = np.minimum(shared[:, None], shared[None, :]) ** 2
        self.fixed = np.diag(_own_variances(readings)) + np.where(
            tools[:, None] == tools[None, :], common, 0.0
        )

    def covariance(self, between_nm: float) -> FloatMatrix:
        covariance: FloatMatrix = self.fixed + between_nm**2 * self.same_specimen
        return covariance

    def mean(self, between_nm: float) -> tuple[float, float]:
        """Return the weighted mean and its standard uncertainty (nm)."""
        weights = np.linalg.solve(self.covariance(between_nm), np.ones(len(self.x)))
        total = float(weights.sum())
        return self.origin_nm + float(weights @ self.x) / total, 1.0 / math.sqrt(total)

    def chi_square(self, between_nm: float) -> float:
        residuals = self.x - (self.mean(between_nm)[0] - self.origin_nm)
        return max(0.0, float(residuals @ np.linalg.solve(self.covariance(between_nm), residuals)))

    def between_nm(self) -> float:
        """Return the between-specimen standard deviation at which chi-square is what is expected."""
        expected = len(self.x) - 1

        def excess(between_nm: float) -> float:
            return self.chi_square(between_nm) - expected

        if excess(0.0) <= 0.0:
            return 0.0
        greatest = _MOST_RANGES * float(np.ptp(self.x))
        if excess(greatest) > 0.0:
            # Readings of one specimen contradict each other: no spread between specimens explains that.
            return float(np.std(self.averages() @ self.x, ddof=1))
        return float(brentq(excess, 0.0, greatest, rtol=1e-12))

    def averages(self) -> FloatMatrix:
        """Return by which weights of the readings (columns) each specimen's (row) mean is made."""
        member: FloatMatrix = (self.of[None, :] == np.arange(self.specimens)[:, None]).astype(np.float64)
        member /= member.sum(axis=1, keepdims=True)
        return member

    def deviations(self, between_nm: float) -> tuple[Deviation, ...]:
        """Return how far each specimen's mean lies off the median specimen's (of two, their middle)."""
        average = self.averages()
        means = average @ self.x
        order = np.argsort(means, kind="stable")
        middle = average[order[[(len(means) - 1) // 2, len(means) // 2]]].mean(axis=0)
        contrasts = average - middle
        variances = np.einsum("ij,jk,ik->i", contrasts, self.covariance(between_nm), contrasts)
        off = contrasts @ self.x
        scale = np.sqrt(np.maximum(variances, np.finfo(np.float64).tiny))
        z = np.where(off == 0.0, 0.0, off / scale)
        told = zip(self.names, means.tolist(), off.tolist(), z.tolist(), strict=True)
        return tuple(Deviation(name, self.origin_nm + mean, far, units) for name, mean, far, units in told)


def _own_variances(readings: Sequence[SpecimenReading]) -> list[float]:
    """Return each reading's own variance (nm squared): scatter pooled by instrument, or the step at least."""
    sums: dict[str, float] = defaultdict(float)
    degrees: dict[str, int] = defaultdict(int)
    for one in readings:
        if len(one.values_nm) > 1:
            sums[one.instrument] += statistics.variance(one.values_nm) * (len(one.values_nm) - 1)
            degrees[one.instrument] += len(one.values_nm) - 1
    return [
        max(
            sums[one.instrument] / max(degrees[one.instrument], 1) / len(one.values_nm),
            resolution_part_nm(one.step_nm) ** 2 if one.step_nm else (_OWN_SHARE * one.shared_nm) ** 2,
        )
        for one in readings
    ]
