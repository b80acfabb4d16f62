"""How journeys ask a running service, and how they count what its database is asked meanwhile."""

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import httpx
from sqlalchemy import Engine, event

from api.matching.index.candidate_index import BESIDE


def answer(service: httpx.Client, path: str, **query: Any) -> Any:
    """Return the JSON of a path that has to be answered."""
    response = service.get(path, params=query or None)
    assert response.status_code == 200, response.text
    return response.json()


def refusal(service: httpx.Client, status: int, path: str, **query: Any) -> Any:
    """Return the problem of a path that has to be refused with this status."""
    response = service.get(path, params=query or None)
    assert response.status_code == status, response.text
    assert response.headers["content-type"] == "application/problem+json"
    assert "Traceback" not in response.text
    return response.json()


def fewest_queries(ask: Callable[[], object], most: int) -> list[str]:
    """Return what databases are asked when `ask` asks the service: `most` at most, else the fewest seen.

    An index that is being built beside it asks as well, so that it is tried until that is done.
    """
    found: list[list[str]] = []
    for _ in range(40):
        with counted_queries() as asked:
            ask()
        found.append(asked)
        if len(asked) <= most:
            break
        time.sleep(0.25)
    return min(found, key=len)


@contextmanager
def counted_queries() -> Iterator[list[str]]:
    """Collect what every database of this process is asked while the block runs.

    Apart from what is asked to read kinds into the index, which begins beside a server that has just started.
    """
    asked: list[str] = []

    def note(connection: Any, cursor: Any, statement: str, *_: Any) -> None:
        reads_the_index_in = threading.current_thread().name.startswith(BESIDE)
        if statement.lstrip().upper().startswith(("SELECT", "WITH")) and not reads_the_index_in:
            asked.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    try:
        yield asked
    finally:
        event.remove(Engine, "before_cursor_execute", note)
