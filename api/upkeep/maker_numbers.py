"""The number by which a maker calls a part or a starter: unique, found by its form, kept with the item."""

from typing import Any

from sqlalchemy import Row, insert, select, update
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.exchange.catalogue_rows import number_row
from api.starters.tables import Starter
from api.upkeep.noun import AlreadyKnown
from api.wear_parts.check_part import own_number
from api.wear_parts.entries import ItemKey
from api.wear_parts.numbers import normalise_number
from api.wear_parts.tables import Number, Part

_number = columns(Number)
_part = columns(Part)
_starter = columns(Starter)


def refuse_taken_number(reads: ReadSession, item: ItemKey, kept: Row[Any] | None) -> None:
    """Raise `AlreadyKnown` where another part or starter of the maker has this number, however written.

    `kept` is the row of the item that is to be called so, if there is one; a further number of its own that
    says the same is in the way too, as `check_number` has it the other way round.
    """
    form = own_number(item).normalised
    kept_id = None if kept is None else kept.id
    for row in _of_form(reads, item.maker, form):
        owner = "part" if row.part_id else "starter"
        if (row.part_id or row.starter_id) == kept_id:
            if kept is not None and not _is_own(row, kept.maker_code, kept.number):
                raise AlreadyKnown(
                    item.owner, item.number, "it goes by this number already, as a further one"
                )
        elif row.maker_code == item.maker and normalise_number(row.number) == form:
            why = f"{item.maker} has the {owner} {row.number!r}, which is the same number"
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


def _of_form(reads: ReadSession, maker: str, form: str) -> list[Row[Any]]:
    """Return the maker's numbers of a form, each with `maker_code` and `number` of its item."""
    found: list[Row[Any]] = []
    for table, item, owner in ((Part, _part, _number.part_id), (Starter, _starter, _number.starter_id)):
        found += reads.rows(
            select(*_number, item.maker_code, item.number)
            .join(table, item.id == owner)
            .where(_number.scheme == "maker", _number.issuer == maker, _number.normalised == form)
        )
    return found


def _is_own(row: Row[Any], maker: str, number: str) -> bool:
    return (row.issuer, row.normalised) == (maker, normalise_number(number))
