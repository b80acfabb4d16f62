"""Whether a bush holds in its housing, runs on its shaft and is as long as its seat. Pure.

Catalogue bores are free bores: pressing closes them in. How far is bounded here by the closest case, a
thick-walled ring in a housing that does not give (the thick-wall cylinder of elasticity, external
pressure alone): bore closes by 2 d D / (D² + d² - nu (D² - d²)) times the interference.
"""

from fractions import Fraction
from typing import Final

from api.fit.clearances import Limits, judge_clearance, range_of
from api.fit.reasons import Reason
from api.interchange.compare_sizes import SizeValues
from api.measurement.lengths import format_length
from api.starters.entries import PositionEntry

RUNNING: Final = Limits(fits_to_nm=120_000, refused_from_nm=300_000)
"""Running clearance of a new bush before it is pressed in (our judgement)."""

TIGHTEST_NM: Final = 80_000
"""Greatest interference that is surely pressed in without harm (our judgement; the classes of ISO 2795
reach 46 µm on 16 mm)."""

TOO_TIGHT_NM: Final = 120_000
"""Least interference that is refused outright (our judgement)."""

POISSON: Final = Fraction(34, 100)
"""Poisson's ratio of bush materials, the greatest in use, for which the bore closes in by the most (from
memory: 0.30 to 0.34 for bronze and iron)."""

SHORTEST_SHARE: Final = Fraction(4, 5)
"""Least share of its seat's depth that a bush should fill (our judgement)."""


def check_bushing(position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    """Return what the seat says of outside diameter, bore and length."""
    return (_check_press(position, size), _check_running(position, size), _check_length(position, size))


def greatest_close_in(bore_nm: int, outside_nm: int, interference_nm: int) -> int:
    """Return the most (nm) by which a bore can close in when a bush is pressed in with an interference."""
    squares, difference = outside_nm**2 + bore_nm**2, outside_nm**2 - bore_nm**2
    share = Fraction(2 * bore_nm * outside_nm) / (squares - POISSON * difference)
    return -int(-share * max(interference_nm, 0) // 1)


def _check_press(position: PositionEntry, size: SizeValues) -> Reason:
    outside, housing = range_of(size.get("outside_diameter")), range_of(position.feature("housing_bore"))
    if outside is None or housing is None:
        return Reason("outside_diameter", "unknown", "the outside diameter or the housing is not recorded")
    least, most = outside[0] - housing[1], outside[1] - housing[0]
    told = f"interference in the housing {format_length(least).removesuffix(' mm')}..{format_length(most)}"
    if most <= 0:
        return Reason("outside_diameter", "does_not_fit", f"{told}: it would turn in its seat")
    if least >= TOO_TIGHT_NM:
        return Reason("outside_diameter", "does_not_fit", f"{told}: far too tight")
    if least <= 0:
        return Reason("outside_diameter", "unknown", f"{told}: it may not hold")
    if most > TIGHTEST_NM:
        return Reason("outside_diameter", "unknown", f"{told}: tighter than {format_length(TIGHTEST_NM)}")
    return Reason("outside_diameter", "fits", told)


def _check_running(position: PositionEntry, size: SizeValues) -> Reason:
    bore, shaft = range_of(size.get("bore")), range_of(position.feature("shaft_diameter"))
    outside, housing = range_of(size.get("outside_diameter")), range_of(position.feature("housing_bore"))
    if bore is None or shaft is None:
        return Reason("bore", "unknown", "the bore or the shaft is not recorded")
    free = judge_clearance("bore", bore, shaft, RUNNING, "on the shaft before pressing in")
    if free.verdict != "fits":
        return free
    if outside is None or housing is None:
        return Reason("bore", "unknown", f"{free.text}; how far it closes in is not known")
    closing = greatest_close_in(bore[0], outside[1], outside[1] - housing[0])
    left = bore[0] - shaft[1] - closing
    told = f"{free.text}; pressing closes it in by {format_length(-(-closing // 1000) * 1000)} at most"
    if left <= 0:
        return Reason("bore", "unknown", f"{told}: it may have to be sized")
    return Reason("bore", "fits", told)


def _check_length(position: PositionEntry, size: SizeValues) -> Reason:
    length, depth = range_of(size.get("length")), range_of(position.feature("housing_depth"))
    if length is None or depth is None:
        return Reason("length", "unknown", "the length or the depth of the seat is not recorded")
    flange = range_of(size.get("flange_thickness")) or (0, 0)
    shortest, longest = length[0] - flange[1], length[1] - flange[0]
    told = f"{format_length(shortest).removesuffix(' mm')}..{format_length(longest)} in a seat"
    told += f" {format_length(depth[0]).removesuffix(' mm')}..{format_length(depth[1])} deep"
    form = position.feature("housing_bore_form")
    if form is not None and form.text == "blind" and shortest > depth[1]:
        return Reason("length", "does_not_fit", f"{told}: it stands out of a blind seat")
    if longest > depth[1]:
        return Reason("length", "unknown", f"{told}: it may stand out")
    if shortest < SHORTEST_SHARE * depth[0]:
        return Reason("length", "unknown", f"{told}: it fills less than four fifths")
    return Reason("length", "fits", told)
