"""The split that a reading would make: stretches of outcomes, and the group most probable after each."""

from collections.abc import Callable

import attrs
import numpy as np

from api.matching.advice.predictive import Predictive
from api.matching.likelihoods.density import FloatArray
from api.matching.model import DimensionModel
from api.matching.sizes.size_table import IntArray

LEAST_PART = 0.005
"""Parts of a split that are less likely than this are not told (our judgement)."""
_TINY = np.finfo(np.float64).tiny


@attrs.frozen(kw_only=True)
class SplitPart:
    """One stretch of what could be read, and the group that would then be the most probable.

    For a length `from_nm` and `to_nm` bound it; for a count or choice `value` is it; where `absent` the
    feature is found missing. `group` is None where the part is then most probably unlisted.
    `chance` is how probable it is to read this, `group_probability` that of the group after it.
    """

    group: str | None
    chance: float
    group_probability: float
    from_nm: float | None = None
    to_nm: float | None = None
    value: int | str | None = None
    absent: bool = False


def split_outcomes(
    dimension: DimensionModel, predictive: Predictive, group_at: Callable[[int], str | None]
) -> tuple[SplitPart, ...]:
    """Return the parts in the order of their outcomes; `group_at` tells the group of each hypothesis."""
    winner = predictive.joint.argmax(axis=0)
    won = predictive.joint[winner, np.arange(len(winner))]
    expected, last = predictive.expected, len(winner) - 1

    def part(at: int, chance: float, win: float, bounds: tuple[float, float] | None = None) -> SplitPart:
        is_count = bounds is None and at < last
        return SplitPart(
            group=group_at(int(predictive.leading[winner[at]])),
            chance=float(chance),
            group_probability=min(float(win / chance), 1.0),
            from_nm=bounds[0] if bounds else None,
            to_nm=bounds[1] if bounds else None,
            value=_value(dimension, at) if is_count else None,
            absent=at == last,
        )

    if predictive.places is None or predictive.widths is None:
        told = np.flatnonzero(expected >= LEAST_PART).tolist()
        return tuple(part(at, expected[at], won[at]) for at in told)
    places = predictive.places
    changes = np.flatnonzero(winner[1:last] != winner[: last - 1])
    firsts = np.concatenate([[0], changes + 1])
    chances, wins = np.add.reduceat(expected[:last], firsts), np.add.reduceat(won[:last], firsts)
    share = _border_shares(predictive.joint, winner, changes)
    for sums, cells in ((chances, expected), (wins, won)):
        moved = _moved(places, cells[:last] / predictive.widths, changes, share)
        sums[:-1] += moved
        sums[1:] -= moved
    borders = places[changes] + share * (places[changes + 1] - places[changes])
    edges = np.concatenate([places[:1], borders, places[-1:]]).tolist()
    parts = [
        part(int(firsts[n]), chances[n], wins[n], (edges[n], edges[n + 1]))
        for n in np.flatnonzero(chances >= LEAST_PART).tolist()
    ]
    if expected[last] >= LEAST_PART:
        parts.append(part(last, expected[last], won[last]))
    return tuple(parts)


def _value(dimension: DimensionModel, place: int) -> int | str:
    return dimension.choices[place] if dimension.choices else dimension.span_lower + place


def _border_shares(joint: FloatArray, winner: IntArray, changes: IntArray) -> FloatArray:
    """Return at what share of the gap after each of those places the one winner passes to the next.

    There both are equally probable; the log of their ratio is taken as straight in between.
    """
    ahead, behind = winner[changes], winner[changes + 1]
    rows, columns = [ahead, behind, behind, ahead], [changes, changes, changes + 1, changes + 1]
    logs = np.log(np.maximum(joint[rows, columns], _TINY))
    lead, loss = logs[0] - logs[1], logs[2] - logs[3]
    share: FloatArray = np.where(lead + loss > 0.0, lead / np.maximum(lead + loss, _TINY), 0.5)
    return share


def _moved(places: FloatArray, density: FloatArray, changes: IntArray, share: FloatArray) -> FloatArray:
    """Return the chance from the middle of each gap to its border, by the densities at its ends."""
    there = (0.5 + share) / 2.0
    between = density[changes] * (1.0 - there) + density[changes + 1] * there
    moved: FloatArray = (share - 0.5) * (places[changes + 1] - places[changes]) * between
    return moved
