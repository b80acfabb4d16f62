"""The candidate index against brute force: a look at every size, and an index built anew.

Only a comparison with every size shows that an index loses none; the reference is `weigh_sizes` over the
whole table, which knows nothing of columns, blocks, or tails.
"""

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matching_strategies import MATCHED_KIND

from api.matching.columns.bulk import KindRows, build_bulk
from api.matching.columns.find_sizes import LOOK_AT_ALL
from api.matching.columns.size_blocks import CodeRange, block_sizes, find_rows, order_sizes
from api.matching.index.kind_index import KindIndex, Looking
from api.matching.index.tail import with_tail
from api.matching.readings import AbsentReading, ChoiceReading, CountReading, LengthReading, Reading
from api.matching.sizes.size_table import Column, Recorded, SizeTable
from tests.whole_tables import group_sizes, weigh_sizes

OMITTED = 1e-6
"""The posterior mass that the index may omit."""

seeds = st.integers(0, 2**32 - 1)


def table_of(random: np.random.Generator, many: int, *, steps: int = 400) -> SizeTable:
    """Return sizes that crowd around standard dimensions, some open, some without a feature."""
    columns = {}
    for one in MATCHED_KIND.dimensions:
        if one.measure == "length":
            middle = 8_000_000 + random.integers(0, steps, many) ** 2 // steps * 50_000
            middle += random.integers(-15_000, 15_000, many) * random.integers(0, 2, many)
            lower, upper = middle, middle + random.choice([0, 18_000, 43_000], many)
        else:
            most = len(one.choices) or 7
            lower = upper = random.integers(0, most, many)
        state = random.choice([1, 1, 1, 1, 1, 1, 1, 1, 0, 2], many).astype(np.int8)
        known = state == Recorded.RECORDED
        columns[one.code] = Column(
            lower=np.where(known, lower, 0).astype(np.int64),
            upper=np.where(known, upper, 0).astype(np.int64),
            state=state,
        )
    codes = tuple(f"S{place:06d}" for place in range(many))
    return SizeTable(codes=codes, listings=random.integers(0, 12, many).astype(np.int64), columns=columns)


def rows_of(table: SizeTable, random: np.random.Generator, ids: list[str]) -> KindRows:
    """Return a table with 0 to 3 parts of each size, whose listings are those of the size."""
    many = np.where(table.listings > 0, random.integers(1, 4, len(table)), random.integers(0, 3, len(table)))
    parts_of = np.repeat(np.arange(len(table)), many)
    listings = np.zeros(len(parts_of), dtype=np.int64)
    first = np.flatnonzero(np.diff(parts_of, prepend=-1))
    listings[first] = table.listings[parts_of[first]]
    part_ids = [f"{random.integers(0, 2**63):032x}" for _ in parts_of]
    return KindRows(
        table=table,
        size_ids=ids,
        part_ids=part_ids,
        part_keys=[f"maker {place:06d}" for place in range(len(part_ids))],
        parts_of=parts_of,
        listings=listings,
    )


def ids_of(random: np.random.Generator, many: int) -> list[str]:
    return [
        f"01a224d6-0000-7000-8{one:03x}-{random.integers(0, 2**48):012x}"
        for one in random.integers(0, 4096, many)
    ]


def readings_of(random: np.random.Generator, table: SizeTable) -> list[Reading]:
    """Return some readings of one size, one of them slipped now and then."""
    size = int(random.integers(0, len(table)))
    chosen = random.permutation(len(MATCHED_KIND.dimensions))[: int(random.integers(1, 6))]
    found: list[Reading] = []
    for one in (MATCHED_KIND.dimensions[place] for place in chosen):
        column = table.columns[one.code]
        middle = int(column.lower[size] + column.upper[size]) // 2
        if column.state[size] == Recorded.DOES_NOT_APPLY:
            found.append(AbsentReading(dimension=one.code))
        elif one.measure == "count":
            found.append(CountReading(dimension=one.code, count=middle))
        elif one.measure == "choice":
            found.append(ChoiceReading(dimension=one.code, choice=one.choices[middle]))
        else:
            slip = int(random.integers(-3_000_000, 3_000_000)) * int(random.random() < 0.15)
            u = float(random.choice([3_000.0, 15_000.0, 23_000.0, 120_000.0]))
            value = max((middle or 12_000_000) + slip + int(random.normal(0.0, u)), 1_000_000)
            worn = bool(random.integers(0, 2))
            found.append(LengthReading(dimension=one.code, value_nm=value, uncertainty_nm=u, worn=worn))
    return found


def by_size(looking: Looking) -> dict[str, float]:
    """Return the probability of each size that was looked at, by its id."""
    chances = looking.posterior.size_probability.tolist()
    return dict(zip(looking.size_ids(range(len(chances))), chances, strict=True))


@settings(max_examples=30, deadline=None)
@given(seed=seeds)
def test_the_mass_that_is_omitted_is_at_most_a_millionth(seed: int) -> None:
    random = np.random.default_rng(seed)
    table = table_of(random, LOOK_AT_ALL + int(random.integers(1, 4_000)), steps=int(random.integers(2, 500)))
    ids = ids_of(random, len(table))
    rows = rows_of(table, random, ids)
    index = KindIndex(bulk=build_bulk(MATCHED_KIND, rows))
    for _ in range(4):
        readings = readings_of(random, table)
        compare(index.look(MATCHED_KIND, readings), rows, readings)


def compare(looking: Looking, rows: KindRows, readings: list[Reading]) -> None:
    """Compare what an index found with a look at every size."""
    exhaustive = weigh_sizes(MATCHED_KIND, rows.table, readings)
    held = by_size(looking)
    truly = dict(zip(rows.size_ids, exhaustive.size_probability.tolist(), strict=True))
    for size_id, chance in held.items():
        assert chance == pytest.approx(truly[size_id], abs=OMITTED)
    missed = sum(chance for size_id, chance in truly.items() if size_id not in held)
    posterior = looking.posterior
    assert posterior.elsewhere_probability == pytest.approx(missed, abs=OMITTED)
    assert posterior.unlisted_probability == pytest.approx(exhaustive.unlisted_probability, abs=OMITTED)
    together = sum(held.values()) + posterior.elsewhere_probability + posterior.unlisted_probability
    assert together == pytest.approx(1.0, abs=1e-12)


@settings(max_examples=30, deadline=None)
@given(seed=seeds)
def test_the_blocks_find_every_row_that_passes_enough_tests(seed: int) -> None:
    random = np.random.default_rng(seed)
    many = int(random.integers(1, 6_000))
    codes = {
        name: random.integers(0, most, many).astype(np.int32)
        for name, most in (("a", 2_000), ("b", 40), ("c", 5))
    }
    order = order_sizes(codes, many)
    assert sorted(order.tolist()) == list(range(many))
    stored = {name: column[order] for name, column in codes.items()}
    blocks = block_sizes(stored, many)
    tests = []
    for name, column in stored.items():
        first = int(random.integers(0, column.max() + 2))
        tests.append(CodeRange(name, first, first + int(random.integers(0, 200))))
    passed = sum(
        ((stored[one.dimension] >= one.first) & (stored[one.dimension] < one.last))
        | (stored[one.dimension] == 0)
        for one in tests
    )
    for least in (1, 2, 3):
        assert find_rows(blocks, stored, tests, least).tolist() == np.flatnonzero(passed >= least).tolist()


@settings(max_examples=15, deadline=None)
@given(seed=seeds, small=st.booleans())
def test_an_index_that_followed_changes_answers_as_one_built_anew(seed: int, small: bool) -> None:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("api.matching.index.tail.LARGEST_NEIGHBOURHOOD", 100_000)
        follow_changes(seed, small)


def follow_changes(seed: int, small: bool) -> None:
    random = np.random.default_rng(seed)
    steps = int(random.integers(3, 200))
    many = int(random.integers(2, 60)) if small else LOOK_AT_ALL + 200
    pool = table_of(random, many + 40, steps=steps)
    ids = ids_of(random, len(pool))
    shown = np.arange(len(pool)) >= 40  # the first are added later: their codes come before the others'
    present = random.permutation(len(pool))[shown]
    index = KindIndex(bulk=build_bulk(MATCHED_KIND, part_of(pool, random, ids, present)))
    for _ in range(3):
        touched = random.permutation(len(pool))[: int(random.integers(1, 12))]
        gone = touched[random.random(len(touched)) < 0.3]
        pool = changed(pool, random, touched, steps)
        present = np.setdiff1d(np.union1d(present, touched), gone)
        fresh = part_of(pool, random, ids, np.setdiff1d(touched, gone))
        index = with_tail(index, MATCHED_KIND, fresh, [ids[place] for place in touched])
    assert index.tail is not None
    assert index.tail.settled
    now = part_of(pool, random, ids, present)
    assert len(index) == len(present)
    groups = group_sizes(MATCHED_KIND, now.table)
    group_by_id = {size_id: groups.group_of(place) for place, size_id in enumerate(now.size_ids)}
    for readings in ([], readings_of(random, pool), readings_of(random, pool)):
        looking = index.look(MATCHED_KIND, readings)
        compare(looking, now, readings)
        for place in range(len(looking.rows)):
            assert looking.grouping.group_of(place) == group_by_id[looking.size_ids([place])[0]]


def part_of(
    pool: SizeTable,
    random: np.random.Generator,
    ids: list[str],
    places: np.ndarray[tuple[int], np.dtype[np.int64]],
) -> KindRows:
    """Return some sizes of a pool in the order of their codes."""
    places = np.sort(places).astype(np.int64)
    table = attrs.evolve(pool.take(places), codes=tuple(pool.codes[place] for place in places.tolist()))
    return rows_of(table, random, [ids[place] for place in places.tolist()])


def changed(
    pool: SizeTable,
    random: np.random.Generator,
    touched: np.ndarray[tuple[int], np.dtype[np.int64]],
    steps: int,
) -> SizeTable:
    """Return a pool in which the touched sizes have other values."""
    other = table_of(random, len(pool), steps=steps)
    columns = {}
    for code, column in pool.columns.items():
        lower, upper, state = column.lower.copy(), column.upper.copy(), column.state.copy()
        new = other.columns[code]
        lower[touched], upper[touched], state[touched] = (
            new.lower[touched],
            new.upper[touched],
            new.state[touched],
        )
        columns[code] = Column(lower=lower, upper=upper, state=state)
    return attrs.evolve(pool, columns=columns)


def test_a_neighbourhood_too_large_is_told_and_leaves_the_probabilities_exact(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("api.matching.index.tail.LARGEST_NEIGHBOURHOOD", 0)
    random = np.random.default_rng(4)
    pool = table_of(random, 300, steps=3)
    ids = ids_of(random, len(pool))
    index = KindIndex(bulk=build_bulk(MATCHED_KIND, rows_of(pool, random, ids)))
    founders = np.unique(index.bulk.columns.rank[index.bulk.founder == index.bulk.columns.rank])
    touched = founders[:5].astype(np.int64)
    pool = changed(pool, random, touched, 3)
    fresh = part_of(pool, random, ids, touched)
    followed = with_tail(index, MATCHED_KIND, fresh, [ids[place] for place in touched])
    assert followed.tail is not None
    assert not followed.tail.settled
    readings = readings_of(random, pool)
    looking, truly = followed.look(MATCHED_KIND, readings), weigh_sizes(MATCHED_KIND, pool, readings)
    for place in range(len(looking.rows)):
        there = ids.index(looking.size_ids([place])[0])
        assert looking.posterior.size_probability[place] == pytest.approx(truly.size_probability[there])
    named = [looking.grouping.group_of(place) for place in range(len(looking.rows))]
    of_bulk = {named[place] for place in range(len(named)) if looking.rows[place] < len(index.bulk.columns)}
    assert of_bulk.isdisjoint(pool.codes[place] for place in touched.tolist())
