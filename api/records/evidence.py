"""What the readings of several specimens say of one feature. Pure.

Lengths are combined (`combine_lengths`); of counts, words and absence every specimen must say the same. Only
unworn, free readings tell what a new piece has.
"""

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Final

import attrs

from api.fit.limits.tolerance_tables import GRADES, GREATEST_SIZE_NM
from api.matching.likelihoods.likelihood import ADDENDA, WIDEST_LAND
from api.measurement.uncertainty import rectangular_nm
from api.records.bench_readings import BenchReading
from api.records.combine_lengths import (
    CombinedLength,
    SpecimenReading,
    agreeing_majority,
    combine_lengths,
    usual_deviation_nm,
)
from api.wear_parts.check_size import NOT_APPLICABLE
from api.wear_parts.value_text import range_text

WORKSHOP_GRADE: Final = 11
"""Standard tolerance grade of ISO 286-1 taken as usual where nothing like it is stated (our judgement)."""

ACROSS_ODD_TEETH: Final = "across_odd_teeth"
"""Stands for the instrument of corrected readings: their correction is wrong by the same, whoever reads."""


@attrs.frozen
class OfSpecimen:
    """A reading and the label of its specimen."""

    specimen: str
    reading: BenchReading


@attrs.frozen(kw_only=True)
class Evidence:
    """What the readings of a feature come to.

    `length` where lengths were read, else `words`: the specimens by what they say. Of inconsistent lengths
    `majority` is what most specimens come to, where they agree. `passed_over` readings do not tell the size:
    worn, installed, or across an unknown number of teeth.
    """

    feature: str
    length: CombinedLength | None = None
    majority: CombinedLength | None = None
    words: Mapping[str, tuple[str, ...]] = attrs.field(factory=dict)
    passed_over: int = 0

    @property
    def specimens(self) -> int:
        """How many specimens tell it."""
        told = {specimen for specimens in self.words.values() for specimen in specimens}
        read = () if self.length is None else self.length.deviations
        return len(told | {one.specimen for one in read})

    @property
    def is_consistent(self) -> bool:
        """Whether one value explains all of them."""
        if self.length is not None:
            return not self.words and self.length.is_consistent
        return len(self.words) <= 1

    @property
    def value(self) -> str | None:
        """The value in the words of the catalogue's files: of all specimens, else of most that agree.

        None where there is neither. A majority is more than half of the specimens, two at least.
        """
        if self.length is not None:
            limits = None if self._settled is None else self._settled.limits_nm
            return None if limits is None else range_text(*limits)
        most = max(self.words, key=lambda word: len(self.words[word]), default=None)
        if most is None or self.is_consistent:
            return most
        many = len(self.words[most])
        return most if many >= 2 and 2 * many > sum(map(len, self.words.values())) else None

    @property
    def uncertainty_nm(self) -> int | None:
        """The standard uncertainty (nm, rounded up) with which a length is known; None of anything else."""
        return None if self._settled is None else math.ceil(self._settled.uncertainty_nm)

    @property
    def left_out(self) -> tuple[str, ...]:
        """The specimens that contradict the majority."""
        if self.value is None or self.is_consistent:
            return ()
        if self.length is None or self.majority is None:
            return tuple(
                sorted({one for word, told in self.words.items() if word != self.value for one in told})
            )
        kept = {one.specimen for one in self.majority.deviations}
        return tuple(one.specimen for one in self.length.deviations if one.specimen not in kept)

    @property
    def _settled(self) -> CombinedLength | None:
        """The readings that the value is of: nobody says at the same time that there is no such length."""
        return (
            None
            if self.words or self.length is None
            else self.length
            if self.is_consistent
            else self.majority
        )


def weigh_feature(
    feature: str, readings: Sequence[OfSpecimen], usual_width_nm: int | None, opposite: int | None = 0
) -> Evidence:
    """Return what the readings of one feature (in any order) come to.

    `usual_width_nm` is the tolerance that such a length usually has; None: a workshop's (`WORKSHOP_GRADE`).
    `opposite` is how many teeth the readings go across (even numbers, 0: no correction), None where that has
    to be known and is not.
    """
    lengths: list[SpecimenReading] = []
    words: dict[str, set[str]] = defaultdict(set)
    passed_over = 0
    for one in readings:
        if not one.reading.tells_the_size or (one.reading.values_nm and opposite is None):
            passed_over += 1
        elif one.reading.values_nm:
            lengths.append(_specimen_reading(one, opposite or 0))
        else:
            words[_word(one.reading)].add(one.specimen)
    combined = majority = None
    if lengths:
        usual_nm = _usual_nm(lengths, usual_width_nm)
        combined = combine_lengths(lengths, usual_nm)
        majority = None if combined.is_consistent else agreeing_majority(lengths, usual_nm)
    told = {word: tuple(sorted(specimens)) for word, specimens in sorted(words.items())}
    return Evidence(feature=feature, length=combined, majority=majority, words=told, passed_over=passed_over)


def _word(reading: BenchReading) -> str:
    if not reading.applies:
        return NOT_APPLICABLE
    return str(reading.count) if reading.word is None else reading.word


def _usual_nm(readings: Sequence[SpecimenReading], width_nm: int | None) -> float:
    if width_nm is not None:
        return usual_deviation_nm(width_nm)
    size_nm = min(GREATEST_SIZE_NM, max(round(one.mean_nm) for one in readings))
    return usual_deviation_nm(GRADES[WORKSHOP_GRADE].at_um(size_nm) * 1000)


def _specimen_reading(one: OfSpecimen, teeth: int) -> SpecimenReading:
    reading = one.reading
    tool, shared_nm, step_nm = reading.instrument or "", reading.instrument_nm, reading.step_nm
    if teeth % 2 == 0:
        return SpecimenReading(one.specimen, reading.values_nm, tool, shared_nm, step_nm)
    least, greatest = odd_teeth_factors(teeth)
    factor, half = (least + greatest) / 2, (greatest - least) / 2
    values = tuple(round(value * factor) for value in reading.values_nm)
    shared_nm = math.hypot(shared_nm * factor, rectangular_nm(values[0] * half / factor))
    return SpecimenReading(one.specimen, values, ACROSS_ODD_TEETH, shared_nm, step_nm * factor)


def odd_teeth_factors(teeth: int) -> tuple[float, float]:
    """Return by what least and greatest factor a tip diameter exceeds a reading across odd teeth.

    Plane geometry: pointed tips read cos(90 degrees / z) of it; tips with a land that spans an angle of 2e
    read cos(90 degrees / z - e). The land is taken as between none and `WIDEST_LAND` modules.
    """
    pointed = 0.5 * math.pi / teeth
    landed = max(pointed - WIDEST_LAND / (teeth + ADDENDA), 0.0)
    return 1 / math.cos(landed), 1 / math.cos(pointed)
