"""What a seat states and what a size records, as the fit checks take them. Pure."""

from collections.abc import Mapping

import attrs

from api.fit.judging.clearances import Ranged, range_of
from api.fit.judging.features import Feature
from api.starters.entries import PositionEntry
from api.wear_parts.entries import SizeValue

SizeValues = Mapping[str, SizeValue]


@attrs.frozen
class PartFacts:
    """What a part itself states beside its size: rated voltage, and its material in the maker's words."""

    voltage: int | None = None
    material: str | None = None


ANY_PART = PartFacts()
"""A part of which only the size is known."""


def feature_of(entry: Ranged | None) -> Feature | None:
    """Return a stated range as a feature, or None where none is stated."""
    bounds = range_of(entry)
    return None if bounds is None else Feature(*bounds)


def seat_length(position: PositionEntry, feature: str) -> Feature | None:
    """Return a length that the seat states."""
    return feature_of(position.feature(feature))


def seat_word(position: PositionEntry, feature: str) -> str | None:
    """Return a choice or a thread that the seat states."""
    entry = position.feature(feature)
    return None if entry is None else entry.text


def seat_count(position: PositionEntry, feature: str) -> int | None:
    """Return a count that the seat states."""
    entry = position.feature(feature)
    return None if entry is None else entry.count


def size_length(size: SizeValues, dimension: str) -> Feature | None:
    """Return a length that the size records."""
    return feature_of(size.get(dimension))


def size_count(size: SizeValues, dimension: str) -> int | None:
    """Return a count that the size records."""
    entry = size.get(dimension)
    return None if entry is None else entry.count


def size_choice(size: SizeValues, dimension: str) -> str | None:
    """Return a choice that the size records."""
    entry = size.get(dimension)
    return None if entry is None else entry.choice
