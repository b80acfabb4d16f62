"""By which share of the interference the bore of a bush closes in, as a range. Pure.

Two sources disagree for porous bushes. Elasticity gives some 45 to 95 % in real housings; the classes that
ISO 2795 sets for bores before and after fitting imply 24 to 58 %, since it has the bush pressed in on a
fitting pin that keeps the bore from closing further. Porous bushes are judged as the standard fits them,
and the elastic share is told beside it; without a pin the bore has to be sized.

Solid bushes are judged by elasticity: bore E6 before and H8 after, outside s6 in H7 (ISO 4379, from memory)
imply nearly the whole interference, as elasticity does in a stiff housing.

A wrapped bush also closes at its joint and may follow its seat in full (our judgement).
"""

import math
from typing import Final

import attrs

from api.fit.bushings.bushing_pieces import BoreState, Make, Pieces
from api.fit.bushings.press_fit import Ring, close_in_share
from api.fit.judging.features import Feature

PINNED_LEAST: Final = 0.24
PINNED_MOST: Final = 0.58
"""Shares that ISO 2795's classes imply: G7 before with r6 outside, F7 with s7; H7 after, bores to 50 mm."""

FOLLOWS_SEAT: Final = 1.0
"""Share of a wrapped bush whose joint closes (our judgement)."""

THINNEST_HOUSING: Final = 1.25
"""Least outside diameter of a housing as a multiple of its bore, where none is stated (our judgement)."""

THINNEST_STATED: Final = 1.001
"""The same where one is stated: a reading may overlap the bore, a ring may not."""


@attrs.frozen
class CloseIn:
    """Shares of the interference: when pressed in, and of what changes in place later (elastic).

    `is_spread` says that the share of pressing in varies from piece to piece, equally likely throughout.
    """

    pressed_least: float
    pressed_most: float
    elastic_least: float
    elastic_most: float
    is_spread: bool = False


def housing_outsides(outside: Feature | None, diameter_nm: float) -> tuple[float, float]:
    """Return the thinnest and the thickest housing (outside diameter, nm) that there may be.

    Without a stated one: from `THINNEST_HOUSING` times the bore to no end.
    """
    if outside is None:
        return THINNEST_HOUSING * diameter_nm, math.inf
    least, most = outside.bounds_nm()
    return max(float(least), diameter_nm * THINNEST_STATED), max(float(most), diameter_nm * THINNEST_STATED)


def rings(bore_nm: float, diameter_nm: float, outside_nm: float, make: Make) -> tuple[Ring, Ring]:
    """Return bush and housing as rings that meet at `diameter_nm`."""
    bush = Ring(bore_nm, diameter_nm, make.bush.modulus_gpa.value, make.bush.poisson.value)
    housing = Ring(diameter_nm, outside_nm, make.housing.modulus_gpa.value, make.housing.poisson.value)
    return bush, housing


def close_in_of(pieces: Pieces, bore_state: BoreState, make: Make) -> CloseIn:
    """Return by which shares the bore closes in; the wall has to be thicker than nothing."""
    bore, diameter = pieces.bore.middle_nm, pieces.outside_diameter.middle_nm
    thin, thick = housing_outsides(pieces.housing_outside, diameter)
    least = close_in_share(*rings(bore, diameter, thin, make))
    most = close_in_share(*rings(bore, diameter, thick, make))
    if bore_state == "installed":
        return CloseIn(0.0, 0.0, least, most)
    if make.construction == "porous":
        return CloseIn(PINNED_LEAST, PINNED_MOST, least, most, is_spread=True)
    if make.construction == "wrapped":
        return CloseIn(least, max(most, FOLLOWS_SEAT), least, most)
    return CloseIn(least, most, least, most)
