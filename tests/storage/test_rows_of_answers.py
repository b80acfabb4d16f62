"""What answers tell of parts: from the shelf beside the index the same as from the database's own rows.

The rows and the rule that picks an offer (`best_part_offer`) are the reference; the shelf is derived from
the same database.
"""

import operator
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from sqlalchemy import insert, select, update
from uuid_utils import uuid7

from api.access.change_keys import on_command_line
from api.access.log_changes import log_change
from api.columns import columns
from api.database import Database, ReadSession, WriteSession
from api.matching.answers.listed_parts import ListedPart
from api.matching.answers.shown_parts import ShownPart, shown_parts
from api.matching.columns.bulk import id_texts
from api.matching.columns.text_column import TextColumn
from api.matching.index import candidate_index as indexing
from api.matching.index.candidate_index import CandidateIndex, IndexedKind
from api.matching.index.changed_sizes import ChangedRows
from api.matching.index.shelf import UNDECIDED
from api.matching.readings import LengthReading
from api.matching.sizes.column_values import values_at
from api.matching.store import kind_codes, origins_of_values
from api.offers.tables import Offer, Supplier
from api.wear_parts.catalogue_version import grow_version
from api.wear_parts.store import size_values
from api.wear_parts.tables import Number, Part, Size, SizeValue, Supersession
from api.wear_parts.vocabulary import PROVENANCES

DAY = date(2026, 11, 25)
KIND = "bushing"
_number = columns(Number)
_offer = columns(Offer)
_part = columns(Part)
_supersession = columns(Supersession)
_supplier = columns(Supplier)
_size = columns(Size)
_value = columns(SizeValue)


def every_part(kind: IndexedKind) -> list[ListedPart]:
    bulk = kind.index.bulk
    rows = np.repeat(np.arange(len(bulk.columns)), np.diff(bulk.parts.start))
    return [
        ListedPart(part_id, place, row, row, 0, 0.0)
        for place, (part_id, row) in enumerate(zip(id_texts(bulk.parts.ids), rows.tolist(), strict=True))
    ]


def by_rows(reads: ReadSession, kind: IndexedKind, day: date) -> dict[str, ShownPart]:
    """Return what the database's rows tell, the shelf left aside."""
    aside = [one._replace(place=None) for one in every_part(kind)]
    return shown_parts(reads, kind, aside, day)


def compare(index: CandidateIndex, reads: ReadSession, kind: str, day: date = DAY) -> IndexedKind:
    indexed = index.of(reads, kind)
    parts = every_part(indexed)
    assert shown_parts(reads, indexed, parts, day) == by_rows(reads, indexed, day)
    return indexed


def noted(writes: WriteSession, noun: str, name: str, state: dict[str, Any] | None = None) -> None:
    """Note a change in the log, as the catalogue's own writes do."""
    state = state or {}
    version = grow_version(writes)
    log_change(writes, on_command_line(), "change", noun, name, state, state, version)


def test_the_shelf_tells_of_every_part_what_the_rows_tell(seeded_database: Database) -> None:
    index = CandidateIndex(seeded_database)
    with seeded_database.read() as reads:
        replaced = 0
        for kind in kind_codes(reads):
            for day in (DAY, DAY + timedelta(days=40), DAY - timedelta(days=400)):
                indexed = compare(index, reads, kind, day)
            shown = shown_parts(reads, indexed, every_part(indexed), DAY).values()
            assert any(one.best_offer for one in shown)
            replaced += sum(one.superseded_by is not None for one in shown)
        assert replaced


def test_the_shelf_tells_what_the_values_of_every_size_rest_on(seeded_database: Database) -> None:
    index = CandidateIndex(seeded_database)
    with seeded_database.read() as reads:
        for kind in kind_codes(reads):
            indexed = index.of(reads, kind)
            bulk, shelf = indexed.index.bulk, indexed.shelf
            ids = id_texts(bulk.size_ids)
            told = origins_of_values(reads, ids)
            assert told
            for dimension, column in shelf.provenance.items():
                for row, size_id in enumerate(ids):
                    origin = told.get((size_id, dimension))
                    known = shelf.knowledge[dimension][row]
                    assert (column[row] < 0) == (origin is None)
                    if origin is not None:
                        assert PROVENANCES[column[row]] == origin.provenance
                        assert (None if known < 0 else known) == origin.knowledge_uncertainty_nm


recorded = operator.attrgetter("applies", "lower_nm", "upper_nm", "count", "choice")


def test_sizes_of_the_index_record_what_the_database_holds(seeded_database: Database) -> None:
    """Every value of every size, as the fit checks take them, in the order of the kind."""
    index = CandidateIndex(seeded_database)
    with seeded_database.read() as reads:
        for kind in kind_codes(reads):
            indexed = index.of(reads, kind)
            columns, bulk = indexed.index.bulk.columns, indexed.index.bulk
            rows = np.argsort(columns.rank)
            found = values_at(indexed.model, columns.take(rows), range(len(rows)))
            ids = id_texts(bulk.size_ids[rows])
            stored = size_values(reads, ids)
            assert len(found) == len(stored) > 20
            for values, size_id in zip(found, ids, strict=True):
                assert [(code, recorded(one)) for code, one in values.items()] == [
                    (code, recorded(one)) for code, one in stored[size_id].items()
                ]


def test_sizes_that_changed_record_it_beside_those_that_did_not(seeded_database: Database) -> None:
    """Some of the tail, some of the bulk, as a search looks at them together."""
    index = CandidateIndex(seeded_database)
    bore = LengthReading(dimension="bore", value_nm=12_620_000, uncertainty_nm=1e8)
    with seeded_database.read() as reads:
        first = index.of(reads, KIND)
        codes = [row.code for row in reads.rows(select(_size.code).where(_size.kind_code == KIND))][:30]
        changed = reads.rows(select(_size.id).where(_size.code.in_(codes[:15])))
    with seeded_database.write() as writes:
        of_changed = _value.size_id.in_([row.id for row in changed])
        writes.run(
            update(SizeValue)
            .where(of_changed, _value.dimension_code == "length", _value.upper_nm.is_not(None))
            .values(upper_nm=_value.upper_nm + 1_000)
        )
        for code in codes:
            noted(writes, "size", f"sizes/{code}")
    with seeded_database.read() as reads:
        second = index.of(reads, KIND)
        assert second.index.bulk is first.index.bulk and second.index.tail is not None
        looking = second.index.look(second.model, [bore])
        places = range(len(looking.rows))
        found = values_at(second.model, looking.table, places)
        stored = size_values(reads, looking.size_ids(places))
        assert len(found) > len(codes)
        for values, size_id in zip(found, looking.size_ids(places), strict=True):
            assert {code: recorded(one) for code, one in values.items()} == {
                code: recorded(one) for code, one in stored[size_id].items()
            }


def test_any_offers_are_chosen_from_as_the_rule_does(seeded_database: Database) -> None:
    """Packs, minimum quantities, stock, days, currencies, conditions and equals at random, seed 26."""
    random = np.random.default_rng(26)
    with seeded_database.write() as writes:
        suppliers = [row.id for row in writes.rows(select(_supplier.id).order_by(_supplier.code))]
        parts = [row.id for row in writes.rows(select(_part.id).where(_part.kind_code == KIND))]
        for number in range(600):
            first = DAY + timedelta(days=int(random.integers(-3, 3)))
            last = first + timedelta(days=int(random.integers(1, 4)))
            writes.run(
                insert(Offer),
                {
                    "id": str(uuid7()),
                    "supplier_id": suppliers[random.integers(len(suppliers))],
                    "number": f"random {random.integers(0, 10**9)} {number}",
                    "part_id": parts[random.integers(min(len(parts), 60))],
                    "condition": ["new", "new", "remanufactured", "used"][random.integers(4)],
                    "price_minor": int(random.integers(1, 5)),
                    "currency": ["USD", "USD", "EUR", "JPY"][random.integers(4)],
                    "pack_size": int(random.integers(1, 4)),
                    "minimum_quantity": int(random.integers(1, 5)),
                    "core_deposit_minor": 0,
                    "warranty_months": 0,
                    "lead_time_days": int(random.integers(0, 2)),
                    "stock": None if random.random() < 0.5 else int(random.integers(0, 6)),
                    "valid_from": first.isoformat(),
                    "valid_until": None if random.random() < 0.3 else last.isoformat(),
                },
            )
        grow_version(writes)
    index = CandidateIndex(seeded_database)
    with seeded_database.read() as reads:
        undecided = 0
        for days in range(-3, 6):
            day = DAY + timedelta(days=days)
            indexed = compare(index, reads, KIND, day)
            places = np.arange(len(every_part(indexed)))
            undecided += int((indexed.shelf.offers.best(places, day.toordinal()) == UNDECIDED).sum())
        assert undecided


def test_a_change_of_an_offer_is_told_at_once_and_the_shelf_is_kept(seeded_database: Database) -> None:
    index = CandidateIndex(seeded_database)
    with seeded_database.read() as reads:
        first = compare(index, reads, KIND)
        shown = shown_parts(reads, first, every_part(first), DAY)
    part_id, told = next((key, one) for key, one in shown.items() if one.best_offer is not None)
    with seeded_database.write() as writes:
        row = writes.first(select(_part.maker_code, _part.number).where(_part.id == part_id))
        assert row is not None
        writes.run(update(Offer).where(_offer.part_id == part_id).values(price_minor=7))
        item = {"item": "part", "maker": row.maker_code, "item_number": row.number}
        noted(writes, "offer", "/v1/offers/x", item)
    with seeded_database.read() as reads:
        second = compare(index, reads, KIND)
        assert second.shelf is first.shelf
        assert second.changed == ChangedRows(priced=frozenset({part_id}))
        now = shown_parts(reads, second, every_part(second), DAY)
    assert now[part_id].best_offer != told.best_offer
    assert sum(now[key] != one for key, one in shown.items()) == 1


@pytest.mark.parametrize("noun", ["supplier", "supersession", "number of a part"])
def test_what_may_touch_any_part_is_told_at_once(seeded_database: Database, noun: str) -> None:
    index = CandidateIndex(seeded_database)
    with seeded_database.read() as reads:
        first = compare(index, reads, KIND)
        before = shown_parts(reads, first, every_part(first), DAY)
    with seeded_database.write() as writes:
        gone = {"withdrawn_on": DAY.isoformat()}
        if noun == "supplier":
            code = next(one.best_offer.supplier for one in before.values() if one.best_offer)
            writes.run(update(Supplier).where(_supplier.code == code).values(gone))
        elif noun == "supersession":
            writes.run(update(Supersession).values(gone))
        else:
            newer = [one.superseded_by.id for one in before.values() if one.superseded_by]
            writes.run(update(Number).where(_number.part_id.in_(newer)).values(gone))
        noted(writes, noun, "x")
    with seeded_database.read() as reads:
        second = compare(index, reads, KIND)
        assert second.shelf is first.shelf
        assert shown_parts(reads, second, every_part(second), DAY) != before


def test_a_great_kind_whose_prices_all_may_differ_is_built_beside(
    seeded_database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(indexing, "GREAT", 0)
    built = []
    monkeypatch.setattr(CandidateIndex, "_build_beside", lambda self, kind: built.append(kind))
    index = CandidateIndex(seeded_database)
    with seeded_database.read() as reads:
        index.of(reads, KIND)
    with seeded_database.write() as writes:
        noted(writes, "supplier", "x")
    with seeded_database.read() as reads:
        compare(index, reads, KIND)
    assert built == [KIND]


def test_texts_are_those_that_their_column_was_made_of() -> None:
    texts = ["a", "", "bb", "ü", "z"]
    places = np.array([4, 0, 1, 1, 3, 2])
    assert TextColumn.of(texts).at_all(places) == [texts[place] for place in places]
    assert TextColumn.of([]).at_all(places[:0]) == []
