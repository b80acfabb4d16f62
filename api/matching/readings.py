"""Readings as the model takes them, checked against the kind, one for each dimension."""

import math
from collections.abc import Iterable, Iterator, Sequence

import attrs

from api.errors import FieldFault, InvalidInput
from api.matching.model import DimensionModel, KindModel

REPEATS_DISAGREE_BEYOND = 3.0
"""Joint standard uncertainties beyond which two readings of one length disagree (our judgement)."""


@attrs.frozen(kw_only=True)
class LengthReading:
    """A length in nm and its standard uncertainty in nm, both positive.

    `worn`: the surface has been rubbed on, so the dimension's wear applies. `two_point`: measured
    between two opposite faces, as calipers and micrometers do. `repeats_disagree`: it stands for several
    that spread further than their uncertainty, and wear where it applies, explain.
    """

    dimension: str
    value_nm: float
    uncertainty_nm: float
    worn: bool = True
    two_point: bool = True
    repeats_disagree: bool = False


@attrs.frozen(kw_only=True)
class CountReading:
    """How many were counted."""

    dimension: str
    count: int


@attrs.frozen(kw_only=True)
class ChoiceReading:
    """Which of a dimension's choices was seen."""

    dimension: str
    choice: str


@attrs.frozen(kw_only=True)
class AbsentReading:
    """The part was seen not to have this feature (no flange, say)."""

    dimension: str


Reading = LengthReading | CountReading | ChoiceReading | AbsentReading


@attrs.frozen
class SettledReadings:
    """At most one reading for each dimension, in the kind's order, and where repeats disagreed."""

    readings: tuple[Reading, ...]
    disagreeing: tuple[str, ...]


def settle_readings(kind: KindModel, readings: Iterable[Reading]) -> SettledReadings:
    """Return one reading for each dimension that was read, whatever order they came in.

    Repeats of a worn length give the least worn value (worn bores are oval: the smallest of two
    readings a quarter turn apart is nearest to what was made); readings of an unworn surface go before
    those of a worn one; repeats of what does not wear give their weighted mean. Repeats disagree when
    their spread exceeds `REPEATS_DISAGREE_BEYOND` joint uncertainties, plus believable wear where the
    surface is worn, or where a reading says so of the repeats it stands for. Counts and choices that
    differ, or an absent feature that was also measured, disagree too and then tell nothing: the dimension
    is left out.

    Raises `InvalidInput`, its faults at the dimension's code, for an unknown dimension, a reading of
    another measure, a length or uncertainty that is not positive and finite, a length below half or
    above twice the plausible span, a count outside its range, an unknown choice.
    """
    given = tuple(readings)
    known = {one.code: one for one in kind.dimensions}
    faults = [fault for one in given for fault in _faults(known.get(one.dimension), one)]
    if faults:
        raise InvalidInput.of(faults)
    settled: list[Reading] = []
    disagreeing: list[str] = []
    for dimension in kind.dimensions:
        repeats = [one for one in given if one.dimension == dimension.code]
        lengths = [one for one in repeats if isinstance(one, LengthReading)]
        if repeats and len(lengths) == len(repeats):
            reading, agree = _settle_lengths(dimension, lengths)
            settled.append(reading)
        else:
            agree = len(set(repeats)) <= 1
            settled.extend(repeats[:1] if agree else ())
        if not agree:
            disagreeing.append(dimension.code)
    return SettledReadings(tuple(settled), tuple(disagreeing))


def _settle_lengths(
    dimension: DimensionModel, repeats: Sequence[LengthReading]
) -> tuple[LengthReading, bool]:
    unworn = [one for one in repeats if not one.worn]
    chosen = unworn or list(repeats)
    told_apart = any(one.repeats_disagree for one in chosen)
    if told_apart:
        chosen = [attrs.evolve(one, repeats_disagree=False) for one in chosen]
    chosen.sort(key=lambda one: (one.value_nm, one.uncertainty_nm, one.two_point))
    low, high = chosen[0], chosen[-1]
    wears = not unworn and dimension.wear_sense != "none"
    allowed = REPEATS_DISAGREE_BEYOND * math.hypot(low.uncertainty_nm, high.uncertainty_nm)
    if wears:
        allowed += dimension.worn_within * dimension.wear_scale_nm
    agree = high.value_nm - low.value_nm <= allowed and not told_apart
    if wears:
        return (low if dimension.wear_sense == "grows" else high), agree
    if len(chosen) == 1:
        return low, agree
    weights = [one.uncertainty_nm**-2 for one in chosen]
    mean = math.fsum(w * one.value_nm for w, one in zip(weights, chosen, strict=True)) / math.fsum(weights)
    return attrs.evolve(low, value_nm=mean, uncertainty_nm=math.fsum(weights) ** -0.5), agree


def _faults(dimension: DimensionModel | None, reading: Reading) -> Iterator[FieldFault]:
    path = (reading.dimension,)
    if dimension is None:
        yield FieldFault(path, reading.dimension, "a dimension of this kind", "unknown")
    elif isinstance(reading, LengthReading):
        if dimension.measure != "length":
            yield FieldFault(path, f"{reading.value_nm} nm", f"a {dimension.measure}", "wrong_measure")
            return
        low, high = dimension.span_lower / 2, dimension.span_upper * 2
        if not 0 < reading.value_nm < math.inf or not low <= reading.value_nm <= high:
            expected = f"a length from {low / 1e6:g} mm to {high / 1e6:g} mm"
            yield FieldFault(path, f"{reading.value_nm / 1e6:g} mm", expected, "implausible")
        if not 0 < reading.uncertainty_nm < math.inf:
            yield FieldFault(path, f"{reading.uncertainty_nm} nm", "a positive uncertainty", "not_positive")
    elif isinstance(reading, CountReading):
        if dimension.measure != "count":
            yield FieldFault(path, str(reading.count), f"a {dimension.measure}", "wrong_measure")
        elif not dimension.span_lower <= reading.count <= dimension.span_upper:
            expected = f"a count from {dimension.span_lower} to {dimension.span_upper}"
            yield FieldFault(path, str(reading.count), expected, "implausible")
    elif isinstance(reading, ChoiceReading):
        if dimension.measure != "choice":
            yield FieldFault(path, reading.choice, f"a {dimension.measure}", "wrong_measure")
        elif reading.choice not in dimension.choices:
            yield FieldFault(path, reading.choice, "one of " + ", ".join(dimension.choices), "unknown")
