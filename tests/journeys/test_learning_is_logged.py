"""What the catalogue learns is in the log of changes as a change of what learned it, with who measured."""

from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from bench_bodies import RECORDS, new_bush, record
from catalogue_bodies import family
from databases import BACKENDS, Place, new_place
from keyed_service import client_of, new_key, once
from running_service import serving
from wear_part_bodies import TODAY


@pytest.fixture(scope="module", params=BACKENDS)
def place(request: pytest.FixtureRequest) -> Iterator[Place]:
    with new_place(request.param, "seeded") as made:
        yield made


@pytest.fixture(scope="module")
def admin(place: Place) -> Iterator[httpx.Client]:
    key, _ = new_key(place, "admin", holder="Bench by the window")
    with serving(place) as address, client_of(address, key) as client:
        yield client


def entries(admin: httpx.Client, name: str) -> list[Any]:
    """Return what the log says of a thing, the oldest first."""
    told: list[Any] = admin.get("/v1/audit-entries", params={"name": name}).json()["items"]
    return told[::-1]


def keep(admin: httpx.Client, body: dict[str, Any]) -> str:
    response = admin.post(RECORDS, json=body, headers=once())
    assert response.status_code == 201, response.text
    return str(response.headers["Location"])


def patch(admin: httpx.Client, path: str, body: dict[str, Any]) -> None:
    tag = admin.get(path).headers["ETag"]
    response = admin.patch(path, json=body, headers={"If-Match": tag})
    assert response.status_code == 200, response.text


def test_a_size_that_learns_is_logged_as_a_size(admin: httpx.Client) -> None:
    name = "/v1/sizes/bush-logged"
    first = keep(admin, record("one", new_bush("38.51 mm"), size="bush-logged", kind="bushing"))
    second = keep(admin, record("two", {"bore": "38.52 mm"}, size="bush-logged"))
    worn = keep(admin, record("three", {"bore": {"text": "38.7 mm", "surface": "worn"}}, size="bush-logged"))
    patch(admin, second, {"withdrawn_on": TODAY})
    patch(admin, first, {"withdrawn_on": TODAY})
    patch(admin, worn, {"withdrawn_on": TODAY})
    patch(admin, first, {"withdrawn_on": None})
    told = entries(admin, name)
    assert [one["noun"] for one in told] == ["size"] * len(told)
    assert [one["action"] for one in told] == ["create", "change", "change", "withdraw", "restore"]
    assert {one["holder"] for one in told} == {"Bench by the window"}
    bores = [one["after"]["dimensions"]["bore"] for one in told[:3]]
    assert bores[0] == bores[2] == "38.510 mm"
    assert bores[1] != bores[0]
    assert told[0]["before"] is None
    assert told[1]["before"] == told[0]["after"]
    assert told[0]["after"]["knowledge_uncertainty_nm"]["bore"] > 20_000
    assert [one["action"] for one in entries(admin, first)] == ["create", "withdraw", "restore"]


def test_a_record_that_teaches_nothing_changes_no_size(admin: httpx.Client) -> None:
    name = "/v1/sizes/bush-12.5x16x12"
    keep(admin, record("drawn", {"bore": "12.51 mm"}, size="bush-12.5x16x12"))
    assert entries(admin, name) == []


def test_a_seat_that_learns_is_logged_as_its_position(admin: httpx.Client) -> None:
    body = family(position=[{"code": "drive_end_bushing", "kind": "bushing", "quantity": 1}])
    assert admin.post("/v1/families", json=body, headers=once()).status_code == 201
    seat = {"family": body["code"], "position": "drive_end_bushing"}
    keep(admin, record("unit", {"housing_bore": "16.01 mm"}, **seat))
    (told,) = entries(admin, f"/v1/families/{body['code']}/positions/drive_end_bushing")
    assert (told["noun"], told["action"]) == ("position", "change")
    assert told["before"]["seat"] is None
    assert told["after"]["seat"] == {"housing_bore": "16.010 mm"}
