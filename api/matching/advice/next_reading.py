"""Which dimension to measure next: the expected fall of entropy, in bits, and the split it would make."""

import math
from collections.abc import Mapping

import attrs

from api.matching.advice.hypotheses import consider_groups
from api.matching.advice.length_line import lay_out_lengths
from api.matching.advice.length_outlooks import foresee_lengths, gains_of_lengths
from api.matching.advice.predictive import foresee_outcomes, predict_length
from api.matching.advice.split import SplitPart, split_outcomes
from api.matching.likelihoods.posterior import Posterior
from api.matching.model import KindModel
from api.matching.sizes.grouping import Grouping
from api.matching.sizes.size_table import SizeTable

_LEAST_BITS = 1e-9
"""Gains below this are rounding, and told as 0."""


@attrs.frozen(kw_only=True)
class Gain:
    """The expected fall of entropy, in bits, if this dimension were read next (0 or more)."""

    dimension: str
    gain_bits: float


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
    hypotheses = consider_groups(posterior, grouping)
    prior = hypotheses.prior
    outcomes = {one.code: foresee_outcomes(one, table, hypotheses) for one in left if one.measure != "length"}
    nats = {code: one.gain(prior) for code, one in outcomes.items()}
    lengths = [one for one in left if one.measure == "length"]
    if lengths:
        line = lay_out_lengths(lengths, table, hypotheses, uncertainty_nm, worn)
        outlooks = foresee_lengths(line)
        of_lengths, expected = gains_of_lengths(outlooks, prior)
        nats |= zip([one.code for one in lengths], of_lengths.tolist(), strict=True)
    bits = {one.code: nats[one.code] / math.log(2.0) for one in left}
    gains = [Gain(dimension=code, gain_bits=one if one > _LEAST_BITS else 0.0) for code, one in bits.items()]
    gains.sort(key=lambda one: -round(one.gain_bits, 6))
    best = kind.dimension(gains[0].dimension)
    if best.code in outcomes:
        predictive = outcomes[best.code].predictive(prior)
    else:
        predictive = predict_length(line, outlooks, expected, lengths.index(best), prior)
    groups = hypotheses.groups

    def group_at(place: int) -> str | None:
        return grouping.ids[int(groups[place])] if place < len(groups) else None  # `unlisted` stands last

    return NextReading(
        dimension=best.code,
        gain_bits=gains[0].gain_bits,
        all=tuple(gains),
        split=split_outcomes(best, predictive, group_at),
    )
