"""Clearance of a new brush in its holder by nominal size, as published, and the preferred sizes. Pure.

Source: EASA AR100-2020, Table 2-12, which refers to IEC 60136, Table I: millimetre rows and inch rows.
"""

from bisect import bisect_left
from fractions import Fraction
from itertools import pairwise
from typing import Final, Literal

import attrs

from api.fit.features import Feature

SizeSystem = Literal["mm", "in"]

SOURCE: Final = "EASA AR100-2020, Table 2-12 (IEC 60136)"
UNIT_NM: Final = {"mm": 1_000_000, "in": 25_400_000}


@attrs.frozen
class ClearanceRow:
    """Nominal sizes from and to (nm), and the least and greatest clearance (nm) of a new brush."""

    from_nm: int
    to_nm: int
    least_nm: int
    most_nm: int


def _rows(unit: SizeSystem, *rows: tuple[str, str, str, str]) -> tuple[ClearanceRow, ...]:
    def nm(written: str) -> int:
        return round(Fraction(written) * UNIT_NM[unit])

    return tuple(ClearanceRow(*[nm(one) for one in row]) for row in rows)


METRIC_ROWS: Final = _rows(
    "mm",
    ("1.6", "2.5", "0.044", "0.144"),
    ("3.2", "3.2", "0.050", "0.158"),
    ("4", "5", "0.050", "0.178"),
    ("6.3", "10", "0.055", "0.193"),
    ("12.5", "16", "0.072", "0.232"),
    ("20", "25", "0.080", "0.254"),
    ("32", "50", "0.100", "0.300"),
    ("64", "80", "0.110", "0.330"),
)
INCH_ROWS: Final = _rows(
    "in",
    ("1/8", "1/8", "0.0020", "0.0062"),
    ("3/16", "3/16", "0.0020", "0.0070"),
    ("1/4", "3/8", "0.0022", "0.0076"),
    ("7/16", "5/8", "0.0028", "0.0091"),
)

ROWS: Final[dict[SizeSystem, tuple[ClearanceRow, ...]]] = {
    "mm": METRIC_ROWS,
    "in": (METRIC_ROWS[0], *INCH_ROWS, *METRIC_ROWS[5:]),
}
"""The rows by system; below 1/8 in and above 5/8 in the inch ones are continued by the metric ones (ours)."""

PREFERRED_NM: Final[dict[SizeSystem, tuple[int, ...]]] = {
    "mm": tuple(
        round(size * UNIT_NM["mm"])
        for size in (1.6, 2, 2.5, 3.2, 4, 5, 6.3, 8, 10, 12.5, 16, 20, 25, 32, 40, 50, 64, 80, 125)
    ),
    "in": tuple(UNIT_NM["in"] * sixteenths // 16 for sixteenths in range(2, 17)),
}
"""Preferred a, t and r of IEC 60136 in mm (public summaries); sixteenths of an inch (common practice)."""

HOLDER_ABOVE_NOMINAL_NM: Final = 150_000
BRUSH_BELOW_NOMINAL_NM: Final = 200_000
"""How far a holder may lie above its nominal, a brush below it, to be taken for that size: a little more
than the widest deviations that the table's clearances leave (our judgement)."""


@attrs.frozen
class NominalSize:
    """A preferred size: nanometres, and the system that it belongs to."""

    nm: int
    system: SizeSystem

    @property
    def text(self) -> str:
        """The size in its own unit: `8 mm`, `5/16 in`."""
        if self.system == "mm":
            return f"{self.nm / UNIT_NM['mm']:g} mm"
        return f"{Fraction(self.nm, UNIT_NM['in'])} in"


def holder_nominal(holder: Feature) -> NominalSize | None:
    """Return the preferred size nearest below a holder's dimension, or None where none is near."""
    return _nearest(holder.lower_nm, below=True, within=HOLDER_ABOVE_NOMINAL_NM)


def brush_nominal(brush: Feature) -> NominalSize | None:
    """Return the preferred size nearest above a brush's dimension, or None where none is near."""
    return _nearest(brush.upper_nm, below=False, within=BRUSH_BELOW_NOMINAL_NM)


def published_clearance(size_nm: int, system: SizeSystem = "mm") -> ClearanceRow | None:
    """Return least and greatest clearance for a nominal size, or None outside the table (1.6 to 80 mm).

    Between two rows: the least clearance of the row below and the greatest of the row above (our reading).
    """
    rows = ROWS[system]
    for row in rows:
        if row.from_nm <= size_nm <= row.to_nm:
            return row
    for below, above in pairwise(rows):
        if below.to_nm < size_nm < above.from_nm:
            return ClearanceRow(size_nm, size_nm, min(below.least_nm, above.least_nm), above.most_nm)
    return None


def _nearest(nm: int, *, below: bool, within: int) -> NominalSize | None:
    found: list[tuple[int, NominalSize]] = []
    for system, sizes in PREFERRED_NM.items():
        place = bisect_left(sizes, nm)
        if below and (place == len(sizes) or sizes[place] != nm):
            place -= 1
        if 0 <= place < len(sizes) and abs(sizes[place] - nm) <= within:
            found.append((abs(sizes[place] - nm), NominalSize(sizes[place], system)))
    return min(found, key=lambda one: one[0])[1] if found else None
