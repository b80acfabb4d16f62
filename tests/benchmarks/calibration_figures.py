"""Whether stated probabilities mean what they say: reliability by bins, Brier score, places, shares."""

import itertools
from collections.abc import Iterable, Iterator

import attrs
import numpy as np
from numpy.typing import NDArray
from scipy import stats

FloatArray = NDArray[np.float64]

EDGES = (0.01, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 1.0)
"""Bounds of the bins of stated probability; what is less likely than the first is not asked about."""
MANY = 1_000
"""From so many candidates on a bin is judged by `WITHIN`, below by its binomial interval."""
WITHIN = 0.05
CONFIDENCE = 0.99


@attrs.frozen(kw_only=True)
class Bin:
    """The candidates whose stated probability lies in one bin: how many, what was stated, what was right."""

    lower: float
    upper: float
    count: int
    mean_stated: float
    right: int

    @property
    def share_right(self) -> float:
        """The share of the candidates that were the true ones."""
        return self.right / self.count

    @property
    def interval(self) -> tuple[float, float]:
        """The shares between which 99 % of such bins fall if the probabilities are true (binomial)."""
        chance = min(self.mean_stated, 1.0)
        low, high = stats.binom.interval(CONFIDENCE, self.count, chance)
        return float(low) / self.count, float(high) / self.count

    @property
    def holds(self) -> bool:
        """Whether the bin means what it says."""
        if self.count >= MANY:
            return abs(self.share_right - self.mean_stated) <= WITHIN
        low, high = self.interval
        return low <= self.share_right <= high


@attrs.frozen(kw_only=True, eq=False)
class Judged:
    """One search of one case, judged: the probabilities of the groups and, last, of `unlisted`.

    `true` is the place of what the part is, `is_clean` whether no reading used was a slip or a miscount.
    """

    probabilities: FloatArray
    true: int
    is_clean: bool

    @property
    def is_listed(self) -> bool:
        """Whether the catalogue holds the part."""
        return self.true < len(self.probabilities) - 1

    @property
    def place(self) -> int:
        """Where the true group stands among the groups, 0 for the first; of equals the mean place."""
        groups = self.probabilities[:-1]
        own = groups[self.true]
        return int((groups > own).sum()) + (int((groups == own).sum()) - 1) // 2

    @property
    def called_unlisted(self) -> bool:
        """Whether `unlisted` is likelier than every group."""
        return bool(self.probabilities.argmax() == len(self.probabilities) - 1)

    @property
    def brier(self) -> float:
        """The squared distance of what was stated from what is (0 at best, 2 at worst)."""
        wrong = self.probabilities.copy()
        wrong[self.true] -= 1.0
        return float(wrong @ wrong)


@attrs.frozen(kw_only=True, eq=False)
class Search:
    """One search: of which kind, after how many readings, whether those were all; ours and the exact one.

    `lengths` of the readings were taken with the instrument; the others are counts, choices, what is absent.
    `miss` is what the readings tell of a listed part and of the group before its own, None where none is.
    """

    kind: str
    readings: int
    lengths: int
    is_whole: bool
    ours: Judged
    exact: Judged
    miss: str | None = None


@attrs.frozen(kw_only=True)
class Summary:
    """Shares over many searches: nan where there was none to judge."""

    searches: int
    first: float
    first_clean: float
    first_three: float
    brier: float
    unlisted_called: float
    listed_called_unlisted: float


def reliability(searches: Iterable[Judged]) -> list[Bin]:
    """Return the bins that hold a candidate; candidates are all groups and `unlisted`, one search each."""
    stated, right = [], []
    for one in searches:
        places = np.flatnonzero(one.probabilities >= EDGES[0])
        stated.append(one.probabilities[places])
        right.append(places == one.true)
    return list(_bins(np.concatenate(stated), np.concatenate(right))) if stated else []


def unlisted_reliability(searches: Iterable[Judged]) -> list[Bin]:
    """Return the bins of what was stated of `unlisted` alone."""
    found = [(one.probabilities[-1], not one.is_listed) for one in searches]
    stated = np.array([chance for chance, _ in found])
    right = np.array([is_right for _, is_right in found])
    asked = stated >= EDGES[0]
    return list(_bins(stated[asked], right[asked])) if found else []


def _bins(stated: FloatArray, right: NDArray[np.bool_]) -> Iterator[Bin]:
    of_bin = np.clip(np.searchsorted(EDGES, stated, side="right") - 1, 0, len(EDGES) - 2)
    for number, (lower, upper) in enumerate(itertools.pairwise(EDGES)):
        inside = of_bin == number
        if inside.any():
            yield Bin(
                lower=lower,
                upper=upper,
                count=int(inside.sum()),
                mean_stated=float(stated[inside].mean()),
                right=int(right[inside].sum()),
            )


def summarise(searches: Iterable[Judged]) -> Summary:
    """Return the shares over searches; the true group's place counts among listed parts alone."""
    judged = list(searches)
    listed = [one for one in judged if one.is_listed]
    unlisted = [one for one in judged if not one.is_listed]
    return Summary(
        searches=len(judged),
        first=_mean(one.place == 0 for one in listed),
        first_clean=_mean(one.place == 0 for one in listed if one.is_clean),
        first_three=_mean(one.place < 3 for one in listed),
        brier=_mean(one.brier for one in judged),
        unlisted_called=_mean(one.called_unlisted for one in unlisted),
        listed_called_unlisted=_mean(one.called_unlisted for one in listed),
    )


def _mean(values: Iterable[float]) -> float:
    found = list(values)
    return float(np.mean(found)) if found else float("nan")
