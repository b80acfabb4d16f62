"""Load families with their positions and seats, starters and listings."""

from collections.abc import Iterator, Mapping, Sequence

from api.exchange import catalogue_rows as rows
from api.exchange.missing_rows import Loading, Noun, Values, chunks, filled, insert_rows, stored_children
from api.starters.entries import FamilyEntry, ListingEntry, PositionEntry, StarterEntry
from api.starters.tables import Family, Listing, Position, SeatFeature, Starter
from api.wear_parts.entries import ItemKey

FAMILIES = Noun.of("families", Family, "code")
POSITIONS = Noun.of("positions", Position, "family_id", "code")
STARTERS = Noun.of("starters", Starter, "maker_code", "number")
LISTINGS = Noun.of("listings", Listing, "position_id", "part_id")

_SEAT = Noun.of("seats", SeatFeature, "position_id", "feature").table


def load_families(loading: Loading, families: Sequence[FamilyEntry]) -> rows.Ids:
    """Add missing families; return the id of every family by (code,)."""
    return loading.add(FAMILIES, families, rows.family_row, lambda family: family.code, remember=True).ids


def load_positions(
    loading: Loading, families: Sequence[FamilyEntry], family_ids: rows.Ids
) -> dict[tuple[str, str], str]:
    """Add missing positions with their seats; return the id of each by family and position code."""
    entries = [
        (family.code, place, position)
        for family in families
        for place, position in enumerate(family.positions, start=1)
    ]
    outcome = loading.add(
        POSITIONS,
        entries,
        lambda entry: rows.position_row(family_ids[(entry[0],)], entry[1], entry[2]),
        lambda entry: f"{entry[0]} {entry[2].code}",
        remember=True,
    )
    keys = {
        (family, position.code): (family_ids[(family,)], position.code) for family, _, position in entries
    }
    ids = {name: outcome.ids[key] for name, key in keys.items()}

    def seat(family: str, position: PositionEntry) -> Iterator[Values]:
        return (rows.seat_row(ids[(family, position.code)], feature) for feature in position.seat)

    fresh = [entry for entry in entries if keys[(entry[0], entry[2].code)] not in outcome.found]
    insert_rows(
        loading.connection, _SEAT, (row for family, _, position in fresh for row in seat(family, position))
    )
    kept = (entry for entry in entries if keys[(entry[0], entry[2].code)] in outcome.found)
    for chunk in chunks(kept):
        chunk_ids = [ids[(family, position.code)] for family, _, position in chunk]
        stored = stored_children(loading.connection, _SEAT, "position_id", chunk_ids)
        for (family, _, position), position_id in zip(chunk, chunk_ids, strict=True):
            if {filled(row.items()) for row in seat(family, position)} != stored[position_id]:
                outcome.differ(f"{family} {position.code}")
    return ids


def load_starters(
    loading: Loading, starters: Sequence[StarterEntry], family_ids: rows.Ids
) -> dict[ItemKey, str]:
    """Add missing starters; return the id of every starter."""
    outcome = loading.add(
        STARTERS,
        starters,
        lambda starter: {
            "family_id": family_ids[(starter.family,)],
            "maker_code": starter.maker,
            "number": starter.number,
            "description": starter.description,
        },
        lambda starter: str(starter.key),
        remember=True,
    )
    return {ItemKey("starter", *key): starter_id for key, starter_id in outcome.ids.items()}


def load_listings(
    loading: Loading,
    listings: Sequence[ListingEntry],
    position_ids: Mapping[tuple[str, str], str],
    items: Mapping[ItemKey, str],
) -> None:
    """Add missing listings."""
    loading.add(
        LISTINGS,
        listings,
        lambda listing: {
            "position_id": position_ids[(listing.family, listing.position)],
            "part_id": items[ItemKey("part", listing.maker, listing.number)],
        },
        lambda listing: f"{listing.family} {listing.position} {listing.maker} {listing.number}",
    )
