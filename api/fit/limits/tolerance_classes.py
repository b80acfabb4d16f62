"""Tolerance classes of ISO 286: from a size and a class as written (H7, js6) to its limits of size. Pure.

A capital letter means a hole, a small one a shaft. Holes A to H mirror the shafts of their letter (EI = -es).
Holes K to N up to IT8 and P to U up to IT7 follow the delta rule, ES = -ei + (IT n - IT n-1) of the shaft of
their letter, so that for instance H7/p6 and P7/h6 bind alike; up to 3 mm delta is nil. Zones of js and JS lie
evenly about the size at half the grade, never rounded: the standard also allows an odd IT7 to IT11 to be
rounded down to an even number of micrometres first, and some tables do so (JS7 from 6 to 10 mm: 7.5 or 7 um).
"""

import re
import unicodedata
from typing import Final, Literal

import attrs

from api.fit.limits.tolerance_tables import (
    ABOVE_SIZE,
    BELOW_SIZE,
    GRADES,
    GREATEST_SIZE_NM,
    HOLE_GRADES,
    NM_PER_MM,
    NM_PER_UM,
    SHAFT_GRADES,
)
from api.measurement.lengths import format_length
from api.measurement.refusals import RefusedValue, nearest_name

FeatureKind = Literal["hole", "shaft"]

_WRITTEN: Final = re.compile(r"(?P<letter>[A-Za-z]{1,2})(?P<grade>[0-9]{1,2})")
_GRADES_OF: Final = {"hole": HOLE_GRADES, "shaft": SHAFT_GRADES}

HOLE_CLASSES: Final = tuple(f"{letter}{grade}" for letter, grades in HOLE_GRADES.items() for grade in grades)
"""Every hole class that is known."""

SHAFT_CLASSES: Final = tuple(
    f"{letter}{grade}" for letter, grades in SHAFT_GRADES.items() for grade in grades
)
"""Every shaft class that is known."""

_NO_DELTA_UP_TO_NM: Final = 3 * NM_PER_MM


@attrs.frozen
class UnknownToleranceClass(RefusedValue):
    """No such class is known. Codes: `unknown_class`, `hole_class_for_shaft`, `shaft_class_for_hole`."""


@attrs.frozen
class SizeOutsideTables(RefusedValue):
    """A size for which the tables hold nothing; nothing is extrapolated.

    Codes: `size_outside_tables`; `size_too_small` where the lower limit would not stay above zero.
    """


@attrs.frozen
class ToleranceClass:
    """A class of which there is a table: its letter or letters as written, and its grade."""

    letter: str
    grade: int

    @property
    def name(self) -> str:
        """The class as written, such as `H7`."""
        return f"{self.letter}{self.grade}"


def read_class(written: str, feature: FeatureKind) -> ToleranceClass:
    """Return the class that `written` names for a hole or a shaft; case decides which of the two is meant.

    Raises `UnknownToleranceClass` with the nearest known class, if one is near.
    """
    match = _WRITTEN.fullmatch(written)
    known = _GRADES_OF[feature]
    if match is not None and int(match["grade"]) in known.get(match["letter"], ()):
        return ToleranceClass(match["letter"], int(match["grade"]))
    other: FeatureKind = "shaft" if feature == "hole" else "hole"
    meant = match is not None and match["letter"] in _GRADES_OF[other]
    code = f"{other}_class_for_{feature}" if meant else "unknown_class"
    raise UnknownToleranceClass.because(written, _expected(feature), code, _nearest(written, feature))


def deviations_nm(size_nm: int, tolerance_class: ToleranceClass) -> tuple[int, int]:
    """Return the lower and upper deviation (nm, signed) of a class at a size above 0 and up to 80 mm.

    Raises `SizeOutsideTables`.
    """
    check_size(size_nm)
    letter, grade = tolerance_class.letter, tolerance_class.grade
    width = GRADES[grade].at_um(size_nm) * NM_PER_UM
    if letter.lower() == "js":
        return -(width // 2), width // 2
    if letter in BELOW_SIZE:
        upper = -BELOW_SIZE[letter].at_um(size_nm) * NM_PER_UM
        return upper - width, upper
    if letter.lower() in BELOW_SIZE:
        lower = BELOW_SIZE[letter.lower()].at_um(size_nm) * NM_PER_UM
        return lower, lower + width
    if letter in ABOVE_SIZE:
        lower = ABOVE_SIZE[letter].at_um(size_nm) * NM_PER_UM
        return lower, lower + width
    upper = (_delta_um(size_nm, grade) - ABOVE_SIZE[letter.lower()].at_um(size_nm)) * NM_PER_UM
    return upper - width, upper


def limits_of(size_nm: int, written: str, feature: FeatureKind) -> tuple[int, int]:
    """Return the lower and upper limit of size (nm) of a class at a nominal size.

    Takes a size above 0 and up to and including 80 mm, and a class as written; case decides between hole
    and shaft. Example: 25 mm H7 gives 25.000 and 25.021 mm.
    Raises `UnknownToleranceClass` and `SizeOutsideTables`.
    """
    tolerance_class = read_class(written, feature)
    lower, upper = deviations_nm(size_nm, tolerance_class)
    if size_nm + lower < 1:
        expected = f"a size whose limits stay above zero (by {tolerance_class.name} it may be smaller by "
        raise SizeOutsideTables.because(
            format_length(size_nm), f"{expected}{format_length(-lower)})", "size_too_small"
        )
    return size_nm + lower, size_nm + upper


def check_size(size_nm: int) -> None:
    """Raise `SizeOutsideTables` unless the size is above 0 and not above the last one of the tables."""
    if not 0 < size_nm <= GREATEST_SIZE_NM:
        expected = (
            f"a size above 0 and up to {format_length(GREATEST_SIZE_NM, digits=0)}, where the tables end "
            "(nothing is extrapolated)"
        )
        raise SizeOutsideTables.because(format_length(size_nm), expected, "size_outside_tables")


def _delta_um(size_nm: int, grade: int) -> int:
    """Return by how much a hole K to U stands higher than the mirrored shaft of its letter."""
    if size_nm <= _NO_DELTA_UP_TO_NM:
        return 0
    return GRADES[grade].at_um(size_nm) - GRADES[grade - 1].at_um(size_nm)


def _expected(feature: FeatureKind) -> str:
    case = "in capitals" if feature == "hole" else "in small letters"
    offered = ", ".join(
        f"{letter}{grades[0]}" if len(grades) == 1 else f"{letter}{grades[0]}-{letter}{grades[-1]}"
        for letter, grades in _GRADES_OF[feature].items()
    )
    return f"a {feature}'s tolerance class, {case} ({offered})"


def _nearest(written: str, feature: FeatureKind) -> str | None:
    """Return the same letter's nearest grade (the finer of two), else the class written most alike."""
    plain = "".join(unicodedata.normalize("NFKC", written).split())
    match = _WRITTEN.fullmatch(plain)
    known = _GRADES_OF[feature]
    if match is not None:
        letter = match["letter"].upper() if feature == "hole" else match["letter"].lower()
        if letter in known:
            grade = min(known[letter], key=lambda one: abs(one - int(match["grade"])))
            return f"{letter}{grade}"
    return nearest_name(plain, HOLE_CLASSES if feature == "hole" else SHAFT_CLASSES)
