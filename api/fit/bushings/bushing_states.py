"""Interference and running clearance of a bush at a temperature, as intervals and as chances. Pure.

At reference temperature the interference is outside diameter less seat. Each diameter grows with its own
material. Pressing closes the bore in by a share of the interference at that moment; what the interference
changes afterwards moves the bore elastically. The clearance is the bore so found less the shaft.

Chances are exact for the interference. For the clearance the distribution of the interference is cut into
`SLICES` slices of equal width; within a slice the exact chance of bore less shaft is taken at its middle.
The share by which a porous bush closes in varies from piece to piece: it is equally likely throughout its
range. What is merely not known (a housing's outside diameter, a material) is not averaged: it leaves a least
and a most chance.
"""

from collections.abc import Iterable
from typing import Final

import attrs
import numpy as np
from numpy.polynomial.legendre import leggauss
from numpy.typing import NDArray

from api.fit.bushings.bushing_pieces import REFERENCE_CELSIUS, Make, Moment, Pieces
from api.fit.bushings.close_in import CloseIn
from api.fit.judging.differences import Difference, difference
from api.fit.judging.features import Feature

FloatArray = NDArray[np.float64]

SLICES: Final = 400
_NODES, _WEIGHTS = leggauss(6)  # over the shares of a porous bush; the chance is smooth in them

TAIL: Final = 8.0
"""Standard uncertainties that are covered beyond the limits."""


@attrs.frozen
class Span:
    """A least and a most."""

    least: float
    most: float

    @classmethod
    def around(cls, spans: Iterable["Span"]) -> "Span":
        """Return the span that holds them all (one at least)."""
        told = tuple(spans)
        return cls(min(one.least for one in told), max(one.most for one in told))


@attrs.frozen(kw_only=True)
class BushingState:
    """A bush at one moment; lengths in nm, chances 0 to 1.

    Chances are spans because what is not known of materials and housing leaves more than one. The
    figures of running are None where a piece is not known.
    """

    moment: Moment
    celsius: float
    interference_nm: Span | None
    holds: Span | None
    close_in_nm: Span | None
    clearance_nm: Span | None
    runs: Span | None


@attrs.frozen
class _Slices:
    """The interference at reference temperature as a few values (nm) with their chances."""

    values: FloatArray
    chances: FloatArray

    @classmethod
    def of(cls, interference: Difference) -> "_Slices":
        half = (interference.wide_nm + interference.narrow_nm) / 2 + TAIL * interference.u_nm
        if half == 0:
            return cls(np.array([interference.mean_nm]), np.array([1.0]))
        edges = interference.mean_nm + np.linspace(-half, half, SLICES + 1)
        above = interference.chances_above(edges)
        return cls((edges[1:] + edges[:-1]) / 2, above[:-1] - above[1:])


@attrs.frozen
class Running:
    """A bush on its shaft, made in one way: how the clearance comes about at any temperature."""

    pieces: Pieces
    make: Make
    share: CloseIn
    pressed_celsius: float

    def close_in(
        self,
        interference_nm: FloatArray,
        celsius: float,
        *,
        most: bool,
        pressed_share: FloatArray | None = None,
    ) -> FloatArray:
        """Return by how much (nm) the bore is closed in at a temperature, for interferences at reference.

        `most` takes the greatest of what may be, else the least; `pressed_share` (a column) replaces the
        share of pressing in.
        """
        pressed = np.maximum(interference_nm + self.shift_nm(self.pressed_celsius), 0.0)
        now = np.maximum(interference_nm + self.shift_nm(celsius), 0.0)
        share, since = self.share, now - pressed
        more = share.elastic_most if most else share.elastic_least
        less = share.elastic_least if most else share.elastic_most
        extreme = share.pressed_most if most else share.pressed_least
        by_pressing = extreme if pressed_share is None else pressed_share
        return np.asarray(by_pressing * pressed + np.where(since > 0, more, less) * since)

    def shift_nm(self, celsius: float) -> float:
        """Return by how much (nm) the interference at a temperature exceeds that at reference."""
        return interference_shift(self.pieces.outside_diameter, self.pieces.housing, self.make, celsius)

    def free_clearance(self, celsius: float) -> Difference:
        """Return stated bore less shaft at a temperature, before any closing in."""
        bore = at_temperature(self.pieces.bore, self.make.bush.expansion_per_kelvin, celsius)
        shaft = at_temperature(self.pieces.shaft, self.make.shaft.expansion_per_kelvin, celsius)
        return difference(bore, shaft)

    def chance_above(self, clearance_nm: float, celsius: float) -> Span:
        """Return how probably the clearance at a temperature is more than `clearance_nm`."""
        slices, free = _Slices.of(self._interference()), self.free_clearance(celsius)

        def chances(most: bool, shares: FloatArray | None) -> FloatArray:
            closed = self.close_in(slices.values, celsius, most=most, pressed_share=shares)
            return np.clip(free.chances_above(closed + clearance_nm) @ slices.chances, 0.0, 1.0)

        def chance_mean(most: bool) -> float:
            if not self.share.is_spread:
                return float(chances(most, None))
            low, high = self.share.pressed_least, self.share.pressed_most
            shares = (low + high) / 2 + (high - low) / 2 * _NODES
            return min(float(chances(most, shares[:, None]) @ _WEIGHTS) / 2, 1.0)

        found = chance_mean(True), chance_mean(False)
        return Span(min(found), max(found))

    def close_in_span(self, celsius: float) -> Span:
        """Return the least and the most (nm) by which the bore may be closed in at a temperature."""
        interference = self._interference()
        kinks = -np.array([self.shift_nm(celsius), self.shift_nm(self.pressed_celsius)])
        within = np.clip(kinks, interference.least_nm, interference.most_nm)
        ends = np.array([interference.least_nm, interference.most_nm, *within], dtype=np.float64)
        least = self.close_in(ends, celsius, most=False).min()
        return Span(float(least), float(self.close_in(ends, celsius, most=True).max()))

    def clearance_span(self, celsius: float) -> Span:
        """Return the least and the greatest clearance (nm) at a temperature."""
        free, closed = self.free_clearance(celsius), self.close_in_span(celsius)
        return Span(free.least_nm - closed.most, free.most_nm - closed.least)

    def _interference(self) -> Difference:
        return difference(self.pieces.outside_diameter, self.pieces.housing)


def at_temperature(feature: Feature, expansion_per_kelvin: float, celsius: float) -> Feature:
    """Return a length, stated at 20 degrees Celsius, at another temperature (to the nanometre)."""
    grown = feature.middle_nm * expansion_per_kelvin * (celsius - REFERENCE_CELSIUS)
    return feature.shifted(round(grown))


def interference_shift(outside: Feature, housing: Feature, make: Make, celsius: float) -> float:
    """Return by how much (nm) interference grows from 20 degrees Celsius to another temperature."""
    warmer = celsius - REFERENCE_CELSIUS
    bush_grows = outside.middle_nm * make.bush.expansion_per_kelvin * warmer
    return bush_grows - housing.middle_nm * make.housing.expansion_per_kelvin * warmer


def interference_span(outside: Feature, housing: Feature, makes: tuple[Make, ...], celsius: float) -> Span:
    """Return the least and the greatest interference (nm) at a temperature over every make."""
    told = difference(outside, housing)
    shifts = [interference_shift(outside, housing, make, celsius) for make in makes]
    return Span(told.least_nm + min(shifts), told.most_nm + max(shifts))


def chance_of_interference(
    outside: Feature, housing: Feature, makes: tuple[Make, ...], celsius: float, above_nm: float = 0.0
) -> Span:
    """Return how probably the interference at a temperature is more than `above_nm`, over every make."""
    told = difference(outside, housing)
    chances = [
        told.chance_above(above_nm - interference_shift(outside, housing, make, celsius)) for make in makes
    ]
    return Span(min(chances), max(chances))
