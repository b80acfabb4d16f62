"""Queries of whoever keeps numbers and supersessions: withdrawn ones are among them."""

from collections.abc import Collection, Sequence
from typing import Any, Literal

from sqlalchemy import Row, Select, func, select
from sqlmodel import SQLModel

from api.columns import columns
from api.database import ReadSession
from api.interchange.store import parts_by_id
from api.offers.shapes import ItemReference
from api.starters.store import starters_by_id
from api.starters.tables import Starter
from api.wear_parts.entries import ItemKey, NumberEntry
from api.wear_parts.numbers import normalise_number
from api.wear_parts.tables import Number, Part, Supersession

Owner = Literal["part", "starter"]

_number = columns(Number)
_part = columns(Part)
_starter = columns(Starter)
_supersession = columns(Supersession)
_OWNED = {"part": (_part, _number.part_id), "starter": (_starter, _number.starter_id)}


def find_owner(reads: ReadSession, owner: Owner, item_id: str) -> Row[Any] | None:
    """Return (id, maker_code, number, withdrawn_on) of a part or a starter, or nothing."""
    item, _ = _OWNED[owner]
    return reads.first(
        select(item.id, item.maker_code, item.number, item.withdrawn_on).where(item.id == item_id)
    )


def list_item_numbers(
    reads: ReadSession, owner: Owner, item_id: str, after: str | None, limit: int
) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` numbers of a part or a starter in the order they came, and how many it has."""
    _, reference = _OWNED[owner]
    total = reads.number(select(func.count()).select_from(Number).where(reference == item_id))
    statement = _item_numbers(owner).where(reference == item_id).order_by(_number.id).limit(limit)
    return reads.rows(statement if after is None else statement.where(_number.id > after)), total


def find_item_number(reads: ReadSession, owner: Owner, item_id: str, number_id: str) -> Row[Any] | None:
    """Return a number of a part or a starter as `list_item_numbers` does, or nothing."""
    _, reference = _OWNED[owner]
    return reads.first(_item_numbers(owner).where(reference == item_id, _number.id == number_id))


def _item_numbers(owner: Owner) -> Select[Any]:
    item, reference = _OWNED[owner]
    return select(
        *_number,
        item.id.label("item_id"),
        item.maker_code.label("item_maker"),
        item.number.label("item_number"),
    ).join(SQLModel.metadata.tables[owner], item.id == reference)


def kept_numbers() -> Select[Any]:
    """Select numbers, withdrawn or not, with `maker_code` and `item_number` of what goes by them."""
    return (
        select(
            *_number,
            func.coalesce(_part.maker_code, _starter.maker_code).label("maker_code"),
            func.coalesce(_part.number, _starter.number).label("item_number"),
        )
        .select_from(Number)
        .outerjoin(Part, _part.id == _number.part_id)
        .outerjoin(Starter, _starter.id == _number.starter_id)
    )


def number_entry(row: Row[Any]) -> NumberEntry:
    """Return a number of `kept_numbers` as the rules take it."""
    item = ItemKey("part" if row.part_id else "starter", row.maker_code, row.item_number)
    return NumberEntry(item, row.scheme, row.issuer, row.written, row.normalised)


def is_own(row: Row[Any]) -> bool:
    """Tell whether a number of `list_item_numbers` is the maker's own of its part or starter."""
    own = normalise_number(row.item_number)
    return (row.scheme, row.issuer, row.normalised) == ("maker", row.item_maker, own)


def own_number(reads: ReadSession, item: ItemKey) -> Row[Any] | None:
    """Return (id, written, issuer) of the maker's own number of a part or a starter, or nothing."""
    owned = _part if item.owner == "part" else _starter
    reference = _number.part_id if item.owner == "part" else _number.starter_id
    return reads.first(
        select(_number.id, _number.written, _number.issuer)
        .join(SQLModel.metadata.tables[item.owner], owned.id == reference)
        .where(
            owned.maker_code == item.maker,
            owned.number == item.number,
            _number.scheme == "maker",
            _number.issuer == item.maker,
            _number.normalised == normalise_number(item.number),
        )
    )


def list_supersessions(reads: ReadSession, after: str | None, limit: int) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` supersessions in order of the old number's id, and how many there are.

    A row has (old_number_id, new_number_id, superseded_on, withdrawn_on) and of both numbers the part or
    starter: old_part, old_starter, new_part, new_starter.
    """
    total = reads.number(select(func.count()).select_from(Supersession))
    statement = _supersessions().order_by(_supersession.old_number_id).limit(limit)
    return reads.rows(
        statement if after is None else statement.where(_supersession.old_number_id > after)
    ), total


def find_supersession(reads: ReadSession, old_number_id: str) -> Row[Any] | None:
    """Return the supersession of a number as `list_supersessions` does, or nothing."""
    return reads.first(_supersessions().where(_supersession.old_number_id == old_number_id))


def _supersessions() -> Select[Any]:
    old, new = (SQLModel.metadata.tables["number"].alias(name) for name in ("old", "new"))
    return (
        select(
            *_supersession,
            old.c.part_id.label("old_part"),
            old.c.starter_id.label("old_starter"),
            new.c.part_id.label("new_part"),
            new.c.starter_id.label("new_starter"),
        )
        .join(old, old.c.id == _supersession.old_number_id)
        .join(new, new.c.id == _supersession.new_number_id)
    )


def item_references(
    reads: ReadSession, part_ids: Collection[str], starter_ids: Collection[str]
) -> dict[str, ItemReference]:
    """Return which parts and starters are meant, by their id."""
    kinds: tuple[tuple[Owner, dict[str, Row[Any]]], ...] = (
        ("part", parts_by_id(reads, part_ids)),
        ("starter", starters_by_id(reads, starter_ids)),
    )
    return {
        item: ItemReference(
            owner=owner, id=item, maker=row.maker_name, number=row.number, description=row.description
        )
        for owner, rows in kinds
        for item, row in rows.items()
    }
