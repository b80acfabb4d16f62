"""How journeys change the catalogue: a server of their own, keys, and requests that say what they are for."""

import uuid
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any

import httpx
from databases import new_place
from running_service import serving

from api.access.manage_keys import make_access_key


class Writer:
    """Asks a running service with a key; `prices` and `catalogue` are what its keys are for."""

    def __init__(self, client: httpx.Client, keys: Mapping[str, str]) -> None:
        self.client = client
        self._keys = keys

    def signed(self, scope: str | None) -> dict[str, str]:
        return {} if scope is None else {"Authorization": f"Bearer {self._keys[scope]}"}

    def post(self, path: str, body: Any, scope: str | None, **query: str) -> httpx.Response:
        fields = {**self.signed(scope), "Idempotency-Key": f'"{uuid.uuid4()}"'}
        return self.client.post(path, json=body, headers=fields, params=query)

    def put(self, path: str, body: Any, scope: str | None, tag: str | None = None) -> httpx.Response:
        return self.client.put(path, json=body, headers=self._for(path, scope, tag))

    def patch(self, path: str, body: Any, scope: str | None, tag: str | None = None) -> httpx.Response:
        return self.client.patch(path, json=body, headers=self._for(path, scope, tag))

    def _for(self, path: str, scope: str | None, tag: str | None) -> dict[str, str]:
        return {**self.signed(scope), "If-Match": tag or self.tag(path)}

    def tag(self, path: str) -> str:
        return str(self.client.get(path).headers["ETag"])

    def read(self, path: str, **query: Any) -> Any:
        response = self.client.get(path, params=query)
        assert response.status_code == 200, response.text
        return response.json()


@contextmanager
def writing(backend: str) -> Iterator[Writer]:
    """Serve a seeded database of its own; yield a writer with a key for prices and one for the catalogue."""
    with new_place(backend, "seeded") as place:
        database = place.open()
        with database.write() as writes:
            now = datetime.now(UTC)
            keys = {
                scope: make_access_key(writes, f"keeper of {scope}", (scope,), 1, now)[0].text
                for scope in ("prices", "catalogue")
            }
        database.close()
        with serving(place) as address, httpx.Client(base_url=address, timeout=30) as client:
            yield Writer(client, keys)


def done(response: httpx.Response, status: int = 200) -> Any:
    """Return what a write that has to succeed answers."""
    assert response.status_code == status, response.text
    return response.json()


def refused(response: httpx.Response, status: int) -> Any:
    """Return the problem of a write that has to be refused with this status."""
    assert response.status_code == status, response.text
    assert response.headers["content-type"] == "application/problem+json"
    return response.json()


def pointers(problem: Any) -> dict[str, str]:
    """Return the code of every fault by its JSON pointer."""
    return {fault["pointer"]: fault["code"] for fault in problem["errors"]}
