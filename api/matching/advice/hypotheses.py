"""What an advice weighs: groups of sizes and the unlisted alternative, and their probabilities."""

import attrs
import numpy as np

from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.posterior import Posterior, greatest, group_probabilities
from api.matching.sizes.grouping import Grouping
from api.matching.sizes.size_table import IntArray

MASS_CONSIDERED = 0.999
"""Share of the listed probability that the groups considered hold."""
MOST_GROUPS = 256


@attrs.frozen(kw_only=True, eq=False)
class Hypotheses:
    """The groups considered, and the unlisted alternative as the last hypothesis.

    `groups` are their numbers in the grouping, the most probable first. `rows` are the sizes in them,
    `number` the hypothesis of each, `share` its share of it; the shares in a group add to one.
    `prior` is the probability of each hypothesis.
    """

    groups: IntArray
    rows: IntArray
    number: IntArray
    share: FloatArray
    prior: FloatArray


def consider_groups(posterior: Posterior, grouping: Grouping) -> Hypotheses:
    """Return the groups that hold `MASS_CONSIDERED` of the listed probability, `MOST_GROUPS` at most."""
    of_group = group_probabilities(posterior, grouping)
    order = greatest(of_group, MOST_GROUPS)
    enough = int(np.searchsorted(np.cumsum(of_group[order]), MASS_CONSIDERED * of_group.sum())) + 1
    groups = order[:enough]
    groups = groups[of_group[groups] > 0.0]
    place = np.full(len(of_group), -1)
    place[groups] = np.arange(len(groups))
    number = place[grouping.number]
    rows = np.flatnonzero(number >= 0)
    number = number[rows]
    prior = np.append(of_group[groups], posterior.unlisted_probability)
    return Hypotheses(
        groups=groups,
        rows=rows,
        number=number,
        share=posterior.size_probability[rows] / of_group[groups][number],
        prior=prior / prior.sum(),
    )
