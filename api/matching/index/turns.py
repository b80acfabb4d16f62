"""One search computes at a time, those that wait in the order in which they came.

Searches are made of many small steps. Several threads at once would take the interpreter from each other at
each of them, and all be done later than in turn: 16 callers got 38 answers a second so, and 53 in turn.
"""

import threading
from collections import deque
from types import TracebackType


class Turns:
    """A lock that is handed on to whoever has waited longest; `with turns:` waits for a turn and ends it.

    An ordinary lock may go again and again to the thread that has just let go of it: a call with a thousand
    searches would keep everybody else waiting until it is done.
    """

    def __init__(self) -> None:
        self._changing = threading.Lock()
        self._is_taken = False
        self._waiting: deque[threading.Lock] = deque()

    def __enter__(self) -> None:
        with self._changing:
            if not self._is_taken:
                self._is_taken = True
                return
            mine = threading.Lock()
            mine.acquire()
            self._waiting.append(mine)
        mine.acquire()  # let go by the one before

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        with self._changing:
            if self._waiting:
                self._waiting.popleft().release()
            else:
                self._is_taken = False
