"""What is refused before anybody is known: too many requests, too large ones, foreign hosts.

Sources: draft-ietf-httpapi-ratelimit-headers-10 (fields, read by a library for structured fields), RFC 6585
section 4 (429), RFC 9110 section 10.2.3 (Retry-After), RFC 9112 section 3.2 (one Host).
"""

import json
from collections.abc import Iterator
from typing import Any

import http_sf
import httpx
import pytest
from databases import Place, new_place
from keyed_service import bearer, client_of, new_key, once, supplier
from raw_http import exchange, status
from running_service import serving

from api.access.keys import make_key
from api.serving import HEADERS_LIMIT_BYTES
from api.wire.envelope import SECURITY_HEADERS

SUPPLIERS = "/v1/suppliers"
LIMIT = 2_000_000


@pytest.fixture(scope="module")
def own_place() -> Iterator[Place]:
    """A database for all of these tests, which ask before any database is."""
    with new_place("sqlite", "migrated") as place:
        yield place


def word(answer: httpx.Response) -> str:
    """Return the last word of a problem's type."""
    return str(answer.json()["type"]).rsplit("/", 1)[1]


def field(answer: httpx.Response, name: str) -> list[Any]:
    """Return a list of structured fields."""
    return list(http_sf.parse(answer.headers[name].encode(), tltype="list"))


def told_too_many(answer: httpx.Response, policy: str, quota: int) -> bool:
    """Tell whether an answer refuses one request more than a policy takes, with all that it has to say."""
    retry = answer.headers["retry-after"]
    assert answer.headers["content-type"] == "application/problem+json"
    assert field(answer, "ratelimit-policy") == [(policy, {"q": quota, "w": 60})]
    assert field(answer, "ratelimit") == [(policy, {"r": 0, "t": int(retry)})]
    return (answer.status_code, word(answer)) == (429, "too-many-requests") and 1 <= int(retry) <= 60


def test_an_address_without_a_key_is_counted_and_told(place: Place) -> None:
    with serving(place, address_quota=3) as address, client_of(address, None) as client:
        left = []
        for _ in range(3):
            answer = client.get(SUPPLIERS)
            assert answer.status_code == 200 and "retry-after" not in answer.headers
            assert field(answer, "ratelimit-policy") == [("address", {"q": 3, "w": 60})]
            ((_, now),) = field(answer, "ratelimit")
            assert 1 <= now["t"] <= 60
            left.append(now["r"])
        assert left == [2, 1, 0]
        for path in (SUPPLIERS, "/", "/v1/nothing"):
            assert told_too_many(client.get(path), "address", 3)
        assert client.get("/health/live").status_code == 200
        assert client.get(SUPPLIERS, headers=bearer(new_key(place, "prices")[0])).status_code == 200


def test_a_key_is_counted_by_itself_whatever_address_it_comes_from(place: Place) -> None:
    one, other = (new_key(place, "prices")[0] for _ in range(2))
    with serving(place, key_quota=2) as address:
        for _ in range(2):
            assert httpx.get(address + SUPPLIERS, headers=bearer(one)).status_code == 200
        assert told_too_many(httpx.get(address + SUPPLIERS, headers=bearer(one)), "key", 2)
        refused = httpx.post(address + SUPPLIERS, json=supplier(), headers={**bearer(one), **once()})
        assert told_too_many(refused, "key", 2)
        assert httpx.get(address + SUPPLIERS, headers=bearer(other)).status_code == 200
        assert httpx.get(address + SUPPLIERS).status_code == 200


def test_an_address_of_too_many_wrong_keys_is_not_listened_to_any_more(place: Place) -> None:
    """Off loopback: thirty a minute; then not even a good key is looked at, while reading goes on."""
    good = bearer(new_key(place, "prices")[0])
    with serving(place, off_loopback=True) as address:
        for _ in range(30):
            assert httpx.get(address + SUPPLIERS, headers=bearer(make_key().text)).status_code == 401
        for headers in (good, bearer(make_key().text)):
            assert told_too_many(httpx.get(address + SUPPLIERS, headers=headers), "refused-keys", 30)
        assert httpx.get(address + SUPPLIERS).status_code == 200


FORWARDED = (
    {"X-Forwarded-For": "192.0.2.{}"},
    {"X-Real-IP": "192.0.2.{}"},
    {"Forwarded": "for=192.0.2.{}"},
    {"X-Client-IP": "192.0.2.{}", "True-Client-IP": "192.0.2.{}"},
)


@pytest.mark.parametrize("fields", FORWARDED, ids=lambda fields: next(iter(fields)))
def test_nobody_chooses_the_address_that_he_is_counted_under(place: Place, fields: dict[str, str]) -> None:
    with serving(place, address_quota=4) as address:
        answers = [
            httpx.get(address + SUPPLIERS, headers={name: text.format(at) for name, text in fields.items()})
            for at in range(5)
        ]
    assert [one.status_code for one in answers] == [200, 200, 200, 200, 429]


def test_the_log_of_changes_names_the_address_of_the_connection(own_place: Place, address: str) -> None:
    key, _ = new_key(own_place, "admin")
    with client_of(address, key) as admin:
        body = supplier()
        false = {"X-Forwarded-For": "192.0.2.1", "Forwarded": "for=192.0.2.1"}
        assert admin.post(SUPPLIERS, json=body, headers={**once(), **false}).status_code == 201
        (entry,) = admin.get(f"/v1/audit-entries?name={SUPPLIERS}/{body['code']}").json()["items"]
    assert entry["address"] == "127.0.0.1"


def test_a_body_that_is_too_large_is_refused_before_a_key_is_asked_for(address: str) -> None:
    """By its stated length alone: nothing of it is sent here, and the answer comes all the same."""
    for path in (SUPPLIERS, "/v1/matches", "/v1/nothing"):
        head = f"POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
        for length in (str(LIMIT + 1), "9" * 18):
            sent = f"{head}Content-Length: {length}\r\n\r\n".encode()
            answer = exchange(address, sent)
            assert status(answer) == 413, answer
            assert b"body-too-large" in answer
    assert httpx.post(address + SUPPLIERS, content=b" " * LIMIT).status_code == 401


def test_a_body_of_no_stated_length_is_read_no_further_than_the_limit(own_place: Place, address: str) -> None:
    def pieces() -> Iterator[bytes]:
        for _ in range(300):
            yield b" " * 10_000

    headers = {**bearer(new_key(own_place, "prices")[0]), **once(), "Content-Type": "application/json"}
    assert httpx.post(address + SUPPLIERS, content=pieces(), headers=headers).status_code == 413
    assert httpx.post(address + "/v1/matches", content=pieces(), headers=headers).status_code == 413


def test_long_headers_are_refused_before_anything_is_asked(address: str) -> None:
    head = b"GET /v1/suppliers HTTP/1.1\r\nHost: localhost\r\n"
    assert status(exchange(address, head + b"X: " + b"a" * 20_000 + b"\r\n\r\n")) == 200
    for more in (
        b"X: " + b"a" * (4 * HEADERS_LIMIT_BYTES) + b"\r\n\r\n",
        b"X: a\r\n" * (HEADERS_LIMIT_BYTES // 2) + b"\r\n",
        b"Authorization: Bearer " + b"a" * (4 * HEADERS_LIMIT_BYTES) + b"\r\n\r\n",
    ):
        assert status(exchange(address, head + more)) in (0, 400, 431)
    long_line = b"GET /" + b"a" * (4 * HEADERS_LIMIT_BYTES) + b" HTTP/1.1\r\nHost: localhost\r\n\r\n"
    assert status(exchange(address, long_line)) in (0, 400, 414)


@pytest.mark.parametrize(
    "lines",
    [
        b"",
        b"Host: localhost\r\nHost: localhost\r\n",
        b"Host: localhost\r\nHost: evil.example\r\n",
        b"Host: localhost\r\nContent-Length: 4\r\nContent-Length: 5\r\n",
        b"Host: localhost\r\nContent-Length: -1\r\n",
        b"Host: localhost\r\nContent-Length: 4x\r\n",
        b"Host: localhost\r\nTransfer-Encoding: gzip, identity\r\n",
        b"Host: localhost\r\nTransfer-Encoding: chunked\r\nContent-Length: 0\r\n",
        b"Host: localhost\r\nBad Name: x\r\n",
        b"Host: localhost\r\nX: a\x00b\r\n",
    ],
)
def test_a_request_that_could_be_read_in_two_ways_is_refused(address: str, lines: bytes) -> None:
    """RFC 9112 sections 3.2, 5.1 and 6.3."""
    answer = exchange(address, b"GET /v1/suppliers HTTP/1.1\r\n" + lines + b"\r\n")
    assert status(answer) in (400, 501), answer


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "localhost.evil.example",
        "localhost@evil.example",
        "127.0.0.2",
        "*",
        "localhost:x",
        "[::1",
    ],
)
def test_a_host_that_is_not_served_is_refused(own_place: Place, address: str, host: str) -> None:
    """Else a page of somebody else's, whose name he leads to this machine, could read what it serves."""
    key, _ = new_key(own_place, "admin")
    for path in (SUPPLIERS, "/", "/health/live", "/openapi.json"):
        answer = httpx.get(address + path, headers={"Host": host, **bearer(key)})
        assert (answer.status_code, word(answer)) == (400, "host-not-served")
    forwarded = {"Host": host, "X-Forwarded-Host": "localhost"}
    assert httpx.get(address + SUPPLIERS, headers=forwarded).status_code == 400


def test_a_served_host_is_served_and_another_one_when_it_is_allowed(place: Place, address: str) -> None:
    for host in ("localhost", "LOCALHOST:1234", "127.0.0.1", "[::1]:80"):
        assert httpx.get(address + SUPPLIERS, headers={"Host": host}).status_code == 200
    with serving(place, allowed_hosts=("parts.example",)) as elsewhere:
        assert httpx.get(elsewhere + SUPPLIERS, headers={"Host": "parts.example"}).status_code == 200
        assert httpx.get(elsewhere + SUPPLIERS, headers={"Host": "localhost"}).status_code == 400


def test_no_other_origin_is_let_in(own_place: Place, address: str) -> None:
    """Without a field of the Fetch standard's CORS protocol a browser keeps every answer from other pages."""
    asking = {
        "Origin": "https://evil.example",
        "Access-Control-Request-Method": "POST",
        "Access-Control-Request-Headers": "authorization, idempotency-key",
    }
    key = bearer(new_key(own_place, "prices")[0])
    answers = [
        httpx.get(address + SUPPLIERS, headers=asking),
        httpx.get(address + SUPPLIERS, headers={**asking, "Origin": "null"}),
        httpx.options(address + SUPPLIERS, headers=asking),
        httpx.post(address + SUPPLIERS, json=supplier(), headers={**asking, **key, **once()}),
        httpx.get(address + "/v1/nothing", headers=asking),
    ]
    assert [one.status_code for one in answers] == [200, 200, 204, 201, 404]
    assert not [name for one in answers for name in one.headers if name.startswith("access-control-")]


def test_every_answer_has_the_security_headers_and_none_says_what_runs(
    own_place: Place, address: str
) -> None:
    key = bearer(new_key(own_place, "prices")[0])
    made = httpx.post(address + SUPPLIERS, json=supplier(), headers={**key, **once()})
    had = {"If-None-Match": httpx.get(address + SUPPLIERS).headers["etag"]}
    answers = {
        200: httpx.get(address + SUPPLIERS),
        201: made,
        204: httpx.options(address + SUPPLIERS),
        304: httpx.get(address + SUPPLIERS, headers=had),
        400: httpx.get(address + SUPPLIERS, headers={"Host": "evil.example"}),
        401: httpx.post(address + SUPPLIERS, json={}),
        403: httpx.get(address + "/v1/access-keys", headers=key),
        404: httpx.get(address + "/v1/nothing"),
        405: httpx.put(address + SUPPLIERS),
        413: httpx.post(address + SUPPLIERS, content=b" " * (LIMIT + 1)),
        415: httpx.post(address + "/v1/matches", content=b"x"),
    }
    for expected, answer in answers.items():
        assert answer.status_code == expected, (expected, answer.text)
        missing = {name for name, value in SECURITY_HEADERS.items() if answer.headers.get(name) != value}
        assert missing == set(), expected
        assert not {"server", "x-powered-by", "via"} & set(answer.headers)
        assert "set-cookie" not in answer.headers


def test_what_a_holder_reads_or_writes_is_for_no_cache(own_place: Place, address: str) -> None:
    """RFC 9111 section 5.2.2.5."""
    with client_of(address, new_key(own_place, "admin")[0]) as admin:
        for answer in (
            admin.get("/v1/access-keys"),
            admin.get("/v1/audit-entries"),
            admin.post(SUPPLIERS, json=supplier(), headers=once()),
        ):
            assert answer.headers["cache-control"] == "no-store"


@pytest.mark.parametrize(
    ("text", "status"),
    [('{"code": "a", "code": "b"}', 400), ("[" * 5_000 + "]" * 5_000, 400), ("{", 400), ("NaN", 400)],
)
def test_a_body_that_two_readers_could_read_differently_is_refused(
    own_place: Place, address: str, text: str, status: int
) -> None:
    headers = {**bearer(new_key(own_place, "prices")[0]), **once(), "Content-Type": "application/json"}
    assert httpx.post(address + SUPPLIERS, content=text, headers=headers).status_code == status


@pytest.mark.parametrize(
    "sent", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""]
)
def test_what_a_form_of_another_page_could_send_is_not_taken(
    own_place: Place, address: str, sent: str
) -> None:
    headers = {**bearer(new_key(own_place, "prices")[0]), **once(), "Content-Type": sent}
    answer = httpx.post(address + SUPPLIERS, content=json.dumps(supplier()), headers=headers)
    assert (answer.status_code, word(answer)) == (415, "media-type-not-taken")
