"""From chances beforehand and evidence to the chances of the faults, and what each piece did. Pure.

One fault at a time: the faults exclude each other, `other` stands for what the tables do not know, and
given the fault the pieces of evidence are independent. Bayes' rule then gives the chances exactly.
"""

from collections.abc import Sequence

import attrs
import numpy as np
from scipy.special import logsumexp

from api.diagnosis.likelihood import Told
from api.diagnosis.subject import Prior, Vector

FLOOR = 1e-6
"""Added to every fault's chance before they are made to add up to 1 again.

Tables of judgements cannot exclude more than one in a million (our judgement); so no chance is ever 0 or 1.
"""

NODES, WEIGHTS = np.polynomial.legendre.leggauss(96)


@attrs.frozen
class Weighed:
    """The faults' chances after the evidence (sum 1, each above 0 and below 1), in the prior's order.

    `log_odds` has a row for each fault and a column for each piece of evidence: what that piece added to the
    natural logarithm of the fault's odds. Beforehand's log-odds and a row's sum make the log-odds afterwards
    (before the floor, which only matters in the far tails).
    """

    chances: Vector
    log_odds: Vector


def weigh(prior: Prior, evidence: Sequence[Told]) -> Weighed:
    """Return the chances after all evidence and what each piece did; its order does not matter."""
    before = np.log(prior.chances)
    if not evidence:
        return Weighed(prior.chances, np.zeros((len(before), 0)))
    logs = np.log(np.column_stack([one.likelihood for one in evidence]))
    logs = logs - logs.max(axis=0)
    return Weighed(_with_floor(_chances(before + logs.sum(axis=1))), share_log_odds(before, logs))


def _chances(logs: Vector) -> Vector:
    return np.asarray(np.exp(logs - logsumexp(logs)))


def _with_floor(chances: Vector) -> Vector:
    raised = chances + FLOOR
    return np.asarray(raised / raised.sum())


def share_log_odds(before: Vector, logs: Vector) -> Vector:
    """Return what each piece of evidence adds to each fault's log-odds.

    All pieces are turned up together from nothing to their full weight, and each is given what it moves on
    the way: its log-likelihood under the fault less its mean under the other faults as they then stand
    (Aumann and Shapley's value). The shares add up to the whole change and do not depend on any order.
    """
    shares = np.zeros_like(logs)
    total = logs.sum(axis=1)
    for node, weight in zip(NODES, WEIGHTS, strict=True):
        turned_up = (node + 1) / 2
        chances = _chances(before + turned_up * total)
        shares += weight / 2 * _against_the_others(chances, logs)
    return shares


def _against_the_others(chances: Vector, logs: Vector) -> Vector:
    """Return the log-likelihoods less their mean under the other faults, exact near chance 1 too."""
    others = chances * (1 - np.eye(len(chances)))
    return np.asarray(logs - (others @ logs) / others.sum(axis=1)[:, None])
