"""Tables of the ISO system of limits and fits (ISO 286) for sizes up to 80 mm, in micrometres. Pure data.

The standard's own text was not read. The figures are those in which independently typed tables agree: the
packages pressfit 0.1.0 and isofits 1.0, the table of FreeCAD's TechDraw workbench, public excerpts of
JIS B 0401 and a mould maker's published tables after DIN 7151 and ISO 286. They are figures, not formulas:
the standard's formulas, rounded, do not give its tables. Sizes run "over ... up to and including".
"""

from bisect import bisect_left
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

import attrs

NM_PER_UM: Final = 1_000
NM_PER_MM: Final = 1_000_000

GREATEST_SIZE_NM: Final = 80 * NM_PER_MM
"""The last size of the tables, itself included; no seat or shaft of a starter is larger (our judgement)."""

RANGES_MM: Final = (3, 6, 10, 18, 30, 50, 80)
"""The last size of each main range."""

DIVIDED_RANGES_MM: Final = (3, 6, 10, 18, 24, 30, 40, 50, 65, 80)
"""The last size of each range where the standard divides the main ones (r, s, u)."""


@attrs.frozen
class SizeTable:
    """One row of a table: the last size (mm) of each range, its figure (um), and where they come from."""

    up_to_mm: tuple[int, ...]
    values_um: tuple[int, ...]
    source: str

    def at_um(self, size_nm: int) -> int:
        """Return the figure (um) for a size above 0 and not above `GREATEST_SIZE_NM`."""
        return self.values_um[bisect_left(self.up_to_mm, size_nm, key=lambda end_mm: end_mm * NM_PER_MM)]


def _main(source: str, *values_um: int) -> SizeTable:
    return SizeTable(RANGES_MM, values_um, source)


def _divided(source: str, *values_um: int) -> SizeTable:
    return SizeTable(DIVIDED_RANGES_MM, values_um, source)


_GRADES_SOURCE = (
    "pressfit 0.1.0 (IT5-IT11), widths of isofits 1.0 (over 3 mm), FreeCAD TechDraw (IT6-IT11), "
    "public excerpts of JIS B 0401; IT12 and IT13: isofits 1.0 (over 3 mm) and a mould maker's tables "
    "after DIN 7151 and ISO 286, and ten times IT7 and IT8 as ISO 286-1 has it"
)

GRADES: Final[Mapping[int, SizeTable]] = MappingProxyType(
    {
        5: _main(_GRADES_SOURCE, 4, 5, 6, 8, 9, 11, 13),
        6: _main(_GRADES_SOURCE, 6, 8, 9, 11, 13, 16, 19),
        7: _main(_GRADES_SOURCE, 10, 12, 15, 18, 21, 25, 30),
        8: _main(_GRADES_SOURCE, 14, 18, 22, 27, 33, 39, 46),
        9: _main(_GRADES_SOURCE, 25, 30, 36, 43, 52, 62, 74),
        10: _main(_GRADES_SOURCE, 40, 48, 58, 70, 84, 100, 120),
        11: _main(_GRADES_SOURCE, 60, 75, 90, 110, 130, 160, 190),
        12: _main(_GRADES_SOURCE, 100, 120, 150, 180, 210, 250, 300),
        13: _main(_GRADES_SOURCE, 140, 180, 220, 270, 330, 390, 460),
    }
)
"""Standard tolerances (width of the zone) by grade: IT5 to IT13."""

_CLEAR_SOURCE = "pressfit 0.1.0, isofits 1.0 (over 3 mm; e, f, g), public excerpts of JIS B 0401"
_TIGHT_SOURCE = "pressfit 0.1.0, isofits 1.0 (over 3 mm), public excerpts of JIS B 0401"

BELOW_SIZE: Final[Mapping[str, SizeTable]] = MappingProxyType(
    {
        "d": _main(_CLEAR_SOURCE, 20, 30, 40, 50, 65, 80, 100),
        "e": _main(_CLEAR_SOURCE, 14, 20, 25, 32, 40, 50, 60),
        "f": _main(_CLEAR_SOURCE, 6, 10, 13, 16, 20, 25, 30),
        "g": _main(_CLEAR_SOURCE, 2, 4, 5, 6, 7, 9, 10),
        "h": _main("by definition", 0, 0, 0, 0, 0, 0, 0),
    }
)
"""How far the zone of a shaft d to h stays below the size (es = -value), of a hole D to H above it (EI)."""

ABOVE_SIZE: Final[Mapping[str, SizeTable]] = MappingProxyType(
    {
        "k": _main(_TIGHT_SOURCE + "; for IT4 to IT7 only", 0, 1, 1, 1, 2, 2, 2),
        "m": _main(_TIGHT_SOURCE, 2, 4, 6, 7, 8, 9, 11),
        "n": _main(_TIGHT_SOURCE, 4, 8, 10, 12, 15, 17, 20),
        "p": _main(_TIGHT_SOURCE, 6, 12, 15, 18, 22, 26, 32),
        "r": _divided(
            "isofits 1.0 (over 3 mm), FreeCAD TechDraw, public excerpts of JIS B 0401",
            *(10, 15, 19, 23, 28, 28, 34, 34, 41, 43),
        ),
        "s": _divided(
            "pressfit 0.1.0, FreeCAD TechDraw, public excerpts of JIS B 0401",
            *(14, 19, 23, 28, 35, 35, 43, 43, 53, 59),
        ),
        "u": _divided(
            "pressfit 0.1.0, public excerpts of JIS B 0401, a mould maker's tables after ANSI B4.2",
            *(18, 23, 28, 33, 41, 48, 60, 70, 87, 102),
        ),
    }
)
"""How far the zone of a shaft k to u starts above the size (ei), in um."""

HOLE_GRADES: Final[Mapping[str, tuple[int, ...]]] = MappingProxyType(
    {
        "D": (8, 9, 10),
        "E": (6, 7, 8, 9, 10),
        "F": (6, 7, 8),
        "G": (6, 7),
        "H": (6, 7, 8, 9, 10, 11, 12, 13),
        "JS": (6, 7, 8, 9),
        "K": (6, 7, 8),
        "M": (6, 7, 8),
        "N": (6, 7, 8),
        "P": (6, 7),
        "R": (7,),
        "S": (7,),
        "U": (7,),
    }
)
"""The hole classes offered: grades by letter.

Holes K to N above IT8 and P to U above IT7 follow other rules than the delta rule, and are not offered.
"""

SHAFT_GRADES: Final[Mapping[str, tuple[int, ...]]] = MappingProxyType(
    {
        "d": (8, 9, 10),
        "e": (7, 8, 9),
        "f": (6, 7, 8),
        "g": (5, 6, 7),
        "h": (5, 6, 7, 8, 9, 10, 11),
        "js": (5, 6, 7, 8, 9, 10, 11, 12, 13),
        "k": (5, 6, 7),
        "m": (5, 6, 7),
        "n": (5, 6, 7),
        "p": (5, 6),
        "r": (6, 7),
        "s": (6, 7, 8),
        "u": (6,),
    }
)
"""The shaft classes offered: grades by letter (r6 to s8 and js13 are those of sintered bushes, ISO 2795).

k above IT7 starts at the size itself, unlike the finer ones, and is not offered.
"""
