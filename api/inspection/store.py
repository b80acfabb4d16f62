"""Queries: a family with its seats, and what the sizes listed for its positions record."""

from collections import defaultdict
from typing import Any

from sqlalchemy import Row

from api.database import ReadSession
from api.inspection.family_values import KnownFamily
from api.starters.store import family_entry, listings_of_family, positions_of, seats_of
from api.wear_parts.entries import SizeValueEntry
from api.wear_parts.store import size_values


def known_family(reads: ReadSession, row: Row[Any]) -> KnownFamily:
    """Return what the catalogue knows of a family's row."""
    positions = positions_of(reads, row.id)
    listed = listings_of_family(reads, row.id)
    values = size_values(reads, {one.size_id for one in listed})
    codes = {one.id: one.code for one in positions}
    by_place: dict[str, dict[str, dict[str, SizeValueEntry]]] = defaultdict(dict)
    for one in listed:
        by_place[codes[one.position_id]][one.size_id] = values[one.size_id]
    sizes = {place: tuple(found.values()) for place, found in by_place.items()}
    return KnownFamily(family_entry(row, positions, seats_of(reads, row.id)), sizes)
