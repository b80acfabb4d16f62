"""A real server on a loopback port, for the journeys and the contract, on both databases.

`service` reads the seed catalogue and is shared by all; `own_place` and `address` are a module's own, empty.
"""

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import httpx
import pytest
import uvicorn
from databases import BACKENDS, Place, new_place
from litestar import Litestar

from api.app import create_app
from api.serving import listen, served_as
from api.settings import Settings

START_SECONDS = 20


@contextmanager
def serving(place: Place, prepare: Callable[[Litestar], None] | None = None, **more: Any) -> Iterator[str]:
    """Serve one database on a free loopback port until the block ends; yield the address.

    `more` are settings unlike the usual ones; `prepare` is given the application before it is served.
    """
    settings = Settings(data=place.folder, database_url=place.url, **more)
    app = create_app(settings)
    if prepare is not None:
        prepare(app)
    server = uvicorn.Server(served_as(app))
    listening = listen("127.0.0.1", 0)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    deadline = time.monotonic() + START_SECONDS
    while not server.started:
        if time.monotonic() > deadline or not thread.is_alive():
            raise RuntimeError("the server did not start")
        time.sleep(0.01)
    try:
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(START_SECONDS)
        listening.close()


@pytest.fixture(scope="session", params=BACKENDS)
def service(request: pytest.FixtureRequest) -> Iterator[httpx.Client]:
    """A client of a server on the seed catalogue; read-only tests share it."""
    with (
        new_place(request.param, "seeded") as place,
        serving(place) as address,
        httpx.Client(base_url=address, timeout=30) as client,
    ):
        yield client


@pytest.fixture(scope="module", params=BACKENDS)
def own_place(request: pytest.FixtureRequest) -> Iterator[Place]:
    """A database that these tests write to, with nothing in it."""
    with new_place(request.param, "migrated") as place:
        yield place


@pytest.fixture(scope="module")
def address(own_place: Place) -> Iterator[str]:
    """Where a server on that database answers."""
    with serving(own_place) as served:
        yield served
