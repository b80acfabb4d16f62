"""The places at which a length is looked at: close where a density bends, else far apart."""

import attrs
import numpy as np

from api.matching.advice.length_curves import REACH, WEAR_REACH
from api.matching.advice.length_line import LengthLine
from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.sums import sum_by
from api.matching.sizes.size_table import IntArray

_STEPS = ((16.0, 0.5), (np.inf, 1.0))
"""The least step between places, in standard uncertainties, by the width of the narrowest interval
with its wear: the wider the densities are, the less weighs what their ends look like."""
_NOISE = np.linspace(-REACH, REACH, 21)
_INSIDE = np.linspace(0.0, 1.0, 6)
_WEAR = np.concatenate(
    [np.arange(0.0, 3.0, 0.25), np.arange(3.0, 6.0, 0.5), np.arange(6.0, WEAR_REACH + 0.5, 1.0)]
)
"""Where wear is looked at, in mean wear scales."""
_SPAN = np.linspace(0.0, 1.0, 65)


@attrs.frozen(kw_only=True, eq=False)
class Places:
    """Places along the line: of each its length, the width of its cell, its chance if all is even."""

    position: FloatArray
    of_length: IntArray
    width: FloatArray
    even: FloatArray


def choose_places(line: LengthLine) -> Places:
    """Return the places at which all lengths on the line are looked at; none at or below a length of 0."""
    lengths = len(line.origin)
    step = _steps(line)
    origin = line.origin[line.of_length]
    lower, upper, decay = line.lower - origin, line.upper - origin, line.decay
    worn_end = np.where(line.shrinks[line.of_length], lower, upper)
    away = np.where(line.shrinks[line.of_length], -decay, decay)
    around = np.concatenate(
        [
            lower[:, None] + _NOISE,
            upper[:, None] + _NOISE,
            lower[:, None] + (upper - lower)[:, None] * _INSIDE,
            worn_end[:, None] + away[:, None] * _WEAR,
        ],
        axis=1,
    )
    start, end = line.span_lower - line.origin, line.span_upper - line.origin
    span = start[:, None] + (end - start)[:, None] * _SPAN
    in_span = np.ceil(start / step)[:, None], np.floor(end / step)[:, None]
    # On each length a lattice of whole steps; the lattices of all lengths follow one another.
    steps = [np.rint(around / step[line.of_length, None]), np.clip(np.rint(span / step[:, None]), *in_span)]
    most = np.rint(line.takes / step)
    base = np.cumsum(most + 2.0) - (most + 2.0)
    seen = np.zeros(int(base[-1] + most[-1]) + 2, dtype=np.bool_)
    for one, of_length in zip(steps, (line.of_length, np.arange(lengths)), strict=True):
        seen[(np.maximum(one, 0.0) + base[of_length, None]).astype(np.int64)] = True
    seen[base.astype(np.int64)] = False
    found = np.flatnonzero(seen)
    of_length = np.searchsorted(base, found, side="right") - 1
    position = (found - base[of_length]) * step[of_length] + line.origin[of_length]
    gaps = np.where(of_length[1:] == of_length[:-1], np.diff(position), 0.0) / 2.0
    width = np.append(gaps, 0.0)
    width[1:] += gaps
    in_span = (position >= line.span_lower[of_length]) & (position <= line.span_upper[of_length])
    even = np.where(in_span, width, 0.0)
    even /= sum_by(of_length, even, lengths)[of_length]
    return Places(position=position, of_length=of_length, width=width, even=even)


def _steps(line: LengthLine) -> FloatArray:
    """Return the step of each length; a narrow span is cut into 16 or more where noise allows it."""
    narrowest = np.full(len(line.origin), np.inf)
    np.minimum.at(narrowest, line.of_length, line.upper - line.lower + line.decay)
    limits, steps = np.array(_STEPS).T
    finest = np.maximum((line.span_upper - line.span_lower) / 16.0, 0.1)
    step: FloatArray = np.minimum(steps[np.searchsorted(limits, narrowest)], finest)
    return step
