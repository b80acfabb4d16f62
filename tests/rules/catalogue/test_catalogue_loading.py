"""Loading a catalogue adds what is missing and keeps what is there."""

import shutil
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import count as count_up
from pathlib import Path

import attrs
import pytest
from sqlalchemy import Connection, Engine, event, text

from api.database import Database
from api.every_table import TABLES
from api.exchange.catalogue import Catalogue
from api.exchange.load_catalogue import LoadReport, is_empty, load_catalogue
from api.exchange.missing_rows import CHUNK
from api.exchange.read_catalogue import read_catalogue
from api.exchange.refuse_overlaps import OffersOverlap
from api.exchange.refuse_shared_numbers import NumberNamesTwo
from api.wear_parts.entries import ItemKey, NumberEntry, SupersessionEntry
from api.wear_parts.supersessions import SupersessionCycle

VALID = Path(__file__).parent / "valid"
TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(VALID)


@pytest.fixture
def connection(database: Database) -> Iterator[Connection]:
    """A transaction on a migrated database without rows, on SQLite and on PostgreSQL."""
    with database.write() as session:
        yield session.connection


def count(connection: Connection, table: str) -> int:
    return int(connection.execute(text(f"SELECT count(*) FROM {table}")).scalar_one())


def version(connection: Connection) -> int | None:
    found: int | None = connection.execute(text("SELECT version FROM catalogue_state WHERE id = 1")).scalar()
    return found


def test_every_entry_becomes_a_row(connection: Connection, catalogue: Catalogue) -> None:
    report = load_catalogue(connection, catalogue, TODAY)
    dimensions = [dimension for kind in catalogue.kinds for dimension in kind.dimensions]
    expected = {
        "kinds": 3,
        "dimensions": 6 + 4 + 3,
        "choices": 2 + 3 + 2,
        "makers": 2,
        "sizes": 5,
        "parts": 5,
        "families": 3,
        "positions": 6 + 1 + 1,
        "starters": 3,
        "listings": 5,
        "numbers": 4 + 5 + 3,  # the further ones, and the maker's own of every part and starter
        "supersessions": 2,
        "suppliers": 2,
        "offers": 3,
        "labour": 3,
        "shop_terms": 2,
        "lives": 3,
        "usage": 2,
    }
    assert report.added == expected
    assert set(report.kept.values()) == {0}
    assert report.differing == {}
    assert len(dimensions) == count(connection, "dimension")
    assert count(connection, "size_value") == 7 * 1 + 6 - 1 + 4 + 4 + 3
    assert count(connection, "seat_feature") == 2 + 1 + 3 + 2


def test_rows_say_what_the_entries_say(connection: Connection, catalogue: Catalogue) -> None:
    load_catalogue(connection, catalogue, TODAY)
    offer = connection.execute(
        text(
            "SELECT price_minor, core_deposit_minor, offer.currency, stock, part.number, starter.number"
            " FROM offer JOIN supplier ON supplier.id = supplier_id"
            " LEFT JOIN part ON part.id = part_id LEFT JOIN starter ON starter.id = starter_id"
            " WHERE supplier.code = 'north' AND offer.number = 'Q2'"
        )
    ).one()
    assert tuple(offer) == (14_000, 3_500, "USD", None, None, "S-1")
    numbers = connection.execute(
        text(
            "SELECT scheme, issuer, written, normalised FROM number"
            " WHERE normalised LIKE '%100' OR scheme = 'gtin' ORDER BY 1, 4"
        )
    ).all()
    assert [tuple(row) for row in numbers] == [
        ("gtin", None, "036000241457", "00036000241457"),
        ("gtin", None, "6291041500213", "06291041500213"),
        ("maker", "alpha", "AB-100", "AB100"),
    ]
    chains = connection.execute(
        text(
            "SELECT old.written, new.written AS successor, superseded_on FROM supersession"
            " JOIN number AS old ON old.id = old_number_id"
            " JOIN number AS new ON new.id = new_number_id ORDER BY 1"
        )
    ).all()
    assert [tuple(row) for row in chains] == [
        ("AB-100", "AB-101", "2020-02-29"),
        ("S-1", "S-2", "2021-06-01"),
    ]
    seat = connection.execute(
        text(
            "SELECT feature, lower_nm, upper_nm, count_value, text_value FROM seat_feature"
            " JOIN position ON position.id = position_id JOIN family ON family.id = family_id"
            " WHERE family.code = 'D-1' AND position.code = 'drive_clutch' ORDER BY 1"
        )
    ).all()
    assert [tuple(row) for row in seat] == [
        ("ring_gear_teeth", None, None, 138, None),
        ("travel", 15_000_000, 16_500_000, None, None),
    ]


def test_ids_are_uuids_in_the_order_of_time(connection: Connection, catalogue: Catalogue) -> None:
    load_catalogue(connection, catalogue, TODAY)
    ids = connection.execute(text("SELECT id FROM part ORDER BY number")).scalars().all()
    assert all(len(part_id) == 36 and part_id[14] == "7" for part_id in ids)
    assert ids == sorted(ids)


def test_loading_again_adds_nothing(connection: Connection, catalogue: Catalogue) -> None:
    first = load_catalogue(connection, catalogue, TODAY)
    before = {model.__tablename__: count(connection, str(model.__tablename__)) for model in TABLES}
    again = load_catalogue(connection, catalogue, TODAY)
    assert not again.changed
    assert (again.kept, again.differing) == (first.added, {})
    assert before == {model.__tablename__: count(connection, str(model.__tablename__)) for model in TABLES}


def test_version_grows_only_where_something_was_added(connection: Connection, catalogue: Catalogue) -> None:
    assert version(connection) is None
    load_catalogue(connection, attrs.evolve(catalogue, offers=()), TODAY)
    assert version(connection) == 1
    load_catalogue(connection, attrs.evolve(catalogue, offers=()), TODAY)
    assert version(connection) == 1
    load_catalogue(connection, catalogue, TODAY)
    assert version(connection) == 2


EDITS = {
    "parts": ("UPDATE part SET description = 'Edited' WHERE number = 'AB-100'", "part alpha AB-100"),
    "offers": ("UPDATE offer SET price_minor = 999 WHERE number = 'Q2'", "north Q2"),
    "makers": ("UPDATE maker SET name = 'Edited' WHERE code = 'beta'", "beta"),
    "dimensions": ("UPDATE dimension SET slip_chance = 0.5 WHERE code = 'teeth'", "drive_clutch teeth"),
    "choices": ("UPDATE dimension_choice SET label = 'Edited' WHERE value = 'disc'", "contact form disc"),
    "sizes": (
        "UPDATE size_value SET upper_nm = upper_nm + 1 WHERE dimension_code = 'tip_diameter'",
        "drive-9",
    ),
    "positions": ("DELETE FROM seat_feature WHERE feature = 'disc_travel'", "D-1 contact_disc"),
    "supersessions": (
        "UPDATE supersession SET superseded_on = '2020-03-01' WHERE superseded_on < '2021'",
        "part alpha AB-100",
    ),
    "labour": ("UPDATE labour_time SET hours_thousandths = 1 WHERE code = 'easy'", "access easy"),
    "shop_terms": ("UPDATE shop_terms SET tax_included = 1 WHERE currency = 'USD'", "USD"),
    "numbers": (
        "UPDATE number SET written = 'x 77' WHERE normalised = 'X77'",
        "part beta B 200 aftermarket X-77",
    ),
    "starters": ("UPDATE starter SET description = 'Edited' WHERE number = 'T 9'", "starter beta T 9"),
    "families": ("UPDATE family SET notes = 'Edited' WHERE code = 'I-1'", "I-1"),
    "suppliers": ("UPDATE supplier SET place = 'Edited' WHERE code = 'south'", "south"),
    "kinds": ("UPDATE kind SET unlisted_prior = 0.5 WHERE code = 'contact'", "contact"),
}


@pytest.mark.parametrize("noun", sorted(EDITS))
def test_an_edit_is_kept_and_told(connection: Connection, catalogue: Catalogue, noun: str) -> None:
    edit, name = EDITS[noun]
    load_catalogue(connection, catalogue, TODAY)
    assert connection.execute(text(edit)).rowcount == 1
    dump = contents(connection)
    report = load_catalogue(connection, catalogue, TODAY)
    assert report.differing == {noun: (name,)}
    assert not report.changed
    assert contents(connection) == dump


def test_what_was_withdrawn_stays_withdrawn(connection: Connection, catalogue: Catalogue) -> None:
    load_catalogue(connection, catalogue, TODAY)
    connection.execute(text("UPDATE part SET withdrawn_on = '2026-01-01'"))
    report = load_catalogue(connection, catalogue, TODAY)
    assert (report.changed, report.differing) == (False, {})
    assert connection.execute(text("SELECT count(*) FROM part WHERE withdrawn_on IS NOT NULL")).scalar() == 5


def test_what_is_missing_is_added_beside_what_is_there(connection: Connection, catalogue: Catalogue) -> None:
    load_catalogue(connection, catalogue, TODAY)
    connection.execute(text("DELETE FROM listing"))
    connection.execute(text("DELETE FROM offer WHERE number = 'Q2'"))
    connection.execute(text("DELETE FROM seat_feature"))
    connection.execute(text("DELETE FROM position WHERE code = 'contact_disc'"))
    report = load_catalogue(connection, catalogue, TODAY)
    assert {noun: added for noun, added in report.added.items() if added} == {
        "positions": 1,
        "listings": 5,
        "offers": 1,
    }
    assert connection.execute(text("SELECT feature FROM seat_feature")).scalars().all() == ["disc_travel"]


def test_circle_with_stored_supersessions_is_refused(connection: Connection, catalogue: Catalogue) -> None:
    load_catalogue(connection, catalogue, TODAY)
    back = SupersessionEntry(
        ItemKey("part", "alpha", "AB-101"), ItemKey("part", "alpha", "AB-100"), "2022-01-01"
    )
    with pytest.raises(SupersessionCycle) as refused:
        load_catalogue(connection, attrs.evolve(catalogue, supersessions=(back,)), TODAY)
    assert sorted(refused.value.numbers) == ["AB-100", "AB-101"]


def test_a_withdrawn_supersession_closes_no_circle(connection: Connection, catalogue: Catalogue) -> None:
    load_catalogue(connection, catalogue, TODAY)
    connection.execute(text("UPDATE supersession SET withdrawn_on = '2026-11-01'"))
    back = SupersessionEntry(
        ItemKey("part", "alpha", "AB-101"), ItemKey("part", "alpha", "AB-100"), "2022-01-01"
    )
    report = load_catalogue(connection, attrs.evolve(catalogue, supersessions=(back,)), TODAY)
    assert report.added["supersessions"] == 1


@pytest.mark.parametrize(
    ("valid_from", "valid_until", "clashes"),
    [
        ("2026-01-05", "2027-01-05", True),
        ("2027-01-04", None, True),
        ("2025-01-01", "2026-01-06", True),
        ("2025-01-01", None, True),
        ("2027-01-05", None, False),
        ("2025-01-01", "2026-01-05", False),
    ],
)
def test_offer_that_holds_beside_a_stored_one_is_refused(
    connection: Connection, catalogue: Catalogue, valid_from: str, valid_until: str | None, clashes: bool
) -> None:
    """Q1 of the folder holds from 2026-01-05 to the day before 2027-01-05."""
    load_catalogue(connection, catalogue, TODAY)
    first = catalogue.offers[0]
    assert (first.number, first.valid_from, first.valid_until) == ("Q1", "2026-01-05", "2027-01-05")
    other = attrs.evolve(first, number="Q9", valid_from=valid_from, valid_until=valid_until)
    more = attrs.evolve(catalogue, offers=(other,))
    if clashes:
        with pytest.raises(OffersOverlap) as refused:
            load_catalogue(connection, more, TODAY)
        assert {refused.value.later, refused.value.earlier} == {"Q1", "Q9"}
        assert "of north" in refused.value.explain()
        connection.execute(text("UPDATE offer SET withdrawn_on = '2026-11-01' WHERE number = 'Q1'"))
    load_catalogue(connection, more, TODAY)
    assert count(connection, "offer") == len(catalogue.offers) + 1


def test_a_gtin_that_a_stored_item_goes_by_is_refused(connection: Connection, catalogue: Catalogue) -> None:
    """GS1 General Specifications: a GTIN names one item, with or without its leading zeros."""
    load_catalogue(connection, catalogue, TODAY)
    taken = NumberEntry(ItemKey("part", "beta", "B 200"), "gtin", None, "06291041500213", "06291041500213")
    more = attrs.evolve(catalogue, numbers=(taken,))
    with pytest.raises(NumberNamesTwo) as refused:
        load_catalogue(connection, more, TODAY)
    assert refused.value.holders == ("part beta B 200", "part alpha AB-100")
    assert "06291041500213" in refused.value.explain() and "6291041500213" in refused.value.explain()


def test_a_withdrawn_gtin_is_free_for_another_item(connection: Connection, catalogue: Catalogue) -> None:
    load_catalogue(connection, catalogue, TODAY)
    connection.execute(text("UPDATE number SET withdrawn_on = '2026-11-01' WHERE scheme = 'gtin'"))
    taken = NumberEntry(ItemKey("part", "beta", "B 200"), "gtin", None, "06291041500213", "06291041500213")
    assert load_catalogue(connection, attrs.evolve(catalogue, numbers=(taken,)), TODAY).added["numbers"] == 1


@pytest.mark.parametrize("owner", ["part", "starter"])
def test_a_makers_number_that_a_stored_item_has_is_refused_however_it_is_written(
    connection: Connection, catalogue: Catalogue, owner: str
) -> None:
    """AB-100 is a part of alpha; as `ab 100` it would be a second part, or a starter, of the same number."""
    load_catalogue(connection, catalogue, TODAY)
    if owner == "part":
        more = attrs.evolve(catalogue, parts=(attrs.evolve(catalogue.parts[0], number="ab 100"),))
    else:
        more = attrs.evolve(catalogue, starters=(attrs.evolve(catalogue.starters[0], number="ab 100"),))
    bare = attrs.evolve(more, listings=(), numbers=(), supersessions=(), offers=())
    with pytest.raises(NumberNamesTwo) as refused:
        load_catalogue(connection, bare, TODAY)
    assert refused.value.holders == (f"{owner} alpha ab 100", "part alpha AB-100")


def test_supersession_is_between_the_makers_own_numbers(connection: Connection, catalogue: Catalogue) -> None:
    other = NumberEntry(ItemKey("part", "alpha", "AB-100"), "maker", "beta", "BB 9", "BB9")
    load_catalogue(connection, attrs.evolve(catalogue, numbers=(other,)), TODAY)
    query = "SELECT written FROM number JOIN supersession ON number.id = old_number_id ORDER BY 1"
    assert connection.execute(text(query)).scalars().all() == ["AB-100", "S-1"]


def test_lapsed_offers_are_counted_to_the_day(connection: Connection, catalogue: Catalogue) -> None:
    assert load_catalogue(connection, catalogue, date(2025, 12, 30)).lapsed_offers == 0
    assert load_catalogue(connection, catalogue, date(2025, 12, 31)).lapsed_offers == 1


def test_emptiness_is_that_of_a_database_never_written(connection: Connection, catalogue: Catalogue) -> None:
    assert is_empty(connection)
    load_catalogue(connection, Catalogue(makers=catalogue.makers), TODAY)
    assert not is_empty(connection)


def test_nothing_is_committed_by_loading(database: Database, catalogue: Catalogue) -> None:
    with pytest.raises(ZeroDivisionError), database.write() as session:
        load_catalogue(session.connection, catalogue, TODAY)
        raise ZeroDivisionError
    with database.read() as session:
        assert is_empty(session.connection)


def test_statements_grow_with_chunks_not_with_rows(connection: Connection, catalogue: Catalogue) -> None:
    offer = catalogue.offers[0]
    few, many = 10, 2 * CHUNK + 10
    days = (date(1980, 1, 1) + timedelta(place) for place in count_up())  # each offer holds for one

    def statements(number: int, prefix: str) -> int:
        offers = tuple(
            attrs.evolve(
                offer,
                number=f"{prefix}{place}",
                valid_from=day.isoformat(),
                valid_until=(day + timedelta(1)).isoformat(),
            )
            for place, day in zip(range(number), days, strict=False)
        )
        seen = []

        def note(*_: object) -> None:
            seen.append(1)

        engine: Engine = connection.engine
        event.listen(engine, "before_cursor_execute", note)
        report: LoadReport = load_catalogue(connection, attrs.evolve(catalogue, offers=offers), TODAY)
        event.remove(engine, "before_cursor_execute", note)
        assert report.added["offers"] == number
        return len(seen)

    statements(few, "a")
    assert (
        statements(many, "b") - statements(few, "c") == 2 * 2
    )  # two more chunks: one look-up, one insert each


def contents(connection: Connection) -> dict[str, list[tuple[object, ...]]]:
    return {
        str(model.__tablename__): [
            tuple(row) for row in connection.execute(text(f"SELECT * FROM {model.__tablename__}"))
        ]
        for model in TABLES
    }


def test_seed_of_another_folder_adds_to_what_is_there(
    connection: Connection, catalogue: Catalogue, tmp_path: Path
) -> None:
    load_catalogue(connection, catalogue, TODAY)
    folder = Path(shutil.copytree(VALID, tmp_path / "other"))
    (folder / "makers.csv").write_text((folder / "makers.csv").read_text() + "gamma,Gamma Example Works\n")
    (folder / "parts.csv").write_text(
        (folder / "parts.csv").read_text() + "gamma,G 1,bushing,bush-plain,Bush,,,,drawing\n"
    )
    report = load_catalogue(connection, read_catalogue(folder), TODAY)
    assert {noun: added for noun, added in report.added.items() if added} == {
        "makers": 1,
        "parts": 1,
        "numbers": 1,
    }
