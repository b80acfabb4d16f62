"""Makers of parts and starters, as whoever keeps the catalogue writes them."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Row, insert, update

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.exchange.catalogue_rows import maker_row
from api.upkeep.entry_types import Code, Line, Withdrawable, patch_of
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.upkeep.withdrawals import withdrawing
from api.wear_parts.check_part import check_maker
from api.wear_parts.entries import MakerEntry
from api.wear_parts.shapes import maker_answer
from api.wear_parts.store import find_maker
from api.wear_parts.tables import Maker

_maker = columns(Maker)


class MakerRequest(Withdrawable):
    """A maker; while it is withdrawn, its parts and starters count as withdrawn too."""

    code: Code
    name: Line


def _find(reads: ReadSession, address: Address) -> Row[Any] | None:
    return find_maker(reads, address[0])


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    return {"code": row.code, "name": row.name}


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> MakerEntry:
    return check_maker(entry)


def _refuse(reads: ReadSession, entry: MakerEntry, kept: Row[Any] | None) -> None:
    if kept is None and find_maker(reads, entry.code) is not None:
        raise AlreadyKnown("maker", entry.code, "there is one of this code")


def _add(writes: WriteSession, entry: MakerEntry) -> Address:
    writes.run(insert(Maker), maker_row(entry))
    return (entry.code,)


def _change(writes: WriteSession, row: Row[Any], entry: MakerEntry) -> None:
    writes.run(update(Maker).where(_maker.code == row.code).values(**maker_row(entry)))


MAKERS = Noun(
    name="maker",
    scope="catalogue",
    model=MakerRequest,
    patch_model=patch_of(MakerRequest),
    fixed=("code",),
    path=lambda row: f"/v1/makers/{row.code}",
    address=lambda row: (row.code,),
    find=_find,
    entry=_entry,
    check=_check,
    refuse=_refuse,
    add=_add,
    change=_change,
    set_withdrawn=withdrawing(Maker, "code"),
    answer=lambda reads, row: maker_answer(row),
)
