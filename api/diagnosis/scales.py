"""A number's bands, limits and rated ranges for one starter: by voltage, power, temperature. Pure."""

import attrs
import numpy as np

from api.diagnosis.knowledge import TABLE_VOLTAGE, NumberKnown, Origin
from api.diagnosis.subject import Subject

TABLE_RATED_W = 1400
"""Rated power of the unit whose cranking current the tables hold, in watts."""

NO_CURRENT_SHARE = 0.05
"""What lies below this share of a rated range's lower end counts as none (our judgement)."""


@attrs.frozen
class Held:
    """What a number is held against: a limit (one value) or a rated range (two); where it came from."""

    values: tuple[float, ...]
    stated: bool
    origin: Origin


def volts_factor(subject: Subject) -> float:
    """Return by how much the volts of this system are greater than those of the tables."""
    return subject.voltage / TABLE_VOLTAGE


def most_plausible(number: NumberKnown, subject: Subject) -> float:
    """Return the greatest value that anybody could have read, in the number's unit."""
    return number.most.value * (volts_factor(subject) if number.unit == "volts" else 1.0)


def limit_of(number: NumberKnown, subject: Subject, celsius: float | None) -> Held | None:
    """Return the limit where the caller states none; by temperature where the tables hold it."""
    if number.limit is None:
        return None
    value, origin = number.limit.figure.value, number.limit.figure.origin
    if celsius is not None and number.by_celsius and number.by_celsius_origin is not None:
        steps = np.array(number.by_celsius)
        value, origin = float(np.interp(celsius, steps[:, 0], steps[:, 1])), number.by_celsius_origin
    if number.limit.by_voltage:
        value *= volts_factor(subject)
    if number.limit.by_power:
        value *= (subject.rated_power_w or TABLE_RATED_W) / TABLE_RATED_W / volts_factor(subject)
    return Held((value,), False, origin)


def rated_of(number: NumberKnown, subject: Subject) -> Held:
    """Return the rated range where the caller states none."""
    rated = min(number.rated, key=lambda one: abs(one.voltage - subject.voltage))
    return Held((rated.lower, rated.upper), False, rated.origin)


def edges_of(number: NumberKnown, subject: Subject, held: Held | None) -> tuple[float, ...]:
    """Return the bounds of the bands or states in the number's unit: one more than there are of them."""
    most = most_plausible(number, subject)
    if number.scale == "rated" and held is not None:
        lower, upper = held.values
        return (0.0, NO_CURRENT_SHARE * lower, lower, upper, most)
    factor = {"system_voltage": volts_factor(subject), "limit": held.values[0] if held else 1.0}.get(
        number.scale, 1.0
    )
    return (0.0, *(band.upto * factor for band in number.bands[:-1]), most)
