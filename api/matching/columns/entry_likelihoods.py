"""A reading against the distinct entries of its dimension: how likely it is under each, and which agree.

Beyond some distance from its limits an entry cannot have been read so other than by a slip; there its
likelihood is the floor, and only the entries nearer than that are computed. A size *passes* a reading when
its entry is likelier than the floor by `PASSES`, or leaves the dimension open.
"""

import math

import attrs
import numpy as np

from api.matching.columns.size_blocks import CodeRange
from api.matching.columns.size_columns import ABSENT, FIRST_RECORDED, NOT_RECORDED, CodeArray, Entries
from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.likelihood import applied_wear, log_even, log_likelihood, log_slip
from api.matching.model import DimensionModel
from api.matching.readings import AbsentReading, ChoiceReading, CountReading, LengthReading, Reading
from api.matching.sizes.size_table import Column, SizeTable

PASSES = 1e-3
"""Relative excess over the floor from which an entry is not taken for the floor in the search for rows."""
FLOOR_ERROR = 1e-9
"""Relative excess over the floor below which the likelihood of an entry is taken for the floor."""


@attrs.frozen(kw_only=True, eq=False)
class EntryLikelihoods:
    """Log likelihoods of one reading: of the entries in [first, first + n), and of all others.

    `log_floor` is that of a recorded entry far off, `log_open` of one that is not recorded, `log_absent` of
    one that does not apply; `test` is what a size's code must satisfy to pass. `log_unlisted` is the
    likelihood under the unlisted alternative.
    """

    dimension: str
    first: int
    near: FloatArray
    log_floor: float
    log_open: float
    log_absent: float
    log_unlisted: float
    test: CodeRange

    def of(self, codes: CodeArray) -> FloatArray:
        """Return the log likelihood under sizes of those codes."""
        place = codes.astype(np.int64) - self.first
        near = (place >= 0) & (place < len(self.near))
        answer = np.full(len(codes), self.log_floor)
        answer[near] = self.near[place[near]]
        answer[codes == NOT_RECORDED] = self.log_open
        answer[codes == ABSENT] = self.log_absent
        return answer

    def greatest_excess(self) -> float:
        """Return the greatest likelihood of an entry over the floor, less 1."""
        greatest = max(float(self.near.max(initial=self.log_floor)), self.log_open, self.log_absent)
        return math.expm1(greatest - self.log_floor)

    def excess(self, entries: Entries) -> float:
        """Return the sum over all sizes of weight times (likelihood over the floor, less 1)."""
        near = entries.weight[self.first : self.first + len(self.near)]
        excess = float(near @ np.expm1(self.near - self.log_floor))
        for code, log in ((NOT_RECORDED, self.log_open), (ABSENT, self.log_absent)):
            excess += float(entries.weight[code]) * math.expm1(log - self.log_floor)
        return excess


def weigh_entries(dimension: DimensionModel, reading: Reading, entries: Entries) -> EntryLikelihoods:
    """Return how likely a reading is under the entries of its dimension."""
    if isinstance(reading, AbsentReading):
        logs = log_likelihood(dimension, reading, _slice(entries, 0, FIRST_RECORDED))
        return EntryLikelihoods(
            dimension=dimension.code,
            first=FIRST_RECORDED,
            near=np.zeros(0),
            log_floor=math.log(dimension.slip_chance),
            log_open=float(logs[NOT_RECORDED]),
            log_absent=float(logs[ABSENT]),
            log_unlisted=log_even(dimension, reading),
            test=CodeRange(dimension.code, NOT_RECORDED, ABSENT + 1),
        )
    first, last = _near(dimension, reading, entries)
    near = log_likelihood(dimension, reading, _slice(entries, first, last))
    floor = log_slip(dimension)
    passing = np.flatnonzero(near > floor + math.log1p(PASSES))
    ends = (first + int(passing[0]), first + int(passing[-1]) + 1) if passing.size else (first, first)
    return EntryLikelihoods(
        dimension=dimension.code,
        first=first,
        near=near,
        log_floor=floor,
        log_open=dimension.log_even,
        log_absent=log_slip(dimension),
        log_unlisted=log_even(dimension, reading),
        test=CodeRange(dimension.code, *ends),
    )


def _near(
    dimension: DimensionModel, reading: LengthReading | CountReading | ChoiceReading, entries: Entries
) -> tuple[int, int]:
    """Return the range of entries outside of which the likelihood is the floor."""
    if not isinstance(reading, LengthReading):
        return FIRST_RECORDED, len(entries)  # there are few
    down, up = _reach(dimension, reading)
    least = entries.least_factor if reading.two_point else 1.0
    lowest, highest = reading.value_nm - up - entries.widest, (reading.value_nm + down) / least
    first, last = np.searchsorted(entries.lower, [math.floor(lowest), math.ceil(highest) + 1])
    return FIRST_RECORDED + int(first), FIRST_RECORDED + int(last)


def _reach(dimension: DimensionModel, reading: LengthReading) -> tuple[float, float]:
    """Return how far below its lower and above its upper limit an entry may be read by more than a slip.

    Noise alone has a density of at most phi(r / u) / u at the distance r; wear beyond that at most
    exp(-d / w) / w at the further distance d, so that the sum of the two bounds the density at r + d.
    """
    u = reading.uncertainty_nm
    sense, w = applied_wear(dimension, reading.worn)
    log_least = log_slip(dimension) + math.log(FLOOR_ERROR) - math.log(2.0)
    noise = u * math.sqrt(2.0 * max(-log_least - math.log(u * math.sqrt(2.0 * math.pi)), 0.0))
    if sense == "none":
        return noise, noise
    wear = noise + w * max(-log_least - math.log(w), 0.0)
    return (noise, wear) if sense == "grows" else (wear, noise)


def _slice(entries: Entries, first: int, last: int) -> SizeTable:
    columns = {
        name: Column(lower=one.lower[first:last], upper=one.upper[first:last], state=one.state[first:last])
        for name, one in entries.table.columns.items()
    }
    return SizeTable(codes=(), listings=entries.table.listings[first:last], columns=columns)
