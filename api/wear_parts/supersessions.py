"""Chains of superseded numbers: each is replaced by at most one other, and a chain ends. Pure."""

from collections.abc import Hashable, Mapping
from typing import TypeVar

import attrs

from api.errors import DomainError

Key = TypeVar("Key", bound=Hashable)


@attrs.frozen
class SupersessionCycle(DomainError):
    """Numbers that replace each other in a circle, so that none is current."""

    numbers: tuple[str, ...]

    @property
    def circle(self) -> str:
        """The circle, from a number back to itself."""
        return " -> ".join((*self.numbers, self.numbers[0]))

    def explain(self) -> str:
        """Name the circle."""
        return f"The supersessions run in a circle: {self.circle}; a chain ends at a current number."


def follow_chain(start: Key, replaced_by: Mapping[Key, Key]) -> tuple[Key, ...]:
    """Return the chain from `start` to the current number, both included.

    `replaced_by` leads from a superseded number to its successor; a number that is not in it is
    current, and its chain is itself alone. Raises `SupersessionCycle` when the chain does not end.
    """
    chain = {start: None}
    current = start
    while current in replaced_by:
        current = replaced_by[current]
        if current in chain:
            links = list(chain)
            raise SupersessionCycle(tuple(str(link) for link in links[links.index(current) :]))
        chain[current] = None
    return tuple(chain)


def find_cycles(replaced_by: Mapping[Key, Key]) -> tuple[tuple[Key, ...], ...]:
    """Return every circle, each once, beginning where the first chain runs into it.

    Takes time proportional to the number of supersessions.
    """
    settled: set[Key] = set()
    cycles = []
    for start in replaced_by:
        walked: dict[Key, None] = {}
        current = start
        while current in replaced_by and current not in settled and current not in walked:
            walked[current] = None
            current = replaced_by[current]
        if current in walked:
            links = list(walked)
            cycles.append(tuple(links[links.index(current) :]))
        settled.update(walked)
    return tuple(cycles)
