"""A server that is killed in the middle of a create leaves neither half a key nor half the work."""

import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from threading import Thread
from time import sleep
from typing import Any

import httpx
import pytest
from commands import Serving, environment, started
from databases import Place
from keyed_service import bearer, client_of, kept, new_key, once, supplier
from running_service import serving

SUPPLIERS = "/v1/suppliers"
PROGRAM = Path(__file__).with_name("dying_server.py")
BEFORE_THE_COMMIT = (
    "DELETE FROM answered_request",
    "INSERT INTO supplier",
    "UPDATE catalogue_state",
    "INSERT INTO audit_entry",
    "INSERT INTO answered_request",
    "commit",
)
"""What the database is told of a create, in this order (`dying_server.py` ends itself just before)."""
CHANGED = ("supplier", "audit_entry", "answered_request", "catalogue_state")


@contextmanager
def dying(place: Place, stage: str) -> Iterator[Serving]:
    process = subprocess.Popen(
        [sys.executable, PROGRAM, stage],
        env=environment(**place.environment),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        yield Serving(process)
    finally:
        process.kill()
        process.communicate()


def changed(place: Place) -> dict[str, list[tuple[Any, ...]]]:
    """Return every row of the tables that a create changes."""
    return {name: rows for name, rows in kept(place).items() if name in CHANGED}


def killed_at(place: Place, stage: str, key: str, request: dict[str, Any]) -> None:
    """Send a create to a server that dies at a stage; nobody gets an answer."""
    with dying(place, stage) as server:
        address = server.wait_for_address().rstrip("/")
        headers = {**bearer(key), **request["headers"]}
        with pytest.raises(httpx.TransportError):
            httpx.post(address + SUPPLIERS, json=request["json"], headers=headers, timeout=30)
        assert server.process.wait(20) == -signal.SIGKILL


@pytest.mark.parametrize("stage", BEFORE_THE_COMMIT)
def test_a_create_killed_before_its_commit_was_never_begun(place: Place, stage: str) -> None:
    key, _ = new_key(place, "prices")
    with serving(place) as served, client_of(served, key) as client:
        assert client.post(SUPPLIERS, json=supplier(), headers=once()).status_code == 201
    before = changed(place)
    request: dict[str, Any] = {"json": supplier(), "headers": once()}
    killed_at(place, stage, key, request)
    assert changed(place) == before
    with serving(place) as served, client_of(served, key) as client:
        first = client.post(SUPPLIERS, **request)
        again = client.post(SUPPLIERS, **request)
    assert (first.status_code, again.status_code, again.content) == (201, 201, first.content)
    after = changed(place)
    added = {name: len(after[name]) - len(before[name]) for name in CHANGED}
    assert added == {"supplier": 1, "audit_entry": 1, "answered_request": 1, "catalogue_state": 0}


def test_a_create_killed_after_its_commit_is_answered_when_it_is_sent_again(place: Place) -> None:
    key, _ = new_key(place, "prices")
    request: dict[str, Any] = {"json": supplier(), "headers": once()}
    killed_at(place, "committed", key, request)
    before = changed(place)
    assert len(before["supplier"]) == len(before["answered_request"]) == len(before["audit_entry"]) == 1
    with serving(place) as served, client_of(served, key) as client:
        answer = client.post(SUPPLIERS, **request)
        assert answer.status_code == 201
        assert answer.json()["code"] == request["json"]["code"]
        assert answer.headers["etag"] == client.get(answer.headers["location"]).headers["etag"]
    assert changed(place) == before


def test_creates_killed_at_any_time_are_done_whole_or_not_at_all(seeded_place: Place) -> None:
    """The same server as anybody's, killed at four moments drawn at random while it creates without pause."""
    key, _ = new_key(seeded_place, "prices")
    shipped = len(changed(seeded_place)["supplier"])
    draws = Random(20261125)
    sent: list[dict[str, Any]] = []
    for _ in range(4):
        with started(STARTWRIGHT_LOG_LEVEL="error", **seeded_place.environment) as server:
            address = server.wait_for_address().rstrip("/")
            sender = Thread(target=send_until_it_dies, args=(address, key, sent))
            sender.start()
            sleep(draws.uniform(0.05, 0.4))
            server.process.kill()
            sender.join(30)
            assert not sender.is_alive()
    rows = changed(seeded_place)
    codes = {value for row in rows["supplier"] for value in row}
    done = [one["json"]["code"] for one in sent if one["json"]["code"] in codes]
    assert 0 < len(done) == len(rows["supplier"]) - shipped
    assert len(done) == len(rows["audit_entry"]) == len(rows["answered_request"])
    in_the_log = " ".join(str(row) for row in rows["audit_entry"])
    assert all(code in in_the_log for code in done)
    with serving(seeded_place) as served, client_of(served, key) as client:
        answers = [client.post(SUPPLIERS, **one) for one in sent]
    assert {one.status_code for one in answers} == {201}
    after = changed(seeded_place)
    assert len(after["supplier"]) - shipped == len(sent)
    assert len(after["audit_entry"]) == len(after["answered_request"]) == len(sent)


def send_until_it_dies(address: str, key: str, sent: list[dict[str, Any]]) -> None:
    """Create without pause until nobody answers, noting what was sent."""
    with client_of(address, key) as client:
        while True:
            sent.append({"json": supplier(), "headers": once()})
            try:
                client.post(SUPPLIERS, **sent[-1])
            except httpx.TransportError:
                return
