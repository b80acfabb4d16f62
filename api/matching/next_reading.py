"""Which dimension to measure next: the expected fall of entropy, in bits, and the split it would make."""

import math
from collections.abc import Callable, Mapping

import attrs
import numpy as np
from scipy.special import xlogy

from api.matching.density import FloatArray
from api.matching.grouping import Grouping
from api.matching.model import DimensionModel, KindModel
from api.matching.posterior import Posterior, group_probabilities
from api.matching.predictive import Hypotheses, Predictive, predict_length, predict_outcome
from api.matching.sizes import SizeTable

MASS_CONSIDERED = 0.999
"""Share of the listed probability that the groups considered hold."""
MOST_GROUPS = 256
LEAST_PART = 0.005
"""Parts of a split that are less likely than this are not told (our judgement)."""


@attrs.frozen(kw_only=True)
class Gain:
    """The expected fall of entropy, in bits, if this dimension were read next (0 or more)."""

    dimension: str
    gain_bits: float


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


@attrs.frozen(kw_only=True)
class NextReading:
    """The best dimension to read next, its gain, all gains (greatest first), and its split."""

    dimension: str
    gain_bits: float
    all: tuple[Gain, ...]
    split: tuple[SplitPart, ...]


def advise_next_reading(
    kind: KindModel,
    table: SizeTable,
    posterior: Posterior,
    grouping: Grouping,
    uncertainty_nm: Mapping[str, float],
    worn: bool = True,
) -> NextReading | None:
    """Return what to read next, or None where nothing is left to read.

    `uncertainty_nm` gives the standard uncertainty in nm of the instrument at hand for each length that
    it can measure; other lengths are left out, counts and choices never are. The expectation is over
    the posterior predictive, slips and the unlisted alternative included, over the groups that hold
    `MASS_CONSIDERED` of the listed probability, `MOST_GROUPS` at most; to 0.01 bit. Equal gains stand in
    the kind's order.
    """
    is_read = {one.dimension for one in posterior.readings}
    left = [one for one in kind.dimensions if one.code not in is_read]
    left = [one for one in left if one.measure != "length" or one.code in uncertainty_nm]
    if not left:
        return None
    groups, hypotheses, prior = _consider(posterior, grouping)
    found: list[tuple[float, DimensionModel, Predictive]] = []
    for dimension in left:
        if dimension.measure == "length":
            u = uncertainty_nm[dimension.code]
            predictive = predict_length(dimension, table, hypotheses, u, worn)
        else:
            predictive = predict_outcome(dimension, table, hypotheses)
        found.append((_gain_bits(prior, predictive), dimension, predictive))
    found.sort(key=lambda one: -round(one[0], 6))
    gain, best, predictive = found[0]
    return NextReading(
        dimension=best.code,
        gain_bits=gain,
        all=tuple(Gain(dimension=dimension.code, gain_bits=bits) for bits, dimension, _ in found),
        split=_split(best, predictive, prior, lambda place: _group_at(grouping, groups, place)),
    )


def _group_at(grouping: Grouping, groups: list[int], place: int) -> str | None:
    """Return the id of one of the groups considered; nothing for `unlisted`, which stands last."""
    return grouping.ids[groups[place]] if place < len(groups) else None


def _consider(posterior: Posterior, grouping: Grouping) -> tuple[list[int], Hypotheses, FloatArray]:
    """Return the groups considered, their sizes, and the probabilities of groups and `unlisted`."""
    of_group = group_probabilities(posterior, grouping)
    order = np.argsort(-of_group, kind="stable")
    listed = float(of_group.sum())
    enough = int(np.searchsorted(np.cumsum(of_group[order]), MASS_CONSIDERED * listed)) + 1
    groups = order[: min(enough, MOST_GROUPS)]
    place = np.full(len(of_group), -1)
    place[groups] = np.arange(len(groups))
    number = place[grouping.number]
    rows = np.flatnonzero(number >= 0)
    share = posterior.size_probability[rows] / of_group[grouping.number[rows]]
    prior = np.concatenate([of_group[groups], [posterior.unlisted_probability]])
    hypotheses = Hypotheses(rows=rows, number=number[rows], share=share, count=len(groups))
    return [int(group) for group in groups], hypotheses, prior / prior.sum()


def _gain_bits(prior: FloatArray, predictive: Predictive) -> float:
    """Return the mutual information of hypothesis and outcome: entropy of y less its mean given h."""
    weight = np.bincount(predictive.outlook, weights=prior, minlength=len(predictive.chances))
    expected = weight @ predictive.chances
    given = -float(weight @ xlogy(predictive.chances, predictive.chances).sum(axis=1))
    return max((-float(xlogy(expected, expected).sum()) - given) / math.log(2.0), 0.0)


def _split(
    dimension: DimensionModel,
    predictive: Predictive,
    prior: FloatArray,
    group_at: Callable[[int], str | None],
) -> tuple[SplitPart, ...]:
    """Return the stretches of outcomes over which one group stays the most probable, in their order."""
    leading = np.array(
        [
            int(np.argmax(np.where(predictive.outlook == row, prior, -1.0)))
            for row in range(len(predictive.chances))
        ]
    )
    joint = prior[leading, None] * predictive.chances
    winner = joint.argmax(axis=0)
    expected = np.bincount(predictive.outlook, weights=prior) @ predictive.chances
    last = len(predictive.values)
    edges = predictive.edges
    cuts = np.arange(1, last) if edges is None else np.flatnonzero(np.diff(winner[:last])) + 1
    parts: list[SplitPart] = []
    for stretch in [*np.split(np.arange(last), cuts), np.array([last])]:
        chance = float(expected[stretch].sum())
        if chance < LEAST_PART:
            continue
        won = int(winner[stretch[0]])
        part = SplitPart(
            group=group_at(int(leading[won])),
            chance=chance,
            group_probability=float(joint[won, stretch].sum()) / chance,
        )
        if stretch[0] == last:
            part = attrs.evolve(part, absent=True)
        elif edges is not None:
            part = attrs.evolve(part, from_nm=float(edges[stretch[0]]), to_nm=float(edges[stretch[-1] + 1]))
        else:
            value = int(predictive.values[stretch[0]])
            part = attrs.evolve(part, value=dimension.choices[value] if dimension.choices else value)
        parts.append(part)
    return tuple(parts)
