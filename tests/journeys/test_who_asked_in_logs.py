"""The line of a request says from where it came and with which key, and why a key was refused."""

import json
from datetime import timedelta

import httpx
from commands import started
from databases import Place
from keyed_service import bearer, new_key, once, supplier

from api.access.keys import make_key

SUPPLIERS = "/v1/suppliers"
QUOTA = 3


def test_every_use_of_a_key_and_every_refusal_is_told_with_its_reason(place: Place) -> None:
    good, kept = new_key(place, "prices")
    lapsed, _ = new_key(place, "prices", days=1, ago=timedelta(days=2))
    mistyped = good[:-1] + ("a" if good[-1] != "a" else "b")
    with started(**place.environment, STARTWRIGHT_ADDRESS_QUOTA=str(QUOTA)) as server:
        suppliers = server.wait_for_address().rstrip("/") + SUPPLIERS
        for key in (good, lapsed, mistyped, make_key().text, "nothing like a key"):
            httpx.get(suppliers, headers=bearer(key))
        httpx.post(suppliers, json=supplier(), headers={**bearer(good), **once()})
        httpx.get(suppliers.replace("suppliers", "access-keys"), headers=bearer(good))
        httpx.post(suppliers, content=b" " * 2_000_001, headers=bearer(good))
        for _ in range(QUOTA + 1):
            httpx.get(suppliers)
        server.stop()
    lines = [json.loads(line) for line in server.errors.splitlines()]
    told = [
        (one["status"], one.get("key"), one.get("key_fault")) for one in lines if one["event"] == "answered"
    ]
    assert told == [
        (200, kept.id, None),
        (401, None, "expired"),
        (401, None, "malformed"),  # the checksum tells a typing mistake
        (401, None, "unknown"),
        (401, None, "malformed"),
        (201, kept.id, None),
        (403, kept.id, None),
        (413, None, None),
        *[(200, None, None)] * QUOTA,
        (429, None, None),
    ]
    assert {one["address"] for one in lines if one["event"] == "answered"} == {"127.0.0.1"}
    assert good.rsplit("_", 1)[1] not in server.errors
