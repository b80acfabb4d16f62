"""Copper under current: resistance, voltage lost, heat, and how warm a body gets at most. Pure.

Resistivity and its temperature coefficient are those of IEC 60028 (read at second hand): 1/58 ohm mm2/m
and 0.00393 per kelvin at 20 degC; its mass resistivity 0.15328 ohm g/m2 gives a density of 8,890 kg/m3. The
specific heat of 385 J/(kg K) is the one that summaries of IEC 60949 use for copper.
"""

import math
from typing import Final

REFERENCE_CELSIUS: Final = 20.0
RESISTIVITY_OHM_METRES: Final = 1 / 58e6
TEMPERATURE_COEFFICIENT_PER_KELVIN: Final = 0.00393
DENSITY_KG_PER_CUBIC_METRE: Final = 8_890.0
SPECIFIC_HEAT_JOULES_PER_KG_KELVIN: Final = 385.0
MELTING_CELSIUS: Final = 1_084.6
"""Melting point of copper (common handbook value, from memory)."""

SOURCE: Final = "IEC 60028 (read at second hand), specific heat 385 J/(kg K)"
_LARGEST_EXPONENT: Final = 700.0


def resistivity_ratio(celsius: float) -> float:
    """Return the resistance at a temperature over that at 20 degC: linear (IEC 60028)."""
    return 1 + TEMPERATURE_COEFFICIENT_PER_KELVIN * (celsius - REFERENCE_CELSIUS)


def resistance_ohms(length_mm: float, area_square_mm: float, celsius: float = REFERENCE_CELSIUS) -> float:
    """Return the resistance of a copper body along its length, the current spread evenly over its section."""
    return RESISTIVITY_OHM_METRES * resistivity_ratio(celsius) * 1_000 * length_mm / area_square_mm


def adiabatic_rise_kelvin(
    current_amperes: float, area_square_mm: float, seconds: float, start_celsius: float = REFERENCE_CELSIUS
) -> float:
    """Return by how much a copper section warms if no heat leaves it: an upper bound.

    Resistance grows with temperature, so the rise is exponential: (exp(a q t) - 1) / a, with q the heating
    rate at the start in kelvin a second and a the coefficient there. Infinite where it cannot be told.
    """
    ratio = resistivity_ratio(start_celsius)
    density = current_amperes / (area_square_mm * 1e-6)
    heat_capacity = DENSITY_KG_PER_CUBIC_METRE * SPECIFIC_HEAT_JOULES_PER_KG_KELVIN
    rate = RESISTIVITY_OHM_METRES * ratio * density**2 / heat_capacity
    coefficient = TEMPERATURE_COEFFICIENT_PER_KELVIN / ratio
    exponent = coefficient * rate * seconds
    return math.inf if exponent > _LARGEST_EXPONENT else math.expm1(exponent) / coefficient
