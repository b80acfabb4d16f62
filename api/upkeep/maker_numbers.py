"""The number by which a maker calls a part or a starter: unique, found by its form, kept with the item."""

from typing import Any

from sqlalchemy import Row, insert, update
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.exchange.catalogue_rows import number_row
from api.interchange.stored_numbers import kept_numbers, number_entry
from api.upkeep.noun import AlreadyKnown
from api.wear_parts.check_part import own_number
from api.wear_parts.claimed_numbers import claim_of
from api.wear_parts.entries import ItemKey
from api.wear_parts.tables import Number

_number = columns(Number)


def refuse_taken_number(reads: ReadSession, item: ItemKey, kept: Row[Any] | None) -> None:
    """Raise `AlreadyKnown` where another part or starter of the maker has this number, however written.

    `kept` is the row of the item that is to be called so, if there is one; a further number of its own that
    says the same is in the way too, as `check_number` has it the other way round.
    """
    claim = claim_of(own_number(item))
    for row in reads.rows(
        kept_numbers().where(
            _number.scheme == "maker",
            _number.issuer == item.maker,
            _number.normalised == own_number(item).normalised,
        )
    ):
        other = number_entry(row)
        if kept is not None and kept.id in (row.part_id, row.starter_id):
            if other != own_number(other.item):
                raise AlreadyKnown(
                    item.owner, item.number, "it goes by this number already, as a further one"
                )
        elif claim_of(other) == claim:
            why = f"{item.maker} has the {other.item.owner} {other.item.number!r}, which is the same number"
            raise AlreadyKnown(item.owner, item.number, why)


def add_own_number(writes: WriteSession, item: ItemKey, item_id: str) -> None:
    """Keep the maker's number of a new part or starter."""
    row = number_row(own_number(item), {item: item_id})
    writes.run(insert(Number), {"id": str(uuid7()), **row})


def change_own_number(writes: WriteSession, kept: Row[Any], item: ItemKey) -> None:
    """Keep what the part or starter of a row is called now; the number keeps its id, so references hold."""
    before = own_number(ItemKey(item.owner, kept.maker_code, kept.number))
    after = number_row(own_number(item), {item: kept.id})
    writes.run(
        update(Number)
        .where(
            (_number.part_id if item.owner == "part" else _number.starter_id) == kept.id,
            _number.scheme == before.scheme,
            _number.issuer == before.issuer,
            _number.normalised == before.normalised,
        )
        .values(**after)
    )
