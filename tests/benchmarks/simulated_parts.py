"""Parts in hand, drawn as the model says that they come about: chosen, made, worn, measured, mistaken.

A part is unlisted with the kind's prior; otherwise its size is drawn in proportion to listings + 1. Each
length is uniform within its tolerance, wears by an exponential amount, and is read with the error of a
named instrument. A reading that nobody could have taken (below half or above twice the plausible span:
a brush worn away) is drawn again. Sometimes a reading has nothing to do with the part, or a count or
choice is not the true one. A part that is not listed, and what a size does not record, reads evenly over
the span; where some sizes lack the feature, such a part lacks it as often as not. All draws come from the
generator that is handed in.
"""

from collections.abc import Mapping
from typing import Literal

import attrs
import numpy as np

from api.matching.likelihoods.likelihood import ADDENDA, WIDEST_LAND
from api.matching.model import DimensionModel, KindModel
from api.matching.readings import AbsentReading, ChoiceReading, CountReading, LengthReading, Reading
from api.matching.sizes.size_table import Recorded, SizeTable
from api.measurement.instruments import Instrument
from api.measurement.uncertainty import standard_uncertainty_nm

Noise = Literal["normal", "rectangular"]
"""`normal`: with the standard uncertainty. `rectangular`: anywhere within the permissible error, then
rounded to the resolution (JCGM 100:2008, 4.3.7 and F.2.2.1)."""

EVEN_CHANCE = 0.5


@attrs.frozen(kw_only=True)
class World:
    """What is true of the simulated parts: a kind's parameters, the instrument, how its error falls.

    `lacking` is the chance that a part which is not listed lacks a feature that some sizes lack.
    """

    kind: KindModel
    instrument: Instrument
    noise: Noise = "normal"
    lacking: float = EVEN_CHANCE

    def uncertainty_nm(self, dimension: DimensionModel, length_nm: float) -> float:
        """Return the standard uncertainty (nm) of a reading of a length in nm, above 0."""
        return standard_uncertainty_nm(self.instrument, dimension.how, [max(round(length_nm), 1)])


@attrs.frozen(kw_only=True, eq=False)
class Case:
    """A part in hand: the row of its size (None where it is not listed), and one reading of each dimension.

    `slipped` are the dimensions whose reading is a slip or a miscount.
    """

    row: int | None
    readings: Mapping[str, Reading]
    slipped: frozenset[str]


def scaled(kind: KindModel, wear: float = 1.0, slip: float = 1.0) -> KindModel:
    """Return the kind with its wear scales, and its chances of a slip and of a miscount, times factors."""
    return attrs.evolve(
        kind,
        dimensions=tuple(
            attrs.evolve(
                one,
                wear_scale_nm=one.wear_scale_nm * wear,
                slip_chance=one.slip_chance * slip,
                miscount_chance=one.miscount_chance * slip,
            )
            for one in kind.dimensions
        ),
    )


def may_lack(table: SizeTable, dimension: DimensionModel) -> bool:
    """Return whether there is a size without this feature."""
    return bool((table.columns[dimension.code].state == Recorded.DOES_NOT_APPLY).any())


def readable_nm(dimension: DimensionModel) -> tuple[float, float]:
    """Return between which lengths (nm) a reading can be at all."""
    return dimension.span_lower / 2, dimension.span_upper * 2.0


class PartDrawer:
    """Draws parts of one table in one world."""

    def __init__(self, world: World, table: SizeTable, rng: np.random.Generator) -> None:
        self.world, self.table, self.rng = world, table, rng
        self._cumulated = np.cumsum(table.listings + 1.0)

    def draw(self) -> Case:
        """Return the next part, with every dimension read."""
        row = self._row()
        readings: dict[str, Reading] = {}
        slipped: set[str] = set()
        for dimension in self.world.kind.dimensions:
            reading, slip = self._read(dimension, row)
            readings[dimension.code] = reading
            if slip:
                slipped.add(dimension.code)
        return Case(row=row, readings=readings, slipped=frozenset(slipped))

    def _row(self) -> int | None:
        if self.rng.random() < self.world.kind.unlisted_prior:
            return None
        drawn = self.rng.random() * self._cumulated[-1]
        return int(np.searchsorted(self._cumulated, drawn, side="right"))

    def _read(self, dimension: DimensionModel, row: int | None) -> tuple[Reading, bool]:
        state = Recorded.NOT_RECORDED if row is None else self.table.columns[dimension.code].state[row]
        if row is None or state == Recorded.NOT_RECORDED or not self._teeth_known(dimension, row):
            return self._unknown(dimension), False
        slips = bool(self.rng.random() < dimension.slip_chance)
        if state == Recorded.DOES_NOT_APPLY:
            absent = AbsentReading(dimension=dimension.code)
            return (self._anything(dimension), True) if slips else (absent, False)
        value = int(self.table.columns[dimension.code].lower[row])
        if dimension.measure == "count":
            return self._count(dimension, value)
        if dimension.measure == "choice":
            return self._choice(dimension, value)
        if slips:
            return self._anything(dimension), True
        return self._length(dimension, row), False

    def _teeth_known(self, dimension: DimensionModel, row: int) -> bool:
        teeth = dimension.two_point_over
        return teeth is None or self.table.columns[teeth].state[row] == Recorded.RECORDED

    def _unknown(self, dimension: DimensionModel) -> Reading:
        if may_lack(self.table, dimension) and self.rng.random() < self.world.lacking:
            return AbsentReading(dimension=dimension.code)
        return self._anything(dimension)

    def _anything(self, dimension: DimensionModel) -> Reading:
        if dimension.measure == "length":
            value = float(self.rng.uniform(dimension.span_lower, dimension.span_upper))
            return self._as_reading(dimension, value)
        place = int(self.rng.integers(dimension.outcomes))
        if dimension.measure == "count":
            return CountReading(dimension=dimension.code, count=dimension.span_lower + place)
        return ChoiceReading(dimension=dimension.code, choice=dimension.choices[place])

    def _count(self, dimension: DimensionModel, true: int) -> tuple[Reading, bool]:
        chances = count_chances(dimension, true)
        count = dimension.span_lower + int(self.rng.choice(dimension.outcomes, p=chances))
        return CountReading(dimension=dimension.code, count=count), count != true

    def _choice(self, dimension: DimensionModel, true: int) -> tuple[Reading, bool]:
        place = true
        if dimension.outcomes > 1 and self.rng.random() < dimension.miscount_chance:
            others = [one for one in range(dimension.outcomes) if one != true]
            place = int(self.rng.choice(others))
        return ChoiceReading(dimension=dimension.code, choice=dimension.choices[place]), place != true

    def _length(self, dimension: DimensionModel, row: int) -> Reading:
        column = self.table.columns[dimension.code]
        made = self.rng.uniform(float(column.lower[row]), float(column.upper[row]))
        factor = 1.0
        if dimension.two_point_over is not None:
            teeth = int(self.table.columns[dimension.two_point_over].lower[row])
            factor = across_the_tips(teeth, self.rng.uniform(0.0, WIDEST_LAND))
        low, high = readable_nm(dimension)
        while True:
            wear = self.rng.exponential(dimension.wear_scale_nm) if dimension.wear_sense != "none" else 0.0
            true = factor * (made + wear if dimension.wear_sense == "grows" else made - wear)
            value = true + self._error(dimension, true) if true > 0 else 0.0
            if low <= value <= high:
                return self._as_reading(dimension, value)

    def _error(self, dimension: DimensionModel, true_nm: float) -> float:
        if self.world.noise == "normal":
            return float(self.rng.normal(0.0, self.world.uncertainty_nm(dimension, true_nm)))
        step = self.world.instrument.resolution_nm
        error = self.world.instrument.permissible_error_nm(dimension.how, max(round(true_nm), 1))
        return float(np.rint((true_nm + self.rng.uniform(-error, error)) / step) * step - true_nm)

    def _as_reading(self, dimension: DimensionModel, value_nm: float) -> LengthReading:
        return LengthReading(
            dimension=dimension.code,
            value_nm=value_nm,
            uncertainty_nm=self.world.uncertainty_nm(dimension, value_nm),
            two_point=dimension.how == "outside",
        )


def count_chances(dimension: DimensionModel, true: int) -> np.ndarray:
    """Return the chance of every count of the range: right, one off, anything by a slip; they add to one."""
    off = np.abs(np.arange(dimension.span_lower, dimension.span_upper + 1) - true)
    miscount = dimension.miscount_chance
    anything = min(dimension.slip_chance / dimension.outcomes, miscount / 2)
    chances = np.full(dimension.outcomes, anything)
    chances[off == 1] = miscount / 2
    chances[off == 0] = 1 - miscount
    return chances / chances.sum()


def across_the_tips(teeth: int, land_modules: float) -> float:
    """Return what part of the tip diameter two parallel jaws read across a pinion's tips (plane geometry)."""
    if teeth % 2 == 0:
        return 1.0
    return float(np.cos(max(np.pi / 2 / teeth - land_modules / (teeth + ADDENDA), 0.0)))
