"""Listings, as whoever keeps the catalogue writes them: which parts their makers list for a position."""

from collections.abc import Iterator, Mapping
from typing import Any

import attrs
from sqlalchemy import Row, insert, select, update

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import FieldFault, InvalidInput
from api.exchange.opened_catalogue import text_of
from api.starters.check_starter import check_listing
from api.starters.entries import ListingEntry
from api.starters.present import present_listing
from api.starters.routes import require_position
from api.starters.store import find_listing
from api.starters.tables import Listing
from api.upkeep.entry_types import patch_of
from api.upkeep.family_bodies import ListingRequest
from api.upkeep.known_items import MOST_SUGGESTED, Known, find_item, withdrawn_fault
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.wear_parts.entries import ItemKey
from api.wear_parts.keys import require_id
from api.wear_parts.tables import Part

_listing = columns(Listing)
_part = columns(Part)


@attrs.frozen
class PlacedListing:
    """A listing with the row of its position and the id of its part."""

    listing: ListingEntry
    position: Row[Any]
    part_id: str


def _known_parts(reads: ReadSession) -> Known[tuple[str, str], str]:
    """Return the parts by maker and number, with their kind."""

    def some() -> Iterator[tuple[str, str]]:
        first = select(_part.maker_code, _part.number).order_by(_part.maker_code, _part.number)
        return ((row.maker_code, row.number) for row in reads.rows(first.limit(MOST_SUGGESTED)))

    return Known(lambda key: find_item(reads, ItemKey("part", *key)), lambda row: str(row.kind_code), some)


def _find(reads: ReadSession, address: Address) -> Row[Any] | None:
    family, position, part = address
    require_position(reads, family, position)
    return find_listing(reads, family, position, require_id("listing", part))


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    return {"maker": row.maker_code, "number": row.number}


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> PlacedListing:
    """Check by the files' rule; a new listing is of a part that is not withdrawn."""
    position = require_position(reads, entry["family"], entry["position"])
    parts = _known_parts(reads)
    faults: list[FieldFault] = []
    listing = None
    try:
        listing = check_listing(entry, {position.family_code: {position.code: position.kind_code}}, parts)
    except InvalidInput as refused:
        faults += refused.faults
    number = text_of(entry, "number")
    part = parts.row((text_of(entry, "maker"), number))
    if part is not None and find_listing(reads, position.family_code, position.code, part.id) is None:
        faults += withdrawn_fault(part, "number", number, "part")
    if faults or listing is None or part is None:
        raise InvalidInput.of(faults)
    return PlacedListing(listing, position, part.id)


def _refuse(reads: ReadSession, entry: PlacedListing, kept: Row[Any] | None) -> None:
    if kept is not None:
        return
    position, name = entry.position, f"{entry.listing.maker} {entry.listing.number}"
    known = find_listing(reads, position.family_code, position.code, entry.part_id)
    if known is not None:
        state = "" if known.withdrawn_on is None else f", withdrawn on {known.withdrawn_on}: restore it"
        raise AlreadyKnown("listing", name, f"it is listed for this position{state}")
    for noun, day in (("position", position.withdrawn_on), ("family", position.family_withdrawn_on)):
        if day is not None:
            raise AlreadyKnown("listing", name, f"the {noun} is withdrawn from {day}")


def _add(writes: WriteSession, entry: PlacedListing) -> Address:
    writes.run(insert(Listing), {"position_id": entry.position.id, "part_id": entry.part_id})
    return (entry.position.family_code, entry.position.code, entry.part_id)


def _change(writes: WriteSession, row: Row[Any], entry: PlacedListing) -> None:
    """Nothing of a listing changes but whether it is withdrawn."""


def _set_withdrawn(writes: WriteSession, row: Row[Any], day: str | None) -> None:
    this = (_listing.position_id == row.position_id, _listing.part_id == row.id)
    writes.run(update(Listing).where(*this).values(withdrawn_on=day))


LISTINGS = Noun(
    name="listing",
    scope="catalogue",
    model=ListingRequest,
    patch_model=patch_of(ListingRequest),
    fixed=("maker", "number"),
    path=lambda row: f"/v1/families/{row.family_code}/positions/{row.position_code}/listings/{row.id}",
    address=lambda row: (row.family_code, row.position_code, row.id),
    find=_find,
    entry=_entry,
    check=_check,
    refuse=_refuse,
    add=_add,
    change=_change,
    set_withdrawn=_set_withdrawn,
    answer=lambda reads, row: present_listing(row),
)
