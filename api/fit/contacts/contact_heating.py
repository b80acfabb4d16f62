"""What the bodies of contacts and disc lose and how they warm at the cranking current. Pure.

Only the copper itself, the current spread evenly over its least section. What the touching faces add
(constriction, oxide, soot) is not in it, and is usually the larger part once they are burnt (our judgement).
"""

from collections.abc import Sequence
from typing import Final, Literal

import attrs

from api.fit.contacts.conductors import (
    MELTING_CELSIUS,
    REFERENCE_CELSIUS,
    SOURCE,
    adiabatic_rise_kelvin,
    resistance_ohms,
)
from api.fit.judging.features import Feature
from api.fit.judging.gaps import NM_PER_MM
from api.fit.judging.reasons import Figure, Reason

PUBLISHED_DROPS: Final = (
    ("solenoid switch of a 12 V circuit, US Army TM 5-3820-256-24-4", 0.2, None),
    ("cranking circuit, US Army TM 10-3930-671-24", 0.2, 100.0),
)
"""Published greatest drops: of what, volts, and for how many amperes (None: at any cranking current)."""


BodyName = Literal["battery_side", "disc", "motor_side"]


@attrs.frozen
class CopperBody:
    """A copper body that the current passes: its name, the length of the way, and its section."""

    name: BodyName
    length: Feature
    width: Feature
    thickness: Feature

    @property
    def length_mm(self) -> float:
        """The length of the way of the current in mm: the mean."""
        return self.length.middle_nm / NM_PER_MM

    @property
    def section_square_mm(self) -> float:
        """Width times thickness in mm2: the mean."""
        return self.width.middle_nm * self.thickness.middle_nm / NM_PER_MM**2


@attrs.frozen
class BodyHeating:
    """One body at the cranking current; the rise is the upper bound that no heat leaves.

    `rise_kelvin` is None where no time was stated, and where that bound reaches the melting point (`melts`).
    """

    name: BodyName
    resistance_microohms: float
    volts: float
    watts: float
    amperes_per_square_mm: float
    rise_kelvin: float | None
    melts: bool


@attrs.frozen
class Heating:
    """All bodies in a row: what they lose together, and each of them."""

    bodies: tuple[BodyHeating, ...]
    volts: float
    watts: float
    source: str = SOURCE


def heat_bodies(
    bodies: Sequence[CopperBody],
    current_amperes: float,
    crank_seconds: float | None = None,
    start_celsius: float = REFERENCE_CELSIUS,
) -> Heating:
    """Return what copper bodies in a row lose at a current (above 0), and how warm each gets in that time.

    Resistances are those at the start; the rise counts that resistance grows, and that no heat leaves.
    """
    heated = tuple(_heat(body, current_amperes, crank_seconds, start_celsius) for body in bodies)
    return Heating(heated, sum(one.volts for one in heated), sum(one.watts for one in heated))


def judge_drop(heating: Heating, greatest_volts: float) -> Reason:
    """Return whether the bodies alone keep below a greatest drop that the caller states (V, above 0).

    It judges the copper; what the touching faces add, only measuring while cranking tells.
    """
    figures = (Figure("bodies_volts", heating.volts), Figure("greatest_drop_volts", greatest_volts))
    told = f"the copper alone loses {heating.volts:.4f} V of {greatest_volts:g} V"
    if heating.volts > greatest_volts:
        return Reason("voltage_drop", "does_not_fit", f"{told}: too little copper", figures=figures)
    return Reason("voltage_drop", "fits", f"{told}; what the faces add shows while cranking", figures=figures)


def judge_rise(heating: Heating, greatest_kelvin: float) -> Reason:
    """Return whether every body surely stays below a greatest rise that the caller states (K, above 0).

    The computed rise is an upper bound: above the limit the answer is `unknown`, not a refusal.
    """
    rises = [one.rise_kelvin for one in heating.bodies if one.rise_kelvin is not None]
    if not rises or len(rises) < len(heating.bodies):
        return Reason(
            "temperature_rise", "unknown", "a body would reach its melting point if no heat left it"
        )
    figures = (Figure("most_rise_kelvin", max(rises)), Figure("greatest_rise_kelvin", greatest_kelvin))
    told = f"at most {max(rises):.1f} K if no heat leaves, limit {greatest_kelvin:g} K"
    if max(rises) <= greatest_kelvin:
        return Reason("temperature_rise", "fits", told, figures=figures)
    return Reason("temperature_rise", "unknown", f"{told}: it may stay below, or not", figures=figures)


def published_drops(current_amperes: float) -> tuple[tuple[str, float], ...]:
    """Return each published greatest drop at a current: of what, and volts."""
    return tuple(
        (name, volts if per is None else volts * current_amperes / per)
        for name, volts, per in PUBLISHED_DROPS
    )


def _heat(body: CopperBody, amperes: float, seconds: float | None, start_celsius: float) -> BodyHeating:
    ohms = resistance_ohms(body.length_mm, body.section_square_mm, start_celsius)
    rise = None
    if seconds is not None:
        rise = adiabatic_rise_kelvin(amperes, body.section_square_mm, seconds, start_celsius)
    melts = rise is not None and start_celsius + rise >= MELTING_CELSIUS
    return BodyHeating(
        name=body.name,
        resistance_microohms=ohms * 1e6,
        volts=ohms * amperes,
        watts=ohms * amperes**2,
        amperes_per_square_mm=amperes / body.section_square_mm,
        rise_kelvin=None if melts else rise,
        melts=melts,
    )
