"""Who gets in, and who does not: keys, scopes, and what is open without a key."""

import base64
import socket
import zlib
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest
from commands import startwright
from databases import Place
from keyed_service import bearer, client_of, kept, new_key, once, supplier
from running_service import serving

from api.access.keys import SCOPES, make_key
from api.access.manage_keys import revoke_access_key
from api.app import operations
from api.wire.operation import Operation

SUPPLIERS = "/v1/suppliers"
PASSING = ("x-request-id", "date", "ratelimit", "content-length")
"""Fields that differ from one answer to the next whatever is asked."""


def word(answer: httpx.Response) -> str:
    """Return the last word of a problem's type."""
    return str(answer.json()["type"]).rsplit("/", 1)[1]


def checked_anew(body: str) -> str:
    """Return a key of this body whose checksum is right, as whoever knows the form could write it."""
    return body + base64.b32encode(zlib.crc32(body.encode()).to_bytes(4, "big")).decode().rstrip("=").lower()


def unusable(place: Place) -> dict[str, list[str]]:
    """Return what is sent as `Authorization`, each for another reason no use."""
    good, _ = new_key(place, "prices", "admin")
    expired, _ = new_key(place, "prices", days=1, ago=timedelta(days=1, seconds=1))
    revoked, key = new_key(place, "prices")
    with closing(place.open()) as database, database.write() as writes:
        revoke_access_key(writes, key.id, datetime.now(UTC))
    body = good[:-7]
    other = "a" if body[-1] != "a" else "b"
    swapped = good[:40] + good[41] + good[40] + good[42:] if good[40] != good[41] else good[:40] + good[41:]
    texts = {
        "unknown": make_key().text,
        "expired": expired,
        "revoked": revoked,
        "of other bits": checked_anew(body[:-1] + other),
        "without its end": good[:-1],
        "cut after its shown part": good[:20],
        "with one letter mistyped": good[:-3] + ("a" if good[-3] != "a" else "b") + good[-2:],
        "with two letters swapped": swapped,
        "in capitals": good.upper(),
        "doubled": good + good,
        "with a blank": good[:30] + " " + good[30:],
        "without its prefix": good.removeprefix("startwright_"),
        "very long": good + "a" * 20_000,
        "nothing": "",
    }
    sent = {name: [f"Bearer {text}".strip()] for name, text in texts.items()}
    pair = base64.b64encode(f"user:{good}".encode()).decode()
    return sent | {
        "of another scheme": [f"Basic {pair}"],
        "of a made-up scheme": [f"Key {good}"],
        "without a scheme": [good],
        "an empty field": [""],
        "one good and one bad": [f"Bearer {good}", f"Bearer {texts['unknown']}"],
        "a good one twice": [f"Bearer {good}", f"Bearer {good}"],
    }


def test_every_key_that_may_not_be_used_is_answered_alike(own_place: Place, address: str) -> None:
    """Status, fields and body are the same but for the request's id, when reading and when writing."""
    sent = unusable(own_place)
    body, idempotency = supplier(), once()
    before = kept(own_place)
    for method, path in (("GET", SUPPLIERS), ("GET", "/v1/nothing"), ("POST", SUPPLIERS)):
        answers = {}
        for name, lines in sent.items():
            fields = [("Authorization", line) for line in lines]
            if method == "POST":
                fields += idempotency.items()
            told = {"json": body} if method == "POST" else {}
            answers[name] = httpx.request(method, address + path, headers=fields, timeout=30, **told)  # type: ignore[arg-type]  # a body or none
        alike = {name: (one.status_code, plain(one), lasting(one)) for name, one in answers.items()}
        first = alike["unknown"]
        assert first[0] == 401 and word(answers["unknown"]) == "key-refused"
        assert {name: one for name, one in alike.items() if one != first} == {}
        assert answers["unknown"].headers["www-authenticate"] == 'Bearer realm="startwright"'
    assert kept(own_place) == before


def plain(answer: httpx.Response) -> dict[str, Any]:
    """Return a problem without the request's id."""
    return {name: value for name, value in answer.json().items() if name != "instance"}


def lasting(answer: httpx.Response) -> dict[str, str]:
    """Return the fields of an answer that do not change from one to the next."""
    return {name: value for name, value in answer.headers.items() if name not in PASSING}


@pytest.mark.parametrize("scheme", ["Bearer", "bearer", "BEARER"])
def test_a_good_key_is_taken_however_its_scheme_is_written(
    own_place: Place, address: str, scheme: str
) -> None:
    """RFC 9110 11.1: the scheme's name is compared without regard to case."""
    key, _ = new_key(own_place, "prices")
    sent = {"Authorization": f"{scheme} {key}", **once()}
    assert httpx.post(address + SUPPLIERS, json=supplier(), headers=sent).status_code == 201


def test_a_key_is_taken_from_nowhere_but_its_field(own_place: Place, address: str) -> None:
    key, _ = new_key(own_place, "admin")
    other_places: list[dict[str, Any]] = [
        {"headers": {**once(), "X-Api-Key": key}},
        {"headers": {**once(), "Cookie": f"key={key}"}},
        {"headers": {**once(), "Proxy-Authorization": f"Bearer {key}"}},
        {"headers": once(), "params": {"access_token": key}},
    ]
    for sent in other_places:
        answer = httpx.post(address + SUPPLIERS, json=supplier(), **sent)
        assert (answer.status_code, word(answer)) == (401, "key-needed")


GUARDED = [one for one in operations() if one.writes is not None or one.needs is not None]


def scope_of(told: Operation) -> str:
    """Return the scope that an operation needs."""
    return str(told.needs if told.writes is None else told.writes.scope)


def call(client: httpx.Client, told: Operation) -> httpx.Response:
    """Call an operation as its example says, where it has one."""
    path = told.path
    for name, about in told.path_names.items():
        path = path.replace(f"{{{name}}}", about.example)
    return client.request(told.method, path, json=told.example, headers={**once(), "If-Match": '"none"'})


def test_there_is_something_to_guard() -> None:
    assert {scope_of(one) for one in GUARDED} >= {"catalogue", "prices", "admin"}
    assert {one.method for one in GUARDED} == {"GET", "POST", "PUT", "PATCH"}
    assert [one.path for one in operations() if one.method in ("PUT", "PATCH") and one.writes is None] == []


def test_every_guarded_operation_needs_a_key_of_its_scope(own_place: Place, address: str) -> None:
    """Whatever changes something or reads what is not for all, with each scope and without a key."""
    before = kept(own_place)
    with client_of(address, None) as nobody:
        for told in GUARDED:
            answer = call(nobody, told)
            assert (answer.status_code, word(answer)) == (401, "key-needed"), told.name
            assert answer.headers["www-authenticate"] == 'Bearer realm="startwright"'
            assert scope_of(told) in answer.json()["detail"]
    assert kept(own_place) == before
    for scope in SCOPES:
        key, _ = new_key(own_place, scope)
        before = kept(own_place)
        with client_of(address, key) as holder:
            for told in GUARDED:
                if scope in (scope_of(told), "admin"):
                    continue
                answer = call(holder, told)
                assert (answer.status_code, word(answer)) == (403, "scope-missing"), (scope, told.name)
        assert kept(own_place) == before


def test_the_right_scope_is_enough_and_admin_holds_every_other(own_place: Place, address: str) -> None:
    for scope in SCOPES:
        with client_of(address, new_key(own_place, scope)[0]) as holder:
            for told in GUARDED:
                if scope in (scope_of(told), "admin"):
                    assert call(holder, told).status_code not in (401, 403), (scope, told.name)


def test_a_holder_of_several_scopes_may_use_each(own_place: Place, address: str) -> None:
    with client_of(address, new_key(own_place, "catalogue", "prices")[0]) as holder:
        assert holder.post(SUPPLIERS, json=supplier(), headers=once()).status_code == 201
        assert holder.get("/v1/access-keys").status_code == 403


def test_reading_can_be_closed(own_place: Place) -> None:
    """Without a key nothing but whether the service lives; any key reads."""
    key, _ = new_key(own_place, "estimates")
    readings = [one.path for one in operations() if one.method == "GET" and "{" not in one.path]
    pages = ["/", "/docs", "/openapi.json", "/metrics", "/no/such/path"]
    with serving(own_place, open_reading=False) as address:
        for path in [*readings, *pages]:
            answer = httpx.get(address + path)
            if path.startswith("/health/"):
                assert answer.status_code == 200
            else:
                assert (answer.status_code, word(answer)) == (401, "key-needed"), path
        assert word(httpx.post(address + "/v1/matches", json={"searches": []})) == "key-needed"
        for path in ("/health/../v1/suppliers", "/health/%2e%2e/v1/suppliers", "//v1/suppliers"):
            assert as_it_is_written(address, path) in (401, 404), path
        with client_of(address, key) as holder:
            for path in (SUPPLIERS, "/v1/parts", "/docs", "/openapi.json"):
                assert holder.get(path).status_code == 200, path


def as_it_is_written(address: str, path: str) -> int:
    """Return the status of a path that a client library would tidy up first."""
    host, port = address.removeprefix("http://").split(":")
    with socket.create_connection((host, int(port)), 10) as connection:
        connection.sendall(f"GET {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n".encode())
        return int(connection.recv(100).split()[1])


def test_writing_can_be_opened_on_loopback_but_never_for_keys_and_the_log(place: Place) -> None:
    with serving(place, open_writes=True) as address:
        made = httpx.post(address + SUPPLIERS, json=supplier(), headers=once())
        assert made.status_code == 201
        for path in ("/v1/access-keys", "/v1/audit-entries"):
            assert word(httpx.get(address + path)) == "key-needed"
        asked = {"holder": "Anybody", "scopes": ["admin"]}
        answer = httpx.post(f"{address}/v1/access-keys", json=asked, headers=once())
        assert word(answer) == "key-needed"
        with client_of(address, new_key(place, "admin")[0]) as admin:
            (entry,) = admin.get("/v1/audit-entries?noun=supplier").json()["items"]
        assert (entry["holder"], entry["key_id"], entry["address"]) == (None, None, "127.0.0.1")
        wrong = bearer(make_key().text)
        assert (
            httpx.post(address + SUPPLIERS, json=supplier(), headers={**once(), **wrong}).status_code == 401
        )


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.0.2.1", "some-name.example"])
def test_open_writes_are_not_served_where_others_reach_them(tmp_path: Path, host: str) -> None:
    folder = tmp_path / "data"
    done = startwright(
        "serve", "--host", host, "--port", "0", "--data", folder, STARTWRIGHT_OPEN_WRITES="yes"
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert "STARTWRIGHT_OPEN_WRITES" in done.stderr and host in done.stderr and "Traceback" not in done.stderr
    assert not folder.exists()


def test_a_key_that_was_used_is_noted_by_the_day_and_nothing_else_is_written(
    own_place: Place, address: str
) -> None:
    key, kept_of_it = new_key(own_place, "prices")
    with client_of(address, key) as holder, client_of(address, new_key(own_place, "admin")[0]) as admin:
        first = admin.get(f"/v1/access-keys/{kept_of_it.id}").json()
        assert first["last_used_on"] is None
        before = kept(own_place)
        for _ in range(5):
            assert holder.get(SUPPLIERS).status_code == 200
        later = admin.get(f"/v1/access-keys/{kept_of_it.id}").json()
        assert later["last_used_on"] == datetime.now(UTC).date().isoformat()
        assert kept(own_place) == before
