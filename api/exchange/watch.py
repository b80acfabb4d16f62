"""How whoever waits for a long load is told how far it is: a function that is given rows done."""

from collections.abc import Callable
from typing import Final

Watch = Callable[[int], None]
"""Takes how many rows more were done."""

ROWS_OF_A_STEP: Final = 2_000
"""Rows between two reports."""


def unwatched(rows: int) -> None:
    """Watch nothing."""
