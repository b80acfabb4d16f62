"""A key sent in any place whatever leaves no trace in what the server writes, counts or keeps."""

import base64
from typing import Any

import httpx
import pytest
from commands import started
from databases import Place
from keyed_service import bearer, kept, new_key, once, supplier

from api.access.keys import make_key

SUPPLIERS = "/v1/suppliers"


def places(address: str, key: str) -> list[tuple[str, str, dict[str, Any]]]:
    """Return requests that carry a key, each in another place."""
    pair = base64.b64encode(f"user:{key}".encode()).decode()
    typed_wrong = key[:40] + "1" + key[41:]
    write: dict[str, Any] = {"json": supplier()}
    return [
        ("GET", SUPPLIERS, {"headers": bearer(key)}),
        ("POST", SUPPLIERS, {**write, "headers": {**bearer(key), **once()}}),
        ("POST", SUPPLIERS, {**write, "headers": bearer(key)}),
        ("GET", SUPPLIERS, {"headers": {"Authorization": key}}),
        ("GET", SUPPLIERS, {"headers": {"Authorization": f"Basic {pair}"}}),
        ("GET", SUPPLIERS, {"headers": bearer(typed_wrong)}),
        ("GET", SUPPLIERS, {"headers": bearer(key[:-3])}),
        ("GET", f"/v1/{key}", {}),
        ("GET", f"/{'x' * 20}/{key}", {}),
        ("GET", f"/v1/parts/{key}", {}),
        ("GET", f"/v1/numbers/{key}", {}),
        ("GET", f"/v1/suppliers/key={key}", {}),
        ("GET", f"/v1/suppliers/Bearer_{key}", {}),
        ("GET", f"/v1/{typed_wrong}", {}),
        ("GET", f"{SUPPLIERS}?access_key={key}", {}),
        ("GET", f"{SUPPLIERS}?cursor={key}", {}),
        ("GET", SUPPLIERS, {"headers": {"Cookie": f"key={key}"}}),
        ("GET", SUPPLIERS, {"headers": {"User-Agent": key, "Referer": f"http://localhost/{key}"}}),
        ("GET", SUPPLIERS, {"headers": {"X-Request-Id": key}}),
        ("GET", SUPPLIERS, {"headers": {"X-Request-Id": key[:64]}}),
        ("GET", SUPPLIERS, {"headers": {"If-None-Match": key, "X-Api-Key": key}}),
        ("GET", SUPPLIERS, {"headers": {"Host": f"{key}.example"}}),
        ("POST", SUPPLIERS, {"json": {key: key}, "headers": {**bearer(key), **once()}}),
        ("POST", SUPPLIERS, {"content": key, "headers": {**bearer(key), **once()}}),
        ("POST", SUPPLIERS, {**write, "headers": {**bearer(key), "Idempotency-Key": key}}),
        ("POST", SUPPLIERS, {"json": supplier(), "headers": {**bearer(key), **once(key)}}),
    ]


def pieces(key: str) -> set[str]:
    """Return every run of twelve characters of the part of a key that is secret: 60 bits of it."""
    secret = key.rsplit("_", 1)[1]
    return {secret[at : at + 12] for at in range(len(secret) - 11)}


@pytest.mark.parametrize("level", ["debug"])
def test_no_part_of_a_key_is_in_the_servers_log_or_figures(place: Place, level: str) -> None:
    key, _ = new_key(place, "admin")
    with started(STARTWRIGHT_LOG_LEVEL=level, **place.environment) as server:
        address = server.wait_for_address().rstrip("/")
        asked = {"holder": "Made here", "scopes": ["prices"]}
        made = httpx.post(
            f"{address}/v1/access-keys", json=asked, headers={**bearer(key), **once()}, timeout=30
        )
        assert made.status_code == 201, made.text
        second = made.json()["key"]
        statuses = set()
        for secret in (key, second, make_key().text):
            for method, path, more in places(address, secret):
                answer = httpx.request(method, address + path, timeout=30, **more)
                statuses.add(answer.status_code)
            found = {one for one in pieces(secret) if one in httpx.get(f"{address}/metrics").text}
            assert found == set()
        server.stop()
    assert statuses >= {200, 201, 400, 401, 404}
    assert server.errors.count('"event"') > 70
    for secret in (key, second):
        assert {one for one in pieces(secret) if one in server.errors} == set()
        assert {one for one in pieces(secret) if one in str(kept(place)["access_key"])} == set()
    assert second not in str(kept(place))
