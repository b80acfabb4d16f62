"""What was read on the bench, as checked values, and what is known of the same features when new. Pure."""

from collections.abc import Mapping

import attrs

from api.inspection.conformance import Known
from api.inspection.vocabulary import LENGTH_OF, NUMBER_OF, Choice

NM_PER_MM = 1_000_000


@attrs.frozen
class Piece:
    """One piece read: the value as far as it is known, and as it was written.

    `above`: the instrument was over its range, so the value is at least this.
    """

    known: Known
    text: str
    above: bool = False


@attrs.frozen(kw_only=True)
class BenchReading:
    """A feature that was read: its pieces (one at least), or what was found by eye or hand.

    `diameters` counts the diameters of a round piece that were read; the worst of them is the piece, and
    `spread` the greatest less the least.
    """

    feature: str
    pieces: tuple[Piece, ...] = ()
    choice: Choice | None = None
    diameters: int = 1
    spread: Known | None = None
    repeats_disagree: bool = False


@attrs.frozen
class WhenNew:
    """A feature when new (nm, or a number in its unit), and who says so."""

    known: Known
    source: str


@attrs.frozen
class OwnLimit:
    """A limit that the caller states, or that follows from the family: of a length in nm, else a number."""

    least: float | None
    most: float | None
    source: str


@attrs.frozen(kw_only=True)
class BenchPlace:
    """Everything read at one place, with what is known of it.

    `open_new` has the features of which only several different values when new are known, one of which
    was fitted; they are not in `new`.
    """

    place: str
    readings: tuple[BenchReading, ...]
    new: Mapping[str, WhenNew] = attrs.field(factory=dict)
    open_new: Mapping[str, tuple[WhenNew, ...]] = attrs.field(factory=dict)
    stated: Mapping[str, OwnLimit] = attrs.field(factory=dict)
    family: Mapping[str, OwnLimit] = attrs.field(factory=dict)

    def reading(self, feature: str) -> BenchReading | None:
        """Return the reading of a feature, if it was read."""
        return next((one for one in self.readings if one.feature == feature), None)

    def variants(self, feature: str) -> tuple["BenchPlace", ...]:
        """Return the place once for each value when new that a feature, or its partner, may have had."""
        key = "bore" if feature == "journal_diameter" and feature not in self.open_new else feature
        options = self.open_new.get(key, ())
        return tuple(attrs.evolve(self, new={**self.new, key: option}) for option in options) or (self,)


def show(feature: str, value: float) -> str:
    """Return a value of a feature in words: a length to the micrometre, a number with its unit."""
    if feature in LENGTH_OF:
        return f"{value / NM_PER_MM:.3f} mm"
    return f"{value:.10g} {NUMBER_OF[feature].unit}"


def figure(feature: str, value: float) -> float:
    """Return a value as answers give it: a length in mm, a number in its own unit."""
    return value / NM_PER_MM if feature in LENGTH_OF else value
