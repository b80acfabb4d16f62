"""The split that a reading would make: stretches of outcomes, and the group most probable after each."""

from collections.abc import Sequence

import attrs
import numpy as np

from api.matching.density import FloatArray
from api.matching.model import DimensionModel
from api.matching.predictive import Predictive
from api.matching.sizes import IntArray

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
    dimension: DimensionModel, predictive: Predictive, group_ids: Sequence[str | None]
) -> tuple[SplitPart, ...]:
    """Return the parts in the order of their outcomes; `group_ids` has the group of each hypothesis."""
    winner = predictive.joint.argmax(axis=0)
    won = predictive.joint[winner, np.arange(len(winner))]
    last = len(winner) - 1

    def part(at: int, chance: float, won_chance: float) -> SplitPart:
        probability = min(won_chance / chance, 1.0)
        group = group_ids[int(predictive.leading[winner[at]])]
        return SplitPart(group=group, chance=chance, group_probability=probability)

    parts: list[SplitPart] = []
    if predictive.places is None or predictive.widths is None:
        for at in np.flatnonzero(predictive.expected[:last] >= LEAST_PART).tolist():
            value = dimension.choices[at] if dimension.choices else dimension.span_lower + at
            one = part(at, float(predictive.expected[at]), float(won[at]))
            parts.append(attrs.evolve(one, value=value))
    else:
        changes = np.flatnonzero(winner[1:last] != winner[: last - 1])
        firsts = np.concatenate([[0], changes + 1])
        chances = np.add.reduceat(predictive.expected[:last], firsts)
        wins = np.add.reduceat(won[:last], firsts)
        share, borders = _borders(predictive, predictive.places, winner, changes)
        for sums, before, after in (
            (chances, predictive.expected[changes], predictive.expected[changes + 1]),
            (wins, won[changes], won[changes + 1]),
        ):
            moved = _moved(predictive.places, predictive.widths, changes, share, before, after)
            sums[:-1] += moved
            sums[1:] -= moved
        edges = np.concatenate([predictive.places[:1], borders, predictive.places[-1:]])
        for n in np.flatnonzero(chances >= LEAST_PART).tolist():
            one = part(int(firsts[n]), float(chances[n]), float(wins[n]))
            parts.append(attrs.evolve(one, from_nm=float(edges[n]), to_nm=float(edges[n + 1])))
    if predictive.expected[last] >= LEAST_PART:
        one = part(last, float(predictive.expected[last]), float(won[last]))
        parts.append(attrs.evolve(one, absent=True))
    return tuple(parts)


def _borders(
    predictive: Predictive, places: FloatArray, winner: IntArray, changes: IntArray
) -> tuple[FloatArray, FloatArray]:
    """Return where one winner passes to another between two places: the share of the gap, and in nm.

    There both are equally probable; the log of their ratio is taken as straight in between.
    """
    ahead, behind = winner[changes], winner[changes + 1]
    rows, columns = [ahead, behind, behind, ahead], [changes, changes, changes + 1, changes + 1]
    logs = np.log(np.maximum(predictive.joint[rows, columns], _TINY))
    lead, loss = logs[0] - logs[1], logs[2] - logs[3]
    share = np.where(lead + loss > 0.0, lead / np.maximum(lead + loss, _TINY), 0.5)
    return share, places[changes] + share * (places[changes + 1] - places[changes])


def _moved(
    places: FloatArray,
    widths: FloatArray,
    changes: IntArray,
    share: FloatArray,
    before: FloatArray,
    after: FloatArray,
) -> FloatArray:
    """Return the chance from the middle of each gap to its border, by those of the cells at its ends."""
    there = (0.5 + share) / 2.0
    density = before / widths[changes] * (1.0 - there) + after / widths[changes + 1] * there
    moved: FloatArray = (share - 0.5) * (places[changes + 1] - places[changes]) * density
    return moved
