"""What a starter and a listing must be. Pure."""

from collections.abc import Collection, Mapping

from api.starters.entries import ListingEntry, StarterEntry
from api.wear_parts.entry_fields import EntryFields

STARTER_FIELDS = ("maker", "number", "family", "description")
LISTING_FIELDS = ("family", "position", "maker", "number")


def check_starter(
    entry: Mapping[str, object], makers: Collection[str], families: Collection[str]
) -> StarterEntry:
    """Return the starter that an entry states, of a known maker and family.

    Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, STARTER_FIELDS)
    starter = StarterEntry(
        maker=fields.known("maker", makers, "maker"),
        number=fields.maker_number("number"),
        family=fields.known("family", families, "family"),
        description=fields.text("description"),
    )
    fields.settle()
    return starter


def check_listing(
    entry: Mapping[str, object],
    kinds_by_family: Mapping[str, Mapping[str, str | None]],
    kind_of_part: Mapping[tuple[str, str], str],
) -> ListingEntry:
    """Return the listing that an entry states: a known part for a position of a family.

    `kinds_by_family` leads from each known family to its positions and their kinds, `kind_of_part`
    from each known maker and number to the part's kind, which is the position's. Raises
    `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, LISTING_FIELDS)
    family = fields.known("family", kinds_by_family, "family")
    maker, number = fields.text("maker"), fields.text("number")
    positions = kinds_by_family.get(family)
    position = (
        fields.text("position") if positions is None else fields.known("position", positions, "position")
    )
    kind = kind_of_part.get((maker, number))
    if maker and number and kind is None:
        fields.refuse("number", number, f"the number of a known part of {maker}", "unknown_part")
    if positions and position in positions and kind is not None and positions[position] != kind:
        wanted = positions[position] or "a kind, which this position has not"
        fields.refuse("number", number, f"a part of {wanted}, not a {kind}", "other_kind")
    fields.settle()
    return ListingEntry(family, position, maker, number)
