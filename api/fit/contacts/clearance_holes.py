"""Clearance holes for studs: fine, medium and coarse series by thread size. Pure data.

Metric: ISO 273 as public tables give it; two agree on every cell, and so does the data file
clearance_hole_sizes.csv of bd_warehouse, save that it rounds M12 to 14 and 15 mm. Unified: the close, normal
and loose series of ASME B18.2.8 as that file names their drills. Neither standard's own text was read.
"""

from fractions import Fraction
from typing import Final

import attrs

from api.fit.contacts.threads import NM_PER_INCH, NM_PER_MM, Thread

METRIC_SOURCE: Final = "ISO 273, read in public tables"
UNIFIED_SOURCE: Final = "ASME B18.2.8, read at second hand"


@attrs.frozen
class ClearanceHoles:
    """The holes (diameters in nm) for one thread size: fine or close, medium or normal, coarse or loose."""

    fine_nm: int
    medium_nm: int
    coarse_nm: int
    source: str


def _metric(fine: str, medium: str, coarse: str) -> ClearanceHoles:
    return _holes((fine, medium, coarse), NM_PER_MM, METRIC_SOURCE)


def _unified(close: str, normal: str, loose: str) -> ClearanceHoles:
    return _holes((close, normal, loose), NM_PER_INCH, UNIFIED_SOURCE)


def _holes(written: tuple[str, str, str], unit_nm: int, source: str) -> ClearanceHoles:
    fine, medium, coarse = (round(Fraction(each) * unit_nm) for each in written)
    return ClearanceHoles(fine, medium, coarse, source)


HOLES: Final = {
    "M4": _metric("4.3", "4.5", "4.8"),
    "M5": _metric("5.3", "5.5", "5.8"),
    "M6": _metric("6.4", "6.6", "7"),
    "M8": _metric("8.4", "9", "10"),
    "M10": _metric("10.5", "11", "12"),
    "M12": _metric("13", "13.5", "14.5"),
    "#8": _unified("0.180", "0.196", "0.213"),
    "#10": _unified("0.2055", "0.221", "0.238"),
    "1/4": _unified("17/64", "9/32", "19/64"),
    "5/16": _unified("21/64", "11/32", "23/64"),
    "3/8": _unified("25/64", "13/32", "27/64"),
    "7/16": _unified("29/64", "15/32", "31/64"),
    "1/2": _unified("17/32", "9/16", "39/64"),
}
"""By thread size. Numbered drills: #15 .180, #9 .196, #3 .213, #5 .2055, #2 .221, B .238 in."""


def clearance_holes(thread: Thread) -> ClearanceHoles:
    """Return the clearance holes for a thread of the table."""
    return HOLES[thread.size]
