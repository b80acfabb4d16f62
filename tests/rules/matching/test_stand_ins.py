"""Which sizes may stand in for which, by their dimensions alone."""

import numpy as np
import pytest
from bush_kind import NO_FLANGE, size, table

from api.matching.stand_in import may_stand_in, usable_probabilities


def stands(size_b, size_a):
    """May B stand in for A?"""
    sizes = table(size_a, size_b)
    row = sizes.codes.index("B")
    return bool(may_stand_in(sizes, row, np.array([sizes.codes.index("A")]))[0])


@pytest.mark.parametrize(
    ("of_b", "of_a", "expected"),
    [
        ({"bore": 12.5}, {"bore": 12.5}, True),
        ({"bore": 12.5}, {"bore": 12.518}, True),
        ({"bore": 12.5}, {"bore": 12.519}, False),
        ({"bore": 12.5, "length": 12}, {"bore": 12.5}, True),
        ({"bore": 12.5}, {"bore": 12.5, "length": 12}, False),
        ({"holes": 2}, {"holes": 2}, True),
        ({"holes": 2}, {"holes": 3}, False),
        ({"oil": "hole"}, {"oil": "groove"}, False),
        ({"flange": NO_FLANGE}, {"flange": NO_FLANGE}, True),
        ({"flange": NO_FLANGE}, {"flange": 18.0}, False),
        ({"flange": 18.0}, {"flange": NO_FLANGE}, False),
        ({"bore": 12.5}, {"bore": 12.5, "flange": NO_FLANGE}, False),
        ({"bore": 12.5, "flange": NO_FLANGE}, {"bore": 12.5}, True),
    ],
)
def test_a_size_stands_in_only_where_nothing_speaks_against_it(of_b, of_a, expected):
    assert stands(size("B", **of_b), size("A", **of_a)) is expected


def test_a_size_stands_in_for_itself_even_where_it_records_nothing():
    sizes = table(size("A"))
    assert may_stand_in(sizes, 0, np.array([0])).tolist() == [True]


def test_usable_probability_adds_the_sizes_that_it_may_stand_in_for():
    sizes = table(size("A", bore=12.5), size("B", bore=12.51), size("C", bore=12.525), size("D", bore=14.0))
    probability = np.array([0.4, 0.3, 0.2, 0.05])
    usable = usable_probabilities(sizes, probability, np.array([0, 1, 3]))
    assert usable == pytest.approx([0.7, 0.9, 0.05])


def test_no_candidates_no_figures():
    assert usable_probabilities(table(), np.array([]), np.array([], dtype=np.int64)).tolist() == []
