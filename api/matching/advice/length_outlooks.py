"""What a further reading of each length would show: the chance of every place under every outlook.

An outlook is what one or more hypotheses expect of one length: a floor that is even over the span, and
above it a density over one stretch of the places. Only these stretches are held, one after another.
"""

import attrs
import numpy as np

from api.matching.advice.length_curves import REACH, Curves, find_curves
from api.matching.advice.length_line import LengthLine
from api.matching.advice.length_places import Places, choose_places
from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.sums import lay_stretches, sum_by, sums_up_to, xlogx
from api.matching.sizes.size_table import IntArray

_WHOLE = 1.0 - 1e-9
"""A share from which an interval is all of a hypothesis: what is missing is rounding."""
_WIDTHS = 1024.0
"""Steps to a standard uncertainty in which widths are told apart."""


@attrs.frozen(kw_only=True, eq=False)
class Outlooks:
    """The chance of every place (of the cell around it) under every outlook.

    Outlook n of length `of_length[n]` has `floor[n] * even` everywhere, `absent[n]` beside all places, and
    `chance` (of which `above` the floor) in the cells from `start[n]` to before `start[n + 1]`. These stand
    for the places `at`, from `first[n]` to before `last[n]`.
    `of_hypothesis` has the outlook of every hypothesis (row) on every length (column).
    """

    places: Places
    of_length: IntArray
    floor: FloatArray
    absent: FloatArray
    first: IntArray
    last: IntArray
    start: IntArray
    at: IntArray
    above: FloatArray
    chance: FloatArray
    of_hypothesis: IntArray


def foresee_lengths(line: LengthLine) -> Outlooks:
    """Return what a reading of each length would show, slips included.

    Every interval has an outlook, and so has every hypothesis and length that is not just one interval.
    """
    places = choose_places(line)
    slip = np.array([one.slip_chance for one in line.dimensions])
    intervals, many = len(line.lower), len(places.position)
    first, last, at, start, density = _densities(line, places, 1.0 - slip)
    holder, held = np.nonzero(line.shares)
    share, of_length = line.shares[holder, held], line.of_length[held]
    whole = share >= _WHOLE
    of_hypothesis = np.full(line.even.shape, -1)
    of_hypothesis[holder[whole], of_length[whole]] = held[whole]
    others = np.nonzero(of_hypothesis < 0)
    of_hypothesis[others] = intervals + np.arange(len(others[0]))
    # The others are mixed: their stretch covers those of all their intervals.
    outlook = of_hypothesis[holder, of_length]
    mixed = np.flatnonzero(outlook >= intervals)
    held, share, into = held[mixed], share[mixed], outlook[mixed] - intervals
    mixed_first = np.full(len(others[0]), many)
    mixed_last = np.zeros(len(others[0]), dtype=np.int64)
    np.minimum.at(mixed_first, into, first[held])
    np.maximum.at(mixed_last, into, last[held])
    mixed_first = np.minimum(mixed_first, mixed_last)
    mixed_at, mixed_start = lay_stretches(mixed_first, mixed_last)
    cell, part_start = lay_stretches(start[held], start[held + 1])
    shift = np.repeat(mixed_start[into] - mixed_first[into] + first[held] - start[held], np.diff(part_start))
    shares = np.repeat(share, np.diff(part_start))
    above = np.concatenate([density, sum_by(cell + shift, shares * density[cell], len(mixed_at))])
    first, last = np.concatenate([first, mixed_first]), np.concatenate([last, mixed_last])
    at, start = np.concatenate([at, mixed_at]), np.concatenate([start, len(at) + mixed_start[1:]])
    of_length = np.concatenate([line.of_length, others[1]])
    even = np.concatenate([np.zeros(intervals), line.even[others]])
    floor = even + slip[of_length] * (1.0 - even)
    lacking = np.concatenate([np.zeros(intervals), line.lacking[others]])
    return Outlooks(
        places=places,
        of_length=of_length,
        floor=floor,
        absent=(1.0 - slip[of_length]) * lacking,
        first=first,
        last=last,
        start=start,
        at=at,
        above=above,
        chance=above + np.repeat(floor, last - first) * places.even[at],
        of_hypothesis=of_hypothesis,
    )


def gains_of_lengths(outlooks: Outlooks, prior: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the mutual information (nats) of hypothesis and each length, and the chance of every place.

    The first is the entropy of the reading less its mean under the hypotheses.
    """
    places, floor, absent = outlooks.places, outlooks.floor, outlooks.absent
    lengths = outlooks.of_hypothesis.shape[1]
    weight = sum_by(outlooks.of_hypothesis.ravel(), np.repeat(prior, lengths), len(floor))

    def by_length(of_outlook: FloatArray) -> FloatArray:
        return sum_by(outlooks.of_length, weight * of_outlook, lengths)

    expected = by_length(floor)[places.of_length] * places.even
    weights = np.repeat(weight, outlooks.last - outlooks.first)
    expected += sum_by(outlooks.at, weights * outlooks.above, len(expected))
    entropy = sum_by(places.of_length, xlogx(expected), lengths) + xlogx(by_length(absent))

    def over_stretch(sums: FloatArray, first: IntArray, last: IntArray) -> FloatArray:
        return sums[last] - sums[first]

    inside = over_stretch(sums_up_to(xlogx(outlooks.chance)), outlooks.start[:-1], outlooks.start[1:])
    of_even = xlogx(places.even)
    mass = 1.0 - over_stretch(sums_up_to(places.even), outlooks.first, outlooks.last)
    rest = sum_by(places.of_length, of_even, lengths)[outlooks.of_length]
    rest -= over_stretch(sums_up_to(of_even), outlooks.first, outlooks.last)
    given = by_length(inside + xlogx(floor) * mass + floor * rest + xlogx(absent))
    return given - entropy, expected


def _densities(
    line: LengthLine, places: Places, chance: FloatArray
) -> tuple[IntArray, IntArray, IntArray, IntArray, FloatArray]:
    """Return the stretch over which every interval is followed, and its chances there, one after another.

    That is: the first place and the one after the last, all places, where those of each interval start and,
    at the end, how many there are, and the chances, which add to the `chance` of the interval's length.
    """
    if not len(line.lower):
        nothing = np.empty(0, dtype=np.int64)
        return nothing, nothing, nothing, np.zeros(1, dtype=np.int64), np.empty(0)
    curve, curves = _curves(line)
    reach, shrinks = curves.reach[curve], line.shrinks[line.of_length]
    low = np.where(shrinks, line.upper - reach, line.lower - REACH)
    high = np.where(shrinks, line.upper + REACH, line.lower + reach)
    low = np.maximum(low, line.origin[line.of_length])
    first, last = np.searchsorted(places.position, low), np.searchsorted(places.position, high)
    at, start = lay_stretches(first, last)
    sign, lengths = np.where(shrinks, -1.0, 1.0), last - first
    shift = curves.start[curve] - sign * np.where(shrinks, line.upper, line.lower)
    along = np.repeat(sign, lengths) * places.position[at] + np.repeat(shift, lengths)
    density = np.exp(np.interp(along, curves.places, curves.log_density)) * places.width[at]
    total = np.diff(sums_up_to(density)[start])
    density *= np.repeat(chance[line.of_length] / total, lengths)
    return first, last, at, start, density


def _curves(line: LengthLine) -> tuple[IntArray, Curves]:
    """Return which curve each interval has, and the curves."""
    width = np.rint((line.upper - line.lower) * _WIDTHS) / _WIDTHS
    numbers: dict[tuple[float, float], int] = {}
    curve = [
        numbers.setdefault(pair, len(numbers))
        for pair in zip(width.tolist(), line.decay.tolist(), strict=True)
    ]
    return np.array(curve, dtype=np.int64), find_curves(list(numbers))
