"""How journeys ask a running service, and how they count what its database is asked meanwhile."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import httpx
from sqlalchemy import Engine, event


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


@contextmanager
def counted_queries() -> Iterator[list[str]]:
    """Collect what every database of this process is asked while the block runs."""
    asked: list[str] = []

    def note(connection: Any, cursor: Any, statement: str, *_: Any) -> None:
        if statement.lstrip().upper().startswith(("SELECT", "WITH")):
            asked.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    try:
        yield asked
    finally:
        event.remove(Engine, "before_cursor_execute", note)
