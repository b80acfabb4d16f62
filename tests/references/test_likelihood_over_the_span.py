"""The log density over the whole plausible range of every length of the seed's kinds, by digital caliper.

Source: mpmath, Gauss-Legendre quadrature (24 nodes a panel) and erfc at 50 digits, over the definition: the
convolution of a uniform, an exponential and a normal variable.
"""

import mpmath
import numpy as np
import pytest

from api.exchange.catalogue import Catalogue
from api.matching.likelihoods.density import log_density
from api.measurement.instrument_data import read_instruments
from api.measurement.uncertainty import standard_uncertainty_nm
from api.travelling import travelling

TOLERANCE = 1e-9
ROUNDINGS = 4
"""Where the log itself is a million and more, it cannot be closer than a few of its own roundings."""
PLACES = 4
FAR = 40.0
CALIPER = read_instruments((travelling("seed_catalog") / "instruments.toml").read_text("utf-8"))[
    "digital_caliper"
]


def by_quadrature(value, lower, upper, uncertainty, wear_scale, sense):
    """Return log of the mean density over the tolerance, in panels that narrow where it falls fast."""
    with mpmath.workdps(50):
        x, low, high, u = (mpmath.mpf(float(one)) for one in (value, lower, upper, uncertainty))
        if sense == "shrinks":
            x, low, high = -x, -high, -low

        def log_noisy(t):
            if sense == "none":
                return -((t / u) ** 2) / 2 - mpmath.log(u * mpmath.sqrt(2 * mpmath.pi))
            w = mpmath.mpf(float(wear_scale))
            grown = mpmath.erfc((u / w - t / u) / mpmath.sqrt(2))
            return u**2 / (2 * w**2) - t / w + mpmath.log(grown / (2 * w))

        start, end = x - high, x - low
        if start == end:
            return log_noisy(start)
        # From the end that counts most, in panels of two u; out in a normal tail of four of its decay
        # lengths, and then 40 of them hold all of it to 50 digits.
        beyond = max(start if sense == "none" else 0, -end, 0)
        panel = min(2 * u, 4 * u / (1 + beyond / u))
        count = int(mpmath.ceil((end - start) / panel))
        steps = [panel * step for step in range(min(count, 40) if beyond else count)]
        ends = [start + step for step in steps] if start > 0 else [end - step for step in steps]
        if len(steps) == count:
            ends.append(end if start > 0 else start)
        top = max(log_noisy(one) for one in (start, (start + end) / 2, end))
        mean = mpmath.quad(
            lambda t: mpmath.exp(log_noisy(t) - top), sorted(ends), method="gauss-legendre", maxdegree=4
        )
        return mpmath.log(mean / (end - start)) + top


def values_of(dimension, limits, whole_span):
    """Return lengths out to 40 standard deviations from the limits, or over all that a reading may be."""
    least, greatest = dimension.span_lower // 2, min(dimension.span_upper * 2, 590_000_000)
    if whole_span:
        return np.linspace(least, greatest, PLACES)
    lower, upper = limits.lower_nm, limits.upper_nm
    u = standard_uncertainty_nm(CALIPER, dimension.how, [upper])
    near = [lower - FAR * u, lower - 3 * u, (lower + upper) / 2, upper + 3 * u, upper + FAR * u]
    return [one for one in near if least <= one <= greatest]


@pytest.mark.parametrize("kind", ["brush_set", "bushing", "contact", "drive_clutch"])
def test_every_length_of_a_kind_is_within_1e_9_of_50_digit_quadrature(
    kind: str, catalogue: Catalogue
) -> None:
    sizes = [one for one in catalogue.sizes if one.kind == kind]
    compared = 0
    for dimension in next(one for one in catalogue.kinds if one.code == kind).dimensions:
        if dimension.measure != "length":
            continue
        recorded = [v for s in sizes for v in s.values if v.dimension == dimension.code and v.applies]
        widths = sorted(recorded, key=lambda one: (one.upper_nm - one.lower_nm, one.lower_nm))
        for limits, whole_span in ((widths[0], False), (widths[-1], True)):
            for value in values_of(dimension, limits, whole_span):
                u = standard_uncertainty_nm(CALIPER, dimension.how, [round(value)])
                wear = float(dimension.wear_scale_nm or 0)
                told = (value, limits.lower_nm, limits.upper_nm, u, wear)
                theirs = by_quadrature(*told, dimension.wear_sense)
                ours = float(log_density(*told, dimension.wear_sense))
                allowed = max(TOLERANCE, ROUNDINGS * np.finfo(float).eps * abs(float(theirs)))
                assert abs(ours - theirs) < allowed, (dimension.code, *told)
                compared += 1
    assert compared >= 30
