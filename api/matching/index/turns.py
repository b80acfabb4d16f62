"""One search computes at a time, those that wait in the order in which they came.

Searches are made of many small steps. Several threads at once would take the interpreter from each other at
each of them, and all be done later than in turn (`tests/benchmarks/README.md`).
"""

import threading
from collections import deque
from types import TracebackType
from typing import Final

from api.wire.refusals import NotReady

LONGEST_WAIT_SECONDS: Final = 30.0
"""How long a search waits, hundreds of turns; then one before it hangs (our judgement)."""


class Turns:
    """A lock that is handed on to whoever has waited longest; `with turns:` waits for a turn and ends it.

    Raises `NotReady` after the longest wait. An ordinary lock may go again and again to the thread that has
    just let go of it: a call with a thousand searches would keep everybody else waiting until it is done.
    """

    def __init__(self, longest_wait_seconds: float = LONGEST_WAIT_SECONDS) -> None:
        self._longest_wait = longest_wait_seconds
        self._changing = threading.Lock()
        self._is_taken = False
        self._waiting: deque[threading.Lock] = deque()

    @property
    def waiting(self) -> int:
        """Return how many wait for a turn."""
        return len(self._waiting)

    def __enter__(self) -> None:
        with self._changing:
            if not self._is_taken:
                self._is_taken = True
                return
            mine = threading.Lock()
            mine.acquire()
            self._waiting.append(mine)
        if mine.acquire(timeout=self._longest_wait):  # let go by the one before
            return
        with self._changing:
            if mine in self._waiting:  # if not, the turn was handed on this very moment
                self._waiting.remove(mine)
                raise NotReady("searches wait for one that does not end")

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        with self._changing:
            if self._waiting:
                self._waiting.popleft().release()
            else:
                self._is_taken = False
