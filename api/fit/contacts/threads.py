"""Screw threads of the sizes that starter studs have: what a designation means, and which nut goes on. Pure.

ISO metric threads (ISO 68-1, ISO 261, ISO 724) and unified threads (ASME B1.1) have one profile: a
triangle of 60 degrees. Their basic diameters follow from the major diameter and the pitch alone.
"""

import math
import re
from fractions import Fraction
from typing import Final, Literal

import attrs

from api.errors import shown
from api.measurement.refusals import RefusedValue, nearest_name

System = Literal["metric", "unified"]
Series = Literal["coarse", "fine"]

NM_PER_MM: Final = 1_000_000
NM_PER_INCH: Final = 25_400_000
TRIANGLE: Final = math.sqrt(3) / 2
"""Height of the fundamental triangle in pitches (ISO 68-1)."""

EXPECTED: Final = "a thread of a stud such as M8x1.25, M8, 5/16-18 or #10-32"
LONGEST_DESIGNATION: Final = 40


@attrs.frozen
class UnknownThread(RefusedValue):
    """A text that names no thread of a starter's stud. Codes: `unreadable_thread`, `unknown_thread`."""


@attrs.frozen
class Thread:
    """One thread: its designation (`M8x1.25`, `5/16-18`), its system and series, major diameter and pitch."""

    designation: str
    system: System
    series: Series
    major_nm: int
    pitch_nm: float

    @property
    def pitch_diameter_nm(self) -> int:
        """Basic pitch diameter D2 = D - 3/4 H in nm, H the height of the triangle (ISO 724)."""
        return self._less(Fraction(3, 4))

    @property
    def internal_minor_nm(self) -> int:
        """Basic minor diameter D1 = D - 5/4 H in nm: of the nut (ISO 724)."""
        return self._less(Fraction(5, 4))

    @property
    def external_minor_nm(self) -> int:
        """Minor diameter d3 = d - 17/12 H in nm: at the rounded root of the stud (ISO 724; UNR)."""
        return self._less(Fraction(17, 12))

    @property
    def size(self) -> str:
        """The designation without its pitch: `M8`, `5/16`, `#10`."""
        return re.split("[x-]", self.designation)[0]

    def _less(self, heights: Fraction) -> int:
        return round(self.major_nm - float(heights) * TRIANGLE * self.pitch_nm)


def _metric(size: int, *pitches: str) -> tuple[Thread, ...]:
    """Return the threads of one metric size; its coarse pitch comes first."""
    return tuple(
        Thread(
            f"M{size}x{pitch}",
            "metric",
            "fine" if place else "coarse",
            size * NM_PER_MM,
            float(Fraction(pitch) * NM_PER_MM),
        )
        for place, pitch in enumerate(pitches)
    )


def _unified(size: str, diameter: Fraction, *threads_per_inch: int) -> tuple[Thread, ...]:
    """Return the threads of one unified size; the coarse one (UNC) comes first, then the fine one (UNF)."""
    return tuple(
        Thread(
            f"{size}-{threads}",
            "unified",
            "fine" if place else "coarse",
            round(diameter * NM_PER_INCH),
            NM_PER_INCH / threads,
        )
        for place, threads in enumerate(threads_per_inch)
    )


THREADS: Final[tuple[Thread, ...]] = (
    *_metric(4, "0.7"),
    *_metric(5, "0.8"),
    *_metric(6, "1"),
    *_metric(8, "1.25", "1"),
    *_metric(10, "1.5", "1.25", "1"),
    *_metric(12, "1.75", "1.5", "1.25"),
    *_unified("#8", Fraction("0.164"), 32, 36),
    *_unified("#10", Fraction("0.190"), 24, 32),
    *_unified("1/4", Fraction(1, 4), 20, 28),
    *_unified("5/16", Fraction(5, 16), 18, 24),
    *_unified("3/8", Fraction(3, 8), 16, 24),
    *_unified("7/16", Fraction(7, 16), 14, 20),
    *_unified("1/2", Fraction(1, 2), 13, 20),
)
"""The threads offered: sizes that studs of starters use (our judgement), with the pitches of the general
series (the selection of ISO 262; UNC and UNF), as public thread tables list them."""

BY_DESIGNATION: Final = {thread.designation: thread for thread in THREADS}

_METRIC: Final = re.compile(
    r"m ?(?P<size>\d{1,2})(?:[.,]0)?(?: ?[x×*-] ?(?P<pitch>\d(?:[.,]\d{1,2})?))?"
    r"(?: ?- ?[456][gh](?:[456][gh])?)?",
    re.ASCII,
)
_UNIFIED: Final = re.compile(
    r"(?P<mark>#|no\.? ?)?(?P<size>\d{1,2}(?:/\d{1,2})?)(?: ?(?:\"|in))?(?: ?- ?(?P<threads>\d{2}))?"
    r"(?: ?(?P<series>unc|unf))?(?: ?- ?[123][ab])?",
    re.ASCII,
)


def read_thread(text: str) -> Thread:
    """Return the thread that a designation names; without a pitch it is the coarse one.

    Takes `M8x1.25`, `M8 x 1,25`, `M8`, `5/16-18`, `5/16-18 UNC`, `5/16`, `#10-32`, `10-32 UNF`, with or
    without a tolerance class behind (`M8x1.25-6g`, `1/4-20 UNC-2A`).

    Raises `UnknownThread`; it names the nearest thread of the table where one is near.
    """
    written = " ".join(text.split()).casefold()
    if not written or len(written) > LONGEST_DESIGNATION:
        raise UnknownThread.because(text, EXPECTED, "unreadable_thread")
    found = _METRIC.fullmatch(written)
    if found:
        return _metric_thread(text, found)
    found = _UNIFIED.fullmatch(written)
    if found and (found["mark"] or found["threads"] or found["series"] or "/" in found["size"]):
        return _unified_thread(text, found)
    raise UnknownThread.because(text, EXPECTED, "unreadable_thread", nearest_name(written, BY_DESIGNATION))


def takes_nut(stud: Thread, nut: Thread) -> bool:
    """Return whether a nut of thread `nut` runs on a stud of thread `stud`: only where both are one thread.

    Other pitches start and then strip; M8 on 5/16 looks alike and does the same (common practice).
    """
    return stud.designation == nut.designation


def threads_of_diameter(least_nm: int, most_nm: int) -> tuple[Thread, ...]:
    """Return the threads whose crests, measured over the outside, may lie from `least_nm` to `most_nm`."""
    found = []
    for thread in THREADS:
        lower, upper = crest_limits_nm(thread)
        if lower <= most_nm and least_nm <= upper:
            found.append(thread)
    return tuple(found)


def crest_limits_nm(thread: Thread) -> tuple[int, int]:
    """Return the limits (nm) of the outside diameter of a stud: class 6g for metric, 2A for unified threads.

    6g by a public table of ISO metric external threads; 2A by the formulas of ASME B1.1 (from memory; they
    give the public tables), rounded to 0.0001 in.
    """
    if thread.system == "metric":
        below_um, width_um = _CREST_6G_UM[thread.pitch_nm / NM_PER_MM]
        upper = thread.major_nm - below_um * 1_000
        return upper - width_um * 1_000, upper
    diameter, pitch = thread.major_nm / NM_PER_INCH, thread.pitch_nm / NM_PER_INCH
    width = 0.060 * pitch ** (2 / 3)
    pitch_width = 0.0015 * diameter ** (1 / 3) + 0.0015 * math.sqrt(diameter) + 0.015 * pitch ** (2 / 3)
    allowance = round(0.3 * pitch_width, 4)
    upper_inch = diameter - allowance
    return _ten_thousandths(upper_inch - round(width, 4)), _ten_thousandths(upper_inch)


_CREST_6G_UM: Final = {
    0.7: (22, 140),
    0.8: (24, 150),
    1.0: (26, 180),
    1.25: (28, 212),
    1.5: (32, 236),
    1.75: (34, 265),
}
"""By pitch (mm): how far the crest of class 6g starts below the nominal diameter, and its tolerance (um)."""


def _ten_thousandths(inches: float) -> int:
    return round(inches * 10_000) * (NM_PER_INCH // 10_000)


def _metric_thread(text: str, found: re.Match[str]) -> Thread:
    size = f"M{int(found['size'])}"
    if found["pitch"] is None:
        return _coarse(text, size)
    pitch = Fraction(found["pitch"].replace(",", "."))
    for thread in THREADS:
        if thread.size == size and Fraction(thread.designation.split("x")[1]) == pitch:
            return thread
    raise _unknown(text, f"{size}x{float(pitch):g}", size)


def _unified_thread(text: str, found: re.Match[str]) -> Thread:
    size = found["size"] if "/" in found["size"] else f"#{int(found['size'])}"
    series = {"unc": "coarse", "unf": "fine"}.get(found["series"] or "")
    if found["threads"] is None:
        wanted = [
            thread for thread in THREADS if thread.size == size and thread.series == (series or "coarse")
        ]
        if not wanted:
            raise _unknown(text, size, size)
        return wanted[0]
    thread = BY_DESIGNATION.get(f"{size}-{found['threads']}")
    if thread is None or (series is not None and thread.series != series):
        raise _unknown(text, f"{size}-{found['threads']}", size)
    return thread


def _coarse(text: str, size: str) -> Thread:
    found = next((thread for thread in THREADS if thread.size == size and thread.series == "coarse"), None)
    if found is None:
        raise _unknown(text, size, size)
    return found


def _unknown(text: str, tidy: str, size: str) -> UnknownThread:
    """Name the threads of the size where there are some, else the coarse one of the nearest size."""
    same = [thread.designation for thread in THREADS if thread.size == size]
    expected = f"a thread of the table ({', '.join(same)})" if same else EXPECTED
    near = nearest_name(tidy, same) or same[0] if same else _nearest_size(size)
    return UnknownThread(shown(text), expected, "unknown_thread", near)


def _nearest_size(size: str) -> str:
    system = "metric" if size.startswith("M") else "unified"
    diameter = _written_diameter_nm(size)
    coarse = [thread for thread in THREADS if thread.system == system and thread.series == "coarse"]
    return min(coarse, key=lambda thread: abs(thread.major_nm - diameter)).designation


def _written_diameter_nm(size: str) -> float:
    """Return the diameter that a size names; a numbered one is 0.060 in and 0.013 in a number (ASME B1.1)."""
    if size.startswith("M"):
        return float(size[1:]) * NM_PER_MM
    if size.startswith("#"):
        return (0.060 + 0.013 * int(size[1:])) * NM_PER_INCH
    numerator, denominator = (int(part) for part in size.split("/"))
    return NM_PER_INCH * numerator / max(denominator, 1)
