"""Every maker, size and part of the seed catalogue, told in the words of a body, is the one that was read."""

from collections.abc import Iterator
from typing import Any

import pytest
from databases import new_place
from sqlalchemy import select

from api.columns import columns
from api.database import ReadSession
from api.exchange.catalogue import Catalogue
from api.exchange.read_catalogue import read_catalogue
from api.interchange.answer_part import find_part
from api.travelling import travelling
from api.upkeep.makers import MAKERS
from api.upkeep.noun import Noun
from api.upkeep.parts import PARTS
from api.upkeep.sizes import SIZES
from api.wear_parts.store import find_maker, find_size, kind_codes, maker_codes, size_codes
from api.wear_parts.stored_kinds import kind_entry
from api.wear_parts.tables import Part
from api.wire.inputs import read_value


@pytest.fixture(scope="module")
def reads() -> Iterator[ReadSession]:
    with new_place("sqlite", "seeded") as place:
        database = place.open()
        with database.read() as session:
            yield session
        database.close()


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(travelling("seed_catalog"))


def told_again(reads: ReadSession, noun: Noun[Any], row: Any) -> Any:
    """Return what the rule makes of a stored row told in the words of a body, after the contract's word."""
    assert row is not None
    told = noun.entry(reads, row)
    read_value(told, noun.model)
    checked = noun.check(reads, {name: held for name, held in told.items() if held is not None})
    noun.refuse(reads, checked, row)
    return checked


def test_every_kind_is_the_one_that_was_read(reads: ReadSession, catalogue: Catalogue) -> None:
    assert {code: kind_entry(reads, code) for code in kind_codes(reads)} == {
        kind.code: kind for kind in catalogue.kinds
    }
    assert kind_entry(reads, "gearbox") is None


def test_every_maker_is_the_one_that_was_read(reads: ReadSession, catalogue: Catalogue) -> None:
    found = {code: told_again(reads, MAKERS, find_maker(reads, code)) for code in maker_codes(reads)}
    assert found == {maker.code: maker for maker in catalogue.makers}


def test_every_size_is_the_one_that_was_read(reads: ReadSession, catalogue: Catalogue) -> None:
    found = {code: told_again(reads, SIZES, find_size(reads, code)) for code in size_codes(reads)}
    assert found == {size.code: size for size in catalogue.sizes}


def test_every_part_is_the_one_that_was_read(reads: ReadSession, catalogue: Catalogue) -> None:
    ids = [row.id for row in reads.rows(select(columns(Part).id))]
    found = {part.key: part for part in (told_again(reads, PARTS, find_part(reads, one)) for one in ids)}
    assert found == {part.key: part for part in catalogue.parts}
