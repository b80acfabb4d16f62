"""How well a reading is known: standard uncertainty by the GUM (JCGM 100:2008).

Type B: a permissible error of plus or minus `a`, anywhere within equally likely, gives a/sqrt(3)
(4.3.7); a resolution `d` gives d/sqrt(12) (F.2.2.1). Type A: n repeats give s/sqrt(n) (4.2.3). Parts
that owe nothing to each other add in quadrature (5.1.2). The instrument's part is common to all
repeats of one reading, so repeating does not average it down.
"""

import math
import statistics
from collections.abc import Sequence
from fractions import Fraction

from api.measurement.instruments import Instrument, Way
from api.measurement.lengths import Length

GREATEST_UNCERTAINTY_NM = 10_000_000
"""Ten millimetres: beyond it a reading tells nothing about a wear part (our judgement)."""


def rectangular_nm(half_width_nm: float) -> float:
    """Return the standard uncertainty (nm) of a value equally likely within plus or minus a half-width."""
    return half_width_nm / math.sqrt(3)


def resolution_part_nm(step_nm: float) -> float:
    """Return the standard uncertainty (nm) that reading in steps of `step_nm` brings."""
    return step_nm / math.sqrt(12)


def scatter_part_nm(values_nm: Sequence[int]) -> float:
    """Return s/sqrt(n) in nm: how far the mean of n repeats may lie off for their scatter alone.

    With a single value nothing is known of the scatter, and it counts as zero.
    """
    if len(values_nm) < 2:
        return 0.0
    return statistics.stdev(values_nm) / math.sqrt(len(values_nm))


def mean_nm(values_nm: Sequence[int]) -> int:
    """Return the mean of n values, n >= 1, rounded half to even to a whole nanometre."""
    return round(Fraction(sum(values_nm), len(values_nm)))


COARSEST_FRACTION_NM = Fraction(793_750)
"""One 32nd of an inch, the coarsest step of a bench rule in inches (common practice, no source)."""


def counted_resolution_nm(instrument: Instrument, named: bool, written: Sequence[Length]) -> Fraction:
    """Return the step (nm) in which a reading was really taken.

    The instrument's own where it was named. Where it was only assumed and the value was written as a
    fraction, the coarsest fraction counts (31/64 in: a 64th), but never less than the instrument's, nor
    more than a 32nd: fractions are written in lowest terms, and 1/2 in is read on the same rule.
    """
    own = Fraction(instrument.resolution_nm)
    if named:
        return own
    steps = [length.resolution_nm for length in written if length.is_fraction and length.resolution_nm]
    return max([own, *(min(step, COARSEST_FRACTION_NM) for step in steps)])


def instrument_part_nm(
    instrument: Instrument, way: Way, length_nm: int, resolution_nm: Fraction | None = None
) -> float:
    """Return the standard uncertainty (nm) of one reading of `length_nm` taken that way.

    `resolution_nm` replaces the instrument's own step. Raises `UnsuitableInstrument` where the
    instrument cannot measure that way or that far.
    """
    step_nm = float(instrument.resolution_nm if resolution_nm is None else resolution_nm)
    error_nm = instrument.permissible_error_nm(way, length_nm)
    return math.hypot(rectangular_nm(error_nm), resolution_part_nm(step_nm))


def standard_uncertainty_nm(
    instrument: Instrument, way: Way, values_nm: Sequence[int], resolution_nm: Fraction | None = None
) -> float:
    """Return the standard uncertainty (nm) of the mean of n repeats, n >= 1.

    Example: a bore of 12.62 mm by digital caliper, error 0.02 + 0.02 mm, resolution 0.01 mm:
    sqrt(0.04^2/3 + 0.01^2/12) = 0.0233 mm. Raises `UnsuitableInstrument`.
    """
    shared_nm = instrument_part_nm(instrument, way, mean_nm(values_nm), resolution_nm)
    return math.hypot(shared_nm, scatter_part_nm(values_nm))


def explained_spread_nm(
    instrument: Instrument, way: Way, length_nm: int, resolution_nm: Fraction | None = None
) -> float:
    """Return the greatest spread (nm) of repeats that the instrument alone can bring about.

    Each reading lies within the permissible error and half a step of the truth, so two differ by at
    most twice the error and one step. Raises `UnsuitableInstrument`.
    """
    step_nm = float(instrument.resolution_nm if resolution_nm is None else resolution_nm)
    return 2 * instrument.permissible_error_nm(way, length_nm) + step_nm


def spread_of_stated_nm(uncertainty_nm: float) -> float:
    """Return the greatest spread (nm) that a stated standard uncertainty explains, taken as rectangular."""
    return 2 * math.sqrt(3) * uncertainty_nm


def repeats_disagree(values_nm: Sequence[int], explained_nm: float) -> bool:
    """Tell whether repeats (n >= 1) spread further than `explained_nm`.

    Reported, never refused: an oval bore truly has more than one diameter.
    """
    return max(values_nm) - min(values_nm) > explained_nm
