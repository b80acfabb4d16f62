"""A stored family, position, starter or listing, given back in the files' words, reads as it is stored."""

from collections.abc import Mapping
from typing import Any

import pytest
from sqlalchemy import Row, select

from api.columns import columns
from api.database import Database, ReadSession
from api.starters.entries import FamilyEntry
from api.starters.store import family_codes, family_entry, find_family, list_listings, positions_of, seats_of
from api.starters.tables import Starter
from api.starters.vocabulary import SEAT_CHOICES, SEAT_FEATURES
from api.upkeep.families import FAMILIES
from api.upkeep.family_bodies import SeatRequest
from api.upkeep.listings import LISTINGS
from api.upkeep.noun import Noun
from api.upkeep.positions import POSITIONS
from api.upkeep.read_entry import read_entry
from api.upkeep.starters import STARTERS


def stored_families(reads: ReadSession) -> list[FamilyEntry]:
    """Return every family as the rules take it, from its rows."""
    found = []
    for code in family_codes(reads):
        row = find_family(reads, code)
        assert row is not None
        found.append(family_entry(row, positions_of(reads, row.id), seats_of(reads, row.id)))
    return found


def again(noun: Noun[Any], reads: ReadSession, row: Row[Any], owners: Mapping[str, str]) -> Any:
    """Return what a body with the stored members alone would be read as."""
    entry, withdrawn_on = read_entry(noun, reads, noun.entry(reads, row), owners)
    assert withdrawn_on is None
    noun.refuse(reads, entry, row)
    noun.refuse_standing(reads, entry, row)
    return entry


def test_every_family_reads_back_as_it_is_stored(seeded_database: Database) -> None:
    with seeded_database.read() as reads:
        stored = stored_families(reads)
        assert len(stored) > 20
        for family in stored:
            row = FAMILIES.find(reads, (family.code,))
            assert row is not None
            read = again(FAMILIES, reads, row, {})
            assert in_order(read) == in_order(family)


def in_order(family: FamilyEntry) -> Any:
    """Return a family for comparing: the features of a seat in order of name."""
    positions = [
        (one.code, one.kind, one.quantity, sorted(one.seat, key=lambda feature: feature.feature))
        for one in family.positions
    ]
    return {name: getattr(family, name) for name in family.__slots__ if name in NAMES}, positions


NAMES = tuple(name for name in FamilyEntry.__annotations__ if name != "positions")


def test_every_position_reads_back_as_it_is_stored(seeded_database: Database) -> None:
    with seeded_database.read() as reads:
        for family in stored_families(reads):
            for position in family.positions:
                row = POSITIONS.find(reads, (family.code, position.code))
                assert row is not None
                read = again(POSITIONS, reads, row, {"family": family.code}).position
                assert (read.code, read.kind, read.quantity) == (
                    position.code,
                    position.kind,
                    position.quantity,
                )
                assert set(read.seat) == set(position.seat)


def test_every_starter_reads_back_as_it_is_stored(seeded_database: Database) -> None:
    with seeded_database.read() as reads:
        ids = [row.id for row in reads.rows(select(columns(Starter).id))]
        assert len(ids) > 50
        for starter_id in ids:
            row = STARTERS.find(reads, (starter_id,))
            assert row is not None
            read = again(STARTERS, reads, row, {})
            assert (read.maker, read.number, read.family, read.description) == (
                row.maker_code,
                row.number,
                row.family_code,
                row.description,
            )


def test_every_listing_reads_back_as_it_is_stored(seeded_database: Database) -> None:
    count = 0
    with seeded_database.read() as reads:
        for code in family_codes(reads):
            family = find_family(reads, code)
            assert family is not None
            for position in positions_of(reads, family.id):
                for one in list_listings(reads, position.id, None, 1000)[0]:
                    row = LISTINGS.find(reads, (code, position.code, one.id))
                    assert row is not None
                    read = again(LISTINGS, reads, row, {"family": code, "position": position.code})
                    assert (read.part_id, read.position.id) == (row.id, position.id)
                    count += 1
    assert count > 200


def test_the_contract_of_a_seat_names_the_features_that_the_rule_takes() -> None:
    assert set(SeatRequest.model_fields) == set(SEAT_FEATURES)


@pytest.mark.parametrize("feature", SEAT_CHOICES)
def test_the_contract_of_a_seat_names_the_choices_that_the_rule_takes(feature: str) -> None:
    schema = SeatRequest.model_json_schema()["properties"][feature]["anyOf"][0]
    assert tuple(schema["enum"]) == SEAT_CHOICES[feature]
