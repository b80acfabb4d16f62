"""The seed catalogue, read once, and what its listings join: a position's seat and a size."""

from pathlib import Path

import attrs
import pytest

from api.exchange.catalogue import Catalogue
from api.exchange.read_catalogue import read_catalogue
from api.starters.entries import FamilyEntry, PositionEntry
from api.travelling import travelling
from api.wear_parts.entries import PartEntry, SizeEntry


@attrs.frozen(repr=False)
class Seat:
    """A position of a family and one size that a maker lists for it."""

    family: FamilyEntry
    position: PositionEntry
    size: SizeEntry

    def __repr__(self) -> str:
        return f"{self.family.code} {self.position.code} {self.size.code}"

    def seat_nm(self, feature: str) -> tuple[int, int]:
        """Return the range (nm) of a feature that the seat must state."""
        entry = self.position.feature(feature)
        assert entry is not None and entry.lower_nm is not None, f"{self}: seat has no {feature}"
        return entry.lower_nm, entry.upper_nm

    def size_nm(self, dimension: str) -> tuple[int, int]:
        """Return the range (nm) of a dimension that the size must state."""
        entry = self.size.value(dimension)
        assert entry is not None and entry.lower_nm is not None, f"{self}: size has no {dimension}"
        return entry.lower_nm, entry.upper_nm

    def choice(self, dimension: str) -> str | None:
        """Return the choice that the size states."""
        entry = self.size.value(dimension)
        return entry.choice if entry else None

    def count(self, dimension: str) -> int | None:
        """Return the count that the size states."""
        entry = self.size.value(dimension)
        return entry.count if entry else None

    def applies(self, dimension: str) -> bool:
        """Return whether the size states a range for the dimension."""
        entry = self.size.value(dimension)
        return entry is not None and entry.lower_nm is not None


@pytest.fixture(scope="session")
def seed_folder() -> Path:
    return travelling("seed_catalog")


@pytest.fixture(scope="session")
def catalogue(seed_folder: Path) -> Catalogue:
    return read_catalogue(seed_folder)


@pytest.fixture(scope="session")
def families(catalogue: Catalogue) -> dict[str, FamilyEntry]:
    return {entry.code: entry for entry in catalogue.families}


@pytest.fixture(scope="session")
def parts(catalogue: Catalogue) -> dict[tuple[str, str], PartEntry]:
    return {(entry.maker, entry.number): entry for entry in catalogue.parts}


@pytest.fixture(scope="session")
def sizes(catalogue: Catalogue) -> dict[str, SizeEntry]:
    return {entry.code: entry for entry in catalogue.sizes}


def of_kind(seats: list[Seat], kind: str) -> list[Seat]:
    """Return the seats of a kind, of which there must be some."""
    found = [seat for seat in seats if seat.size.kind == kind]
    assert found, f"no seat of kind {kind}"
    return found


@pytest.fixture(scope="session")
def seats(
    catalogue: Catalogue,
    families: dict[str, FamilyEntry],
    parts: dict[tuple[str, str], PartEntry],
    sizes: dict[str, SizeEntry],
) -> list[Seat]:
    """Return every (family, position, size) that a listing joins, once each."""
    found: dict[tuple[str, str, str], Seat] = {}
    for listing in catalogue.listings:
        family = families[listing.family]
        position = family.position(listing.position)
        size = sizes[parts[listing.maker, listing.number].size]
        assert position is not None and position.kind == size.kind
        found[family.code, position.code, size.code] = Seat(family, position, size)
    return list(found.values())
