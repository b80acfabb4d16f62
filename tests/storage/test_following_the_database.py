"""The candidate index on a real database: snapshots, changes that it follows, and what it builds beside.

What an index must answer is what one built anew from the database answers; both databases give the same.
"""

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from sqlalchemy import update

from api.access.change_keys import on_command_line
from api.access.log_changes import log_change
from api.columns import columns
from api.database import Database, ReadSession
from api.interchange.judge_part import judge_in_place
from api.interchange.near_sizes import TOUCHING, may_share_seat
from api.interchange.seat_features import ANY_PART
from api.interchange.stored_seats import seats_of_sizes
from api.matching.columns.bulk import Bulk, build_bulk
from api.matching.index import candidate_index as indexing
from api.matching.index.candidate_index import CandidateIndex, IndexedKind
from api.matching.index.index_rows import read_kind
from api.matching.index.shelf import Shelf
from api.matching.index.shelf_rows import read_shelf
from api.matching.index.snapshot import SUMS, open_snapshot, save_snapshot, state_of
from api.matching.index.snapshot_arrays import arrays_of_shelf
from api.matching.kind_models import kind_model
from api.matching.model import KindModel
from api.matching.readings import LengthReading
from api.matching.store import catalogue_version, kind_codes, stored_kind
from api.wear_parts.catalogue_version import grow_version
from api.wear_parts.store import size_values
from api.wear_parts.tables import Size

KIND = "bushing"
BORE = LengthReading(dimension="bore", value_nm=12_600_000, uncertainty_nm=23_000.0, worn=True)
_size = columns(Size)


def model_of(database: Database, kind: str = KIND) -> KindModel:
    with database.read() as reads:
        stored = stored_kind(reads, kind)
    assert stored is not None
    return kind_model(stored)


def built(reads: ReadSession, model: KindModel) -> tuple[Bulk, Shelf]:
    """Return the arrays of a kind, built from the database."""
    bulk = build_bulk(model, read_kind(reads, model))
    return bulk, read_shelf(reads, model, bulk)


def withdraw(database: Database, code: str, *, noted: bool) -> None:
    """Withdraw a size; without a note nothing tells the index what changed, as after a load."""
    with database.write() as writes:
        writes.run(update(Size).where(_size.code == code).values(withdrawn_on="2026-11-25"))
        version = grow_version(writes)
        if noted:
            log_change(writes, on_command_line(), "withdraw", "size", f"sizes/{code}", {}, {}, version)


def held(index: CandidateIndex, database: Database) -> IndexedKind:
    with database.read() as reads:
        return index.of(reads, KIND)


def ids(kind: IndexedKind) -> set[str]:
    """Return the ids of the sizes that a search of one bore looks at: in so small a kind, all of them."""
    looking = kind.index.look(kind.model, [BORE])
    return set(looking.size_ids(range(len(looking.rows))))


def codes(database: Database) -> dict[str, str]:
    with database.read() as reads:
        rows = read_kind(reads, model_of(database))
    return dict(zip(rows.table.codes, rows.size_ids, strict=True))


def test_a_snapshot_is_what_was_saved_and_another_state_or_a_broken_file_is_none(
    seeded_database: Database, tmp_path: Path
) -> None:
    model = model_of(seeded_database)
    with seeded_database.read() as reads:
        bulk, shelf = built(reads, model)
    save_snapshot(tmp_path, model, "one", bulk, shelf)
    found = open_snapshot(tmp_path, model, "one")
    assert found is not None
    opened, opened_shelf = found
    assert arrays_of_shelf(opened_shelf).keys() == arrays_of_shelf(shelf).keys()
    for name, array in arrays_of_shelf(shelf).items():
        assert np.array_equal(arrays_of_shelf(opened_shelf)[name], array), name
    for name in ("size_ids", "founder", "block"):
        assert np.array_equal(getattr(opened, name), getattr(bulk, name))
    assert [opened.names.at(place) for place in range(len(opened.names))] == sorted(codes(seeded_database))
    assert np.array_equal(opened.parts.keys.utf8, bulk.parts.keys.utf8)
    for name in ("start", "ids", "rank", "listings", "greatest"):
        assert np.array_equal(getattr(opened.parts, name), getattr(bulk.parts, name))
    for code, column in bulk.columns.codes.items():
        assert np.array_equal(opened.columns.codes[code], column)
        assert np.array_equal(opened.columns.entries[code].weight, bulk.columns.entries[code].weight)
        assert np.array_equal(
            opened.columns.blocks.bounds[code].least, bulk.columns.blocks.bounds[code].least
        )
    assert opened.columns.total_weight == bulk.columns.total_weight
    assert open_snapshot(tmp_path, model, "another") is None
    save_snapshot(tmp_path, model, "two", bulk, shelf)
    assert [one.name for one in tmp_path.iterdir()] == [f"{KIND}-two"], "the older one is removed"


@pytest.mark.parametrize(
    "spoil",
    [
        lambda file: file.write_bytes(b"not an array"),
        lambda file: file.write_bytes(b""),
        lambda file: file.write_bytes(b"PK"),
        lambda file: file.write_bytes(file.read_bytes()[:-4]),
        lambda file: file.write_bytes(file.read_bytes()[:-4] + bytes(4)),
        lambda file: file.unlink(),
        lambda file: (file.parent / SUMS).unlink(),
        lambda file: (file.parent / SUMS).write_bytes(b"{"),
    ],
)
def test_a_snapshot_that_is_not_as_it_was_written_is_passed_over_and_removed(
    spoil: Callable[[Path], object], seeded_database: Database, tmp_path: Path
) -> None:
    model = model_of(seeded_database)
    with seeded_database.read() as reads:
        bulk, shelf = built(reads, model)
    save_snapshot(tmp_path, model, "one", bulk, shelf)
    spoil(tmp_path / f"{KIND}-one" / "founder.npy")
    assert open_snapshot(tmp_path, model, "one") is None
    assert list(tmp_path.iterdir()) == []
    save_snapshot(tmp_path, model, "one", bulk, shelf)
    assert open_snapshot(tmp_path, model, "one") is not None


def test_a_folder_that_others_may_write_to_is_not_used(seeded_database: Database, tmp_path: Path) -> None:
    model = model_of(seeded_database)
    with seeded_database.read() as reads:
        bulk, shelf = built(reads, model)
    save_snapshot(tmp_path, model, "one", bulk, shelf)
    tmp_path.chmod(0o777)
    assert open_snapshot(tmp_path, model, "one") is None
    save_snapshot(tmp_path, model, "two", bulk, shelf)
    assert [one.name for one in tmp_path.iterdir()] == [f"{KIND}-one"]


def test_a_copy_that_is_put_back_and_goes_on_is_another_state(seeded_database: Database) -> None:
    """Both count to the same version; only the stamp tells them apart."""
    model = model_of(seeded_database)
    found = set()
    for _ in range(2):
        with pytest.raises(Undone), seeded_database.write() as writes:
            version = grow_version(writes)
            found.add((version, state_of(writes, model)))
            raise Undone
    assert len(found) == 2
    assert len({version for version, _ in found}) == 1


class Undone(Exception):
    """Ends a transaction without keeping it."""


def test_a_transaction_older_than_all_that_is_kept_gets_what_it_sees(
    seeded_database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(indexing, "GREAT", 0)
    index, before = CandidateIndex(seeded_database), codes(seeded_database)
    with seeded_database.read() as early:
        version = catalogue_version(early)
        for code in list(before)[:5]:
            withdraw(seeded_database, code, noted=True)
            held(index, seeded_database)
        seen = index.of(early, KIND)
    assert seen.version == version
    assert ids(seen) == {*before.values()}


def test_a_noted_change_goes_into_the_tail_and_one_that_is_not_makes_all_anew(
    seeded_database: Database,
) -> None:
    index = CandidateIndex(seeded_database)
    first, before = held(index, seeded_database), codes(seeded_database)
    one, other = list(before)[3:5]
    withdraw(seeded_database, one, noted=True)
    second = held(index, seeded_database)
    assert second.index.bulk is first.index.bulk
    assert ids(second) == {*before.values()} - {before[one]}
    withdraw(seeded_database, other, noted=False)
    third = held(index, seeded_database)
    assert third.index.bulk is not first.index.bulk
    assert ids(third) == {*before.values()} - {before[one], before[other]}
    assert ids(first) == {*before.values()}, "a search that holds the former one is not disturbed"


def test_a_search_that_began_before_a_change_is_answered_by_the_state_that_it_sees(
    seeded_database: Database,
) -> None:
    index, before = CandidateIndex(seeded_database), codes(seeded_database)
    held(index, seeded_database)
    with seeded_database.read() as early:
        version = index.of(early, KIND).version
        withdraw(seeded_database, next(iter(before)), noted=True)
        assert held(index, seeded_database).version == version + 1
        assert index.of(early, KIND).version == version


def test_a_great_kind_is_built_beside_the_searches_and_kept_in_a_snapshot(
    seeded_database: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(indexing, "GREAT", 0)
    index, before = CandidateIndex(seeded_database, tmp_path), codes(seeded_database)
    first = held(index, seeded_database)
    assert [one.name.split("-")[0] for one in tmp_path.iterdir()] == [KIND]
    gone = next(iter(before))
    withdraw(seeded_database, gone, noted=False)
    deadline = time.monotonic() + 20
    while ids(held(index, seeded_database)) != {*before.values()} - {before[gone]}:
        assert time.monotonic() < deadline
        time.sleep(0.01)
    assert held(index, seeded_database).index.bulk is not first.index.bulk
    anew = held(CandidateIndex(seeded_database, tmp_path), seeded_database)
    assert isinstance(anew.index.bulk.founder.base, np.memmap), "another process opens what this one saved"
    assert ids(anew) == {*before.values()} - {before[gone]}


def test_a_long_tail_is_built_in(seeded_database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(indexing, "LONG_TAIL", 1)
    index, before = CandidateIndex(seeded_database), codes(seeded_database)
    first = held(index, seeded_database)
    for code in list(before)[:2]:
        withdraw(seeded_database, code, noted=True)
    second = held(index, seeded_database)
    assert second.index.bulk is not first.index.bulk
    assert second.index.tail is None
    assert len(ids(second)) == len(before) - 2


def test_what_is_not_judged_is_refused_by_the_fit_checks_in_every_seat_of_the_seed(
    seeded_database: Database,
) -> None:
    """The screen before the fit checks may only pass over pairs that these refuse."""
    screened = 0
    with seeded_database.read() as reads:
        for kind in kind_codes(reads):
            assert kind in TOUCHING
            model = model_of(seeded_database, kind)
            size_ids = read_kind(reads, model).size_ids
            values = size_values(reads, size_ids)
            distinct = {(one.size_id, one.seat): one for one in seats_of_sizes(reads, size_ids)}
            for listed in distinct.values():
                for size_id in size_ids[::2]:
                    if may_share_seat(kind, values[size_id], values[listed.size_id]):
                        continue
                    screened += 1
                    sizes = (values[listed.size_id], values[size_id])
                    judged = judge_in_place(kind, "look_alike", sizes, ANY_PART, [listed.seat])
                    assert judged.grade != "fits", (listed.family, size_id, listed.size_id)
    assert screened > 1_000
