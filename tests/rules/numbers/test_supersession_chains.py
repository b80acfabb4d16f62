"""A chain of superseded numbers ends at a current one; circles are refused."""

import pytest

from api.wear_parts.supersessions import SupersessionCycle, find_cycles, follow_chain

CHAIN = {"A": "B", "B": "C", "D": "C"}


def test_chain_is_followed_to_the_current_number() -> None:
    assert follow_chain("A", CHAIN) == ("A", "B", "C")
    assert follow_chain("D", CHAIN) == ("D", "C")


def test_current_number_is_its_own_chain() -> None:
    assert follow_chain("C", CHAIN) == ("C",)


@pytest.mark.parametrize(
    ("replaced_by", "start", "circle"),
    [
        ({"A": "A"}, "A", ("A",)),
        ({"A": "B", "B": "A"}, "A", ("A", "B")),
        ({"X": "A", "A": "B", "B": "C", "C": "A"}, "X", ("A", "B", "C")),
    ],
)
def test_circle_is_told_without_what_leads_into_it(
    replaced_by: dict[str, str], start: str, circle: tuple[str, ...]
) -> None:
    with pytest.raises(SupersessionCycle) as refused:
        follow_chain(start, replaced_by)
    assert refused.value.numbers == circle
    assert " -> ".join((*circle, circle[0])) in refused.value.explain()


def test_every_circle_is_found_once() -> None:
    two = {"X": "A", "A": "B", "B": "A", "Y": "B", "P": "Q", "Q": "R", "R": "P", "L": "M"}
    assert find_cycles(two) == (("A", "B"), ("P", "Q", "R"))
    assert find_cycles(CHAIN) == ()


def test_long_chain_is_followed_without_deep_calls() -> None:
    long = {number: number + 1 for number in range(100_000)}
    assert follow_chain(0, long)[-1] == 100_000
    assert find_cycles(long) == ()
    assert len(find_cycles({**long, 100_000: 0})[0]) == 100_001
