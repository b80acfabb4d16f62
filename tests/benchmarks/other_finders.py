"""Other ways to find what readings call for, to measure the index against: masks, a scan, an R*Tree.

Each looks at parts, one row a part with the limits of its size, all in memory, and returns the rows whose
limits every reading can have come from: within six standard uncertainties, and as far as wear reaches in
999 of 1,000 cases. A dimension that a size does not record passes, one that does not apply fails. None of
them weighs what it finds: the index does, within the time that it is given.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from importlib import import_module
from typing import Any

import attrs
import numpy as np
import pysqlite3.dbapi2 as sqlite3
from numpy.typing import NDArray

from api.matching.likelihoods.likelihood import recorded_value
from api.matching.model import DimensionModel, KindModel
from api.matching.readings import AbsentReading, LengthReading, Reading
from api.matching.sizes.size_table import Recorded, SizeTable

Rows = NDArray[np.int64]
Finder = Callable[[Sequence[Reading]], Rows]
SIGMAS = 6.0
WEAR_SCALES = math.log(1000)
"""Exponential wear is beyond this many times its mean once in 1,000 parts."""
MOST_DIMENSIONS = 5
"""As many as an R*Tree of SQLite takes."""
OUT_OF_REACH = 1e12
ROWS_AT_ONCE = 10_000


@attrs.frozen(eq=False)
class PartLimits:
    """One row a part: limits by dimension; all real numbers where not recorded, none where lacking."""

    kind: KindModel
    lower: Mapping[str, NDArray[np.float64]]
    upper: Mapping[str, NDArray[np.float64]]
    least_factor: Mapping[str, float]

    @classmethod
    def of(cls, kind: KindModel, table: SizeTable, rows: Rows) -> "PartLimits":
        """Return the limits of parts that have the sizes `rows` of a table."""
        lower, upper, factors = {}, {}, {}
        for dimension in kind.dimensions:
            column = table.columns[dimension.code]
            low, high = column.lower.astype(np.float64), column.upper.astype(np.float64)
            unrecorded, lacking = column.state == Recorded.NOT_RECORDED, column.does_not_apply
            low[unrecorded], high[unrecorded] = -np.inf, np.inf
            low[lacking], high[lacking] = np.inf, -np.inf
            lower[dimension.code], upper[dimension.code] = low[rows], high[rows]
            factors[dimension.code] = _least_factor(dimension, table)
        return cls(kind, lower, upper, factors)

    def window(self, reading: Reading) -> tuple[float, float] | None:
        """Return between which limits a part as made has to lie, None for a feature said to be absent."""
        dimension = self.kind.dimension(reading.dimension)
        if isinstance(reading, AbsentReading):
            return None
        if not isinstance(reading, LengthReading):
            value = float(recorded_value(dimension, reading))
            return value, value
        reach = WEAR_SCALES * dimension.wear_scale_nm if reading.worn else 0.0
        low = reading.value_nm - SIGMAS * reading.uncertainty_nm
        high = (reading.value_nm + SIGMAS * reading.uncertainty_nm) / self.least_factor[dimension.code]
        if dimension.wear_sense == "grows":
            low -= reach
        elif dimension.wear_sense == "shrinks":
            high += reach
        return low, high


def pandas_mask(parts: PartLimits) -> Finder:
    """Return a finder that makes a mask of a data frame's columns; pandas has to be installed."""
    frame = _frame_of(parts)
    return lambda readings: _masked(frame, parts, readings, True)


def _frame_of(parts: PartLimits) -> Any:
    limits = {f"{code}_lower": parts.lower[code] for code in parts.lower}
    limits |= {f"{code}_upper": parts.upper[code] for code in parts.upper}
    return import_module("pandas").DataFrame(limits)


def _masked(frame: Any, parts: PartLimits, readings: Sequence[Reading], mask: Any) -> Rows:
    """Return the rows of a frame that pass `mask` and every reading."""
    for reading in readings:
        lower, upper = frame[f"{reading.dimension}_lower"], frame[f"{reading.dimension}_upper"]
        window = parts.window(reading)
        mask &= np.isinf(lower) if window is None else (lower <= window[1]) & (upper >= window[0])
    found: Rows = frame.index[mask].to_numpy()
    return found


class WholeMask:
    """One data frame of the parts of all kinds, with the columns of each; pandas has to be installed."""

    def __init__(self, parts: Mapping[str, PartLimits]) -> None:
        pandas = import_module("pandas")
        self._parts = parts
        frames = [_frame_of(one).assign(kind=kind) for kind, one in parts.items()]
        self._frame = pandas.concat(
            frames, ignore_index=True
        )  # lacking columns are NaN, which passes no test
        self._frame["kind"] = self._frame["kind"].astype("category")

    def finder(self, kind: str) -> Finder:
        """Return the finder of one kind: one more comparison of a column."""
        frame, parts = self._frame, self._parts[kind]
        return lambda readings: _masked(frame, parts, readings, frame["kind"] == kind)


def numpy_scan(parts: PartLimits) -> Finder:
    """Return a finder that compares whole columns of 32-bit floats."""
    lower = {code: values.astype(np.float32) for code, values in parts.lower.items()}
    upper = {code: values.astype(np.float32) for code, values in parts.upper.items()}

    def find(readings: Sequence[Reading]) -> Rows:
        passing: Any = None
        for reading in readings:
            low, high = lower[reading.dimension], upper[reading.dimension]
            window = parts.window(reading)
            if window is None:
                passes = np.isinf(low)
            else:
                passes = (low <= np.float32(window[1])) & (high >= np.float32(window[0]))
            passing = passes if passing is None else passing & passes
        return np.flatnonzero(passing)

    return find


class PartTree:
    """An R*Tree of SQLite in memory over the lengths that tell most parts apart, five at most."""

    def __init__(self, parts: PartLimits) -> None:
        self._parts = parts
        lengths = [one.code for one in parts.kind.dimensions if one.measure == "length"]
        telling = sorted(lengths, key=lambda code: -len(np.unique(parts.lower[code])))
        self.dimensions = tuple(telling[:MOST_DIMENSIONS])
        self._connection = sqlite3.connect(":memory:")
        names = ", ".join(f"{code}_lower, {code}_upper" for code in self.dimensions)
        self._connection.execute(f"CREATE VIRTUAL TABLE tree USING rtree(id, {names})")
        slots = ", ".join("?" * (1 + 2 * len(self.dimensions)))
        for start in range(0, len(parts.lower[self.dimensions[0]]), ROWS_AT_ONCE):
            self._connection.executemany(f"INSERT INTO tree VALUES ({slots})", self._rows(start))

    def _rows(self, start: int) -> list[tuple[float, ...]]:
        columns: list[NDArray[np.float64]] = []
        for code in self.dimensions:
            lower = self._parts.lower[code][start : start + ROWS_AT_ONCE]
            upper = self._parts.upper[code][start : start + ROWS_AT_ONCE]
            lacking = lower > upper  # such a row stands where no reading comes
            columns.append(np.where(lacking, OUT_OF_REACH, np.maximum(lower, -OUT_OF_REACH)))
            columns.append(np.where(lacking, OUT_OF_REACH, np.minimum(upper, OUT_OF_REACH / 2)))
        ids = np.arange(start, start + len(columns[0]))
        return list(zip(ids.tolist(), *(column.tolist() for column in columns), strict=True))

    def takes(self, readings: Sequence[Reading]) -> bool:
        """Return whether one reading at least is of a dimension of the tree: it has no other use."""
        return any(isinstance(one, LengthReading) and one.dimension in self.dimensions for one in readings)

    def find(self, readings: Sequence[Reading]) -> Rows:
        """Return the rows that the readings of the tree's dimensions call for."""
        conditions, values = [], []
        for reading in readings:
            window = self._parts.window(reading)
            if reading.dimension in self.dimensions and window is not None:
                conditions.append(f"{reading.dimension}_lower <= ? AND {reading.dimension}_upper >= ?")
                values += [window[1], window[0]]
        query = f"SELECT id FROM tree WHERE {' AND '.join(conditions)}"
        return np.array([row[0] for row in self._connection.execute(query, values)], dtype=np.int64)


def _least_factor(dimension: DimensionModel, table: SizeTable) -> float:
    """Return by how much a reading between two faces can be low at most: of an odd number of teeth."""
    if dimension.two_point_over is None:
        return 1.0
    teeth = table.columns[dimension.two_point_over]
    odd = teeth.lower[teeth.is_recorded & (teeth.lower % 2 == 1)]
    return math.cos(math.pi / 2 / int(odd.min())) if len(odd) else 1.0
