"""Requests that come too slowly, in part, or are none: refused at once or after their time.

Sources: RFC 9112 section 6.3 (both lengths of a body), RFC 9110 section 15.5.9 (408).
"""

import json
import socket
import time
from collections.abc import Iterator

import httpx
import pytest
from databases import Place, new_place
from keyed_service import bearer, kept, new_key, once, supplier
from raw_http import exchange, status

from api import connections

HEAD = b"POST /v1/suppliers HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
PATIENCE = 0.4


@pytest.fixture(scope="module")
def own_place() -> Iterator[Place]:
    """A database for all of these tests."""
    with new_place("sqlite", "migrated") as place:
        yield place


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections, "PATIENCE_SECONDS", PATIENCE)


def connect(address: str) -> socket.socket:
    host, port = address.removeprefix("http://").split(":")
    return socket.create_connection((host, int(port)), 30)


def fields_of(key: str) -> bytes:
    sent = {**bearer(key), **once()}
    return b"".join(f"{name}: {value}\r\n".encode() for name, value in sent.items())


def test_of_two_lengths_of_a_body_neither_is_believed_and_what_follows_is_not_heard(address: str) -> None:
    """Else a request hidden behind the one would be answered as if it were another caller's."""
    hidden = b"GET /v1/suppliers HTTP/1.1\r\nHost: localhost\r\n\r\n"
    sent = HEAD + b"Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n" + hidden
    with connect(address) as connection:
        connection.sendall(sent)
        answer = b"".join(iter(lambda: connection.recv(10_000), b""))
    assert answer.count(b"HTTP/1.1 ") == 1
    assert status(answer) == 400
    assert b"header-refused" in answer
    assert b"connection: close" in answer.lower()


@pytest.mark.usefixtures("impatient")
@pytest.mark.parametrize(
    "begun",
    [b"GET /v1/sup", b"GET /v1/suppliers HTTP/1.1\r\nHost: localhost\r\n", HEAD + b"Content-Len"],
)
def test_a_head_that_has_not_come_whole_in_its_time_is_answered_so(address: str, begun: bytes) -> None:
    began = time.monotonic()
    answer = exchange(address, begun)
    head, _, body = answer.partition(b"\r\n\r\n")
    assert status(answer) == 408
    assert b"application/problem+json" in head
    assert json.loads(body)["status"] == 408
    assert time.monotonic() - began >= PATIENCE


@pytest.mark.usefixtures("impatient")
@pytest.mark.parametrize(
    "begun",
    [
        HEAD + b'Content-Length: 10\r\n\r\n{"code"',
        HEAD + b"Transfer-Encoding: chunked\r\n\r\n5\r\n{",
        b"GET /health/live HTTP/1.1\r\nHost: localhost\r\n\r\n",
    ],
)
def test_what_was_answered_is_not_listened_to_for_ever(address: str, begun: bytes) -> None:
    """Whether it was refused before its body had come, or nothing came after it (RFC 9112 section 9.5)."""
    with connect(address) as connection:
        connection.sendall(begun)
        answer = b"".join(iter(lambda: connection.recv(10_000), b""))
    assert answer.count(b"HTTP/1.1 ") == 1
    assert status(answer) in (200, 401)


@pytest.mark.usefixtures("impatient")
def test_a_body_that_stops_half_way_is_given_up_and_leaves_nothing(own_place: Place, address: str) -> None:
    key, _ = new_key(own_place, "prices")
    before = kept(own_place)
    text = json.dumps(supplier()).encode()
    length = f"Content-Length: {len(text)}\r\n\r\n".encode()
    answer = exchange(address, HEAD + fields_of(key) + length + text[:-1])
    assert status(answer) == 408
    assert kept(own_place) == before


@pytest.mark.usefixtures("impatient")
def test_a_connection_on_which_nothing_comes_is_ended_without_a_word(address: str) -> None:
    assert exchange(address, b"") == b""


@pytest.mark.usefixtures("impatient")
def test_a_slow_line_is_waited_for_as_long_as_bytes_come(
    own_place: Place, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "LEAST_BYTES_A_SECOND", 10)
    key, _ = new_key(own_place, "prices")
    text = json.dumps(supplier()).encode()
    with connect(address) as connection:
        connection.sendall(HEAD + fields_of(key) + f"Content-Length: {len(text)}\r\n\r\n".encode())
        for at in range(0, len(text), 20):
            time.sleep(PATIENCE / 2)
            connection.sendall(text[at : at + 20])
        assert connection.recv(100).startswith(b"HTTP/1.1 201 ")


@pytest.mark.parametrize(
    "more", [b"", b'Content-Length: 100\r\n\r\n{"code"', b"Transfer-Encoding: chunked\r\n\r\n5\r\n{"]
)
def test_a_caller_who_hangs_up_is_no_fault_of_ours(
    own_place: Place, address: str, more: bytes, capsys: pytest.CaptureFixture[str]
) -> None:
    key, _ = new_key(own_place, "prices")
    before = kept(own_place)
    with connect(address) as connection:
        connection.sendall(HEAD + fields_of(key) + more)
    assert httpx.get(f"{address}/health/live").status_code == 200
    assert kept(own_place) == before
    logged = "".join(capsys.readouterr())
    assert "internal_fault" not in logged
    assert "Traceback" not in logged


def test_what_is_no_http_is_answered_with_a_problem(address: str) -> None:
    for sent in (
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\x00" * 50,
        b"G\x00T / HTTP/1.1\r\n\r\n",
    ):
        answer = exchange(address, sent)
        head, _, body = answer.partition(b"\r\n\r\n")
        assert status(answer) == 400
        assert b"application/problem+json" in head
        assert b"x-content-type-options: nosniff" in head.lower()
        assert json.loads(body)["type"] == "about:blank"
