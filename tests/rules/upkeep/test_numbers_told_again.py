"""Every further number and supersession of the seed catalogue, told in a body's words, is what is stored."""

from collections.abc import Iterator
from typing import Any

import pytest
from databases import new_place
from sqlalchemy import select

from api.columns import columns
from api.database import ReadSession
from api.exchange.catalogue_rows import number_row
from api.interchange.stored_numbers import Owner, find_item_number, find_supersession, is_own, own_number
from api.upkeep.entry_types import Withdrawable
from api.upkeep.known_items import find_item
from api.upkeep.noun import Noun
from api.upkeep.numbers import PART_NUMBERS, STARTER_NUMBERS
from api.upkeep.supersessions import SUPERSESSIONS
from api.wear_parts.entries import NumberEntry
from api.wear_parts.tables import Number, Supersession
from api.wire.inputs import read_value

_number = columns(Number)
_supersession = columns(Supersession)


@pytest.fixture(scope="module")
def reads() -> Iterator[ReadSession]:
    with new_place("sqlite", "seeded") as place:
        database = place.open()
        with database.read() as session:
            yield session
        database.close()


def checked(noun: Noun[Any], reads: ReadSession, row: Any, **owners: str) -> Any:
    told = {name: held for name, held in noun.entry(reads, row).items() if held is not None}
    assert isinstance(read_value(told, noun.model), Withdrawable)
    entry = noun.check(reads, {**told, **owners})
    noun.refuse(reads, entry, row)
    noun.refuse_standing(reads, entry, row)
    return entry


@pytest.mark.parametrize(
    ("owner", "noun", "least"), [("part", PART_NUMBERS, 500), ("starter", STARTER_NUMBERS, 50)]
)
def test_every_further_number_is_checked_to_what_is_stored(
    reads: ReadSession, owner: Owner, noun: Noun[NumberEntry], least: int
) -> None:
    reference = _number[f"{owner}_id"]
    told = 0
    for number_id, item_id in reads.rows(select(_number.id, reference).where(reference.is_not(None))):
        row = find_item_number(reads, owner, item_id, number_id)
        assert row is not None
        assert noun.address(row) == (item_id, number_id)
        if is_own(row):
            continue
        entry = checked(noun, reads, row, **{owner: item_id})
        item = find_item(reads, entry.item)
        assert item is not None
        kept = number_row(entry, {entry.item: item.id})
        assert kept == {name: getattr(row, name) for name in kept}
        told += 1
    assert told > least


def test_every_supersession_is_checked_to_what_is_stored(reads: ReadSession) -> None:
    ids = [row.old_number_id for row in reads.rows(select(_supersession.old_number_id))]
    for old_number_id in ids:
        row = find_supersession(reads, old_number_id)
        assert row is not None
        entry = checked(SUPERSESSIONS, reads, row)
        old, new = own_number(reads, entry.old), own_number(reads, entry.new)
        assert old is not None
        assert new is not None
        assert (old.id, new.id, entry.on) == (row.old_number_id, row.new_number_id, row.superseded_on)
    assert len(ids) > 50
