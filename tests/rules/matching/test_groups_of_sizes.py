"""Complete linkage: every pair in a group overlaps, whatever the order of the rows."""

import itertools

import numpy as np
from bush_kind import BUSHING, NO_FLANGE, size, table

from tests.size_rows import SizeRow, build_size_table
from tests.whole_tables import group_sizes


def groups(*rows):
    sizes = table(*rows)
    grouping = group_sizes(BUSHING, sizes)
    found = {}
    for row, code in enumerate(sizes.codes):
        found.setdefault(grouping.group_of(row), []).append(code)
    return found


def test_a_chain_of_overlaps_is_cut_where_its_ends_do_not_overlap():
    rows = [size("A", bore=12.500), size("B", bore=12.512), size("C", bore=12.524)]
    assert groups(*rows) == {"A": ["A", "B"], "C": ["C"]}


def test_limits_that_touch_overlap():
    assert groups(size("A", bore=12.5), size("B", bore=12.518)) == {"A": ["A", "B"]}
    assert groups(size("A", bore=12.5), size("B", bore=12.518001)) == {"A": ["A"], "B": ["B"]}


def test_overlap_is_needed_in_every_dimension_and_counts_and_choices_equal():
    base = {"bore": 12.5, "length": 12.0, "holes": 2, "oil": "hole"}
    others = [{"length": 12.1}, {"holes": 3}, {"oil": "groove"}]
    rows = [size("A", **base), *(size(f"B{n}", **(base | other)) for n, other in enumerate(others))]
    assert len(groups(*rows)) == 4


def test_what_is_not_recorded_overlaps_with_anything_but_joins_no_two_that_do_not():
    rows = [size("A", bore=12.5), size("B", bore=12.5, length=12.0), size("C", bore=12.5, length=14.0)]
    assert sorted(map(len, groups(*rows).values())) == [1, 2]


def test_a_feature_that_does_not_apply_is_never_one_that_is_there():
    rows = [size("A", bore=12.5, flange=NO_FLANGE), size("B", bore=12.5, flange=18.0)]
    assert len(groups(*rows)) == 2
    alike = [size("A", bore=12.5, flange=NO_FLANGE), size("B", bore=12.5, flange=NO_FLANGE)]
    assert len(groups(*alike)) == 1
    zero_holes = [size("A", bore=12.5, holes=NO_FLANGE), size("B", bore=12.5, holes=0)]
    assert len(groups(*zero_holes)) == 2


def test_the_first_size_in_the_order_of_its_limits_names_the_group():
    assert groups(size("Z", bore=12.500), size("A", bore=12.510)) == {"Z": ["A", "Z"]}


def test_nothing_to_group():
    assert group_sizes(BUSHING, table()).ids == ()


def boxes_of(rng, count):
    rows = []
    for place in range(count):
        values = {
            "bore": (start := int(rng.integers(12_000_000, 12_200_000)), start + int(rng.integers(0, 30_000)))
        }
        if rng.random() < 0.8:
            values["length"] = (start := int(rng.integers(12_000_000, 12_060_000)), start + 20_000)
        if rng.random() < 0.7:
            values["flange_diameter"] = NO_FLANGE if rng.random() < 0.5 else (18_000_000, 18_000_100)
        if rng.random() < 0.5:
            values["holes"] = int(rng.integers(0, 2))
        rows.append(SizeRow(code=f"S{place:05d}", values=values))
    return rows


def overlap(one, other):
    for name in one.keys() & other.keys():
        a, b = one[name], other[name]
        if NO_FLANGE in (a, b):
            if a is not b:
                return False
        elif isinstance(a, tuple):
            if max(a[0], b[0]) > min(a[1], b[1]):
                return False
        elif a != b:
            return False
    return True


def test_groups_are_pairwise_overlapping_and_as_first_fit_over_everything_would_make_them():
    """A plain double loop over all sizes and all groups, without blocks, finds the same groups."""
    rng = np.random.default_rng(20)
    rows = boxes_of(rng, 600)
    sizes = build_size_table(BUSHING, rows)
    grouping = group_sizes(BUSHING, sizes)
    values = {row.code: row.values for row in rows}
    members = {}
    for row, code in enumerate(sizes.codes):
        members.setdefault(grouping.group_of(row), []).append(code)
    for found in members.values():
        assert all(overlap(values[a], values[b]) for a, b in itertools.combinations(found, 2))

    names = ("bore", "length", "flange_diameter", "holes")  # bore is recorded by all; then as most record
    recorded = {n: sum(n in v and v[n] is not NO_FLANGE for v in values.values()) for n in names}
    names = sorted(names, key=lambda n: -recorded[n])

    def limits(code):
        keys = []
        for name in names:
            value = values[code].get(name)
            low, high = (
                (-np.inf, np.inf)
                if value is None
                else (-1, -1)
                if value is NO_FLANGE
                else value
                if isinstance(value, tuple)
                else (value, value)
            )
            keys += [low, high]
        return (*keys, code)

    naive = []
    for code in sorted(values, key=limits):
        home = next((g for g in naive if all(overlap(values[code], values[other]) for other in g)), None)
        if home is None:
            naive.append([code])
        else:
            home.append(code)
    assert sorted(sorted(g) for g in naive) == sorted(members.values())
    assert {g[0] for g in naive} == set(grouping.ids)
    assert 20 < len(naive) < 600
