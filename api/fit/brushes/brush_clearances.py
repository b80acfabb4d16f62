"""Clearance of a new brush in its holder by nominal size, as published, and the preferred sizes. Pure.

Source: EASA AR100-2020, Table 2-12, which refers to IEC 60136, Table I: millimetre rows and inch rows.
"""

from fractions import Fraction
from itertools import pairwise
from typing import Final, Literal

import attrs

from api.fit.judging.features import Feature

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
"""How far a holder may lie above a preferred size to be taken for it: more than E10 of 80 mm (0.140 mm)."""

BRUSH_BELOW_NOMINAL_NM: Final = (
    (3_200_000, 30_000, 90_000),
    (10_000_000, 30_000, 110_000),
    (25_000_000, 40_000, 130_000),
    (80_000_000, 50_000, 150_000),
)
"""How far new brushes lie below their nominal size: up to a size, least and most, in nm. These deviations
follow from the table if holders are E10, which is from memory but agrees with every row."""

ROUNDING_NM: Final = 10_000
"""By how much catalogues round the dimensions of brushes (our judgement)."""


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
    below = [
        NominalSize(size, system)
        for system, sizes in PREFERRED_NM.items()
        for size in sizes
        if 0 <= holder.lower_nm - size <= HOLDER_ABOVE_NOMINAL_NM
    ]
    return max(below, key=lambda one: one.nm, default=None)


def brush_nominals(brush: Feature) -> tuple[NominalSize, ...]:
    """Return the preferred sizes that a new brush of this dimension can be of: none, or one by system."""
    found = []
    for system, sizes in PREFERRED_NM.items():
        for size in sizes:
            _, least, most = next(
                (row for row in BRUSH_BELOW_NOMINAL_NM if size <= row[0]), BRUSH_BELOW_NOMINAL_NM[-1]
            )
            if least - ROUNDING_NM <= size - brush.middle_nm <= most + ROUNDING_NM:
                found.append(NominalSize(size, system))
    return tuple(found)


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
