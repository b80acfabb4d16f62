"""Whoever keeps the catalogue writes starters; lists, the cross-reference and comparisons follow."""

import itertools
from collections.abc import Iterator
from typing import Any

import pytest
from catalogue_bodies import family
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS

DAY = "2026-11-25"
_counter = itertools.count(9101)


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


def starter(**changes: Any) -> dict[str, Any]:
    """Return a starter of a number of its own (invented)."""
    return {
        "maker": "thraxby",
        "number": f"TX 91-{next(_counter)}",
        "family": "D12-01",
        "description": "Starter, 12 V, 1 kW, clockwise, for the Dunmarrow van",
        **changes,
    }


def by_number(writer: Writer, number: str) -> list[str]:
    """Return the ids of the starters that go by a number, which list and cross-reference agree on."""
    listed = [one["id"] for one in writer.read("/v1/starters", number=number)["items"]]
    answer = writer.client.get(f"/v1/numbers/{number}")
    matches = answer.json()["matches"] if answer.status_code == 200 else []
    assert [one["item"]["id"] for one in matches if one["item"]["owner"] == "starter"] == listed
    return listed


def test_a_starter_is_created_read_replaced_changed_withdrawn_and_restored(writer: Writer) -> None:
    body = starter()
    count = writer.read("/v1/families/D12-01")["starters"]
    created = writer.post("/v1/starters", body, "catalogue")
    made = done(created, 201)
    path = created.headers["Location"]
    assert path == f"/v1/starters/{made['id']}"
    assert writer.read(path) == made
    assert writer.tag(path) == created.headers["ETag"]
    assert made["numbers"] == [{"scheme": "maker", "issuer": "thraxby", "written": body["number"]}]
    spaced = body["number"].replace(" ", "").replace("-", " ")
    assert by_number(writer, spaced) == [made["id"]]
    assert writer.read("/v1/families/D12-01")["starters"] == count + 1

    again = writer.put(path, body, "catalogue")
    assert (done(again), again.headers["ETag"]) == (made, created.headers["ETag"])
    replaced = done(writer.put(path, {**body, "family": "D12-02"}, "catalogue"))
    assert (replaced["family"], replaced["id"]) == ("D12-02", made["id"])
    assert made["id"] in [one["id"] for one in writer.read("/v1/starters", family="D12-02")["items"]]
    changed = done(writer.patch(path, {"description": "Starter, rebuilt"}, "catalogue"))
    assert (changed["family"], changed["description"]) == ("D12-02", "Starter, rebuilt")

    withdrawn = done(writer.patch(path, {"withdrawn_on": DAY}, "catalogue"))
    assert writer.read(path) == withdrawn
    assert by_number(writer, spaced) == []
    done(writer.patch(path, {"withdrawn_on": None}, "catalogue"))
    assert by_number(writer, spaced) == [made["id"]]


def test_a_number_that_was_mistyped_is_put_right_and_found_by_the_right_one(writer: Writer) -> None:
    body = starter()
    path = writer.post("/v1/starters", body, "catalogue").headers["Location"]
    other = starter()["number"]
    changed = done(writer.patch(path, {"number": other}, "catalogue"))
    assert [number["written"] for number in changed["numbers"]] == [other]
    assert (by_number(writer, body["number"]), by_number(writer, other)) == ([], [changed["id"]])


def test_a_makers_number_names_one_part_or_starter_however_it_is_written(writer: Writer) -> None:
    body = starter()
    done(writer.post("/v1/starters", body, "catalogue"), 201)
    same = {**body, "number": body["number"].lower().replace(" ", "/")}
    assert "same number" in refused(writer.post("/v1/starters", same, "catalogue"), 409)["detail"]
    part = writer.read("/v1/parts", maker="thraxby", limit=1)["items"][0]
    of_part = starter(number=part["number"].replace(" ", "."))
    assert "part" in refused(writer.post("/v1/starters", of_part, "catalogue"), 409)["detail"]
    done(writer.post("/v1/starters", {**body, "maker": "morwelk"}, "catalogue"), 201)


def test_every_fault_of_a_starter_is_named_at_once_with_its_pointer(writer: Writer) -> None:
    wrong = {"maker": "thraxbi", "number": "--", "family": "D12-0l", "colour": "blue"}
    problem = refused(writer.post("/v1/starters", wrong, "catalogue"), 400)
    assert pointers(problem).keys() == {"#/maker", "#/number", "#/family", "#/description", "#/colour"}
    assert "thraxby" in [fault.get("nearest") for fault in problem["errors"]]


def test_a_withdrawn_family_takes_no_new_starter_and_keeps_its_own(writer: Writer) -> None:
    code = done(writer.post("/v1/families", family(), "catalogue"), 201)["code"]
    path = writer.post("/v1/starters", starter(family=code), "catalogue").headers["Location"]
    done(writer.patch(f"/v1/families/{code}", {"withdrawn_on": DAY}, "catalogue"))
    told = refused(writer.post("/v1/starters", starter(family=code), "catalogue"), 400)
    assert pointers(told) == {"#/family": "withdrawn_family"}
    done(writer.patch(path, {"description": "Starter, discontinued"}, "catalogue"))
    done(writer.patch(path, {"family": "D12-01"}, "catalogue"))
    told = refused(writer.patch(path, {"family": code}, "catalogue"), 400)
    assert pointers(told) == {"#/family": "withdrawn_family"}


def test_comparisons_follow_which_starters_stand(writer: Writer) -> None:
    def replacements() -> list[str]:
        body = {
            "currency": "USD",
            "family": "D12-01",
            "positions": [{"position": "drive_end_bushing", "failed": True, "part_cost": "4.00"}],
        }
        answer = done(writer.client.post("/v1/comparisons", json=body))
        return [one["id"] for one in answer["options"] if one["id"] != "repair"]

    assert replacements() != []
    paths = [f"/v1/starters/{one['id']}" for one in writer.read("/v1/starters", family="D12-01")["items"]]
    for path in paths:
        done(writer.patch(path, {"withdrawn_on": DAY}, "catalogue"))
    assert replacements() == []
    for path in paths:
        done(writer.patch(path, {"withdrawn_on": None}, "catalogue"))
    assert replacements() != []


def test_starters_need_a_key_for_the_catalogue(writer: Writer) -> None:
    refused(writer.post("/v1/starters", starter(), "prices"), 403)
    refused(writer.post("/v1/starters", starter(), None), 401)
    refused(writer.patch("/v1/starters/nobody", {"description": "x"}, "catalogue", tag='"0"'), 404)
