"""How whoever waits for a long load is told how far it is."""

from typing import Final, Protocol

ROWS_OF_A_STEP: Final = 2_000
"""Rows between two reports."""


class Watch(Protocol):
    """Is told of every task of a load when it begins, then of its rows as they are done."""

    def start(self, task: str, rows: int) -> None:
        """Take a task's name and how many rows (0 or more) it has; the task before it has ended."""

    def advance(self, rows: int) -> None:
        """Take how many rows more of the task were done."""


class Unwatched:
    """Nobody waits."""

    def start(self, task: str, rows: int) -> None:
        """Do nothing."""

    def advance(self, rows: int) -> None:
        """Do nothing."""


UNWATCHED: Final = Unwatched()
