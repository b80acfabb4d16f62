"""Whoever keeps the catalogue writes families with their positions; what is found and compared follows."""

from collections.abc import Iterator
from typing import Any

import pytest
from catalogue_bodies import bushing_position, contact_positions, family
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS

DAY = "2026-11-25"


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


def made_family(writer: Writer, **changes: Any) -> str:
    """Create a family; return its path."""
    created = writer.post("/v1/families", family(**changes), "catalogue")
    done(created, 201)
    return created.headers["Location"]


def codes(answer: Any) -> list[str]:
    return [position["code"] for position in answer["positions"]]


def comparison(writer: Writer, code: str) -> int:
    body = {
        "currency": "USD",
        "family": code,
        "labour": {"rate_per_hour": "0"},
        "positions": [{"position": "drive_end_bushing", "failed": True, "part_cost": "4.00"}],
    }
    return writer.client.post("/v1/comparisons", json=body).status_code


def test_a_family_is_created_read_replaced_changed_withdrawn_and_restored(writer: Writer) -> None:
    body = family()
    created = writer.post("/v1/families", body, "catalogue")
    made = done(created, 201)
    path = created.headers["Location"]
    assert path == f"/v1/families/{body['code']}"
    assert writer.read(path) == made
    assert writer.tag(path) == created.headers["ETag"]
    assert made["pinion"]["diametral_pitch"] == 10
    assert made["positions"][0]["seat"]["housing_bore"]["text"] == "16.000..16.018 mm"
    assert found(writer, body["code"]) == [body["code"]]

    other = {**body, "name": "Dunmarrow long van", "pinion": {**body["pinion"], "teeth": 10}}
    replaced = done(writer.put(path, other, "catalogue"))
    assert (replaced["name"], replaced["pinion"]["teeth"]) == ("Dunmarrow long van", 10)
    module = {"pinion": {"diametral_pitch": None, "module": "2.54 mm"}}
    changed = done(writer.patch(path, module, "catalogue"))
    assert (changed["pinion"]["teeth"], changed["pinion"]["module"]["mm"]) == (10, 2.54)
    assert changed["pinion"]["diametral_pitch"] is None
    assert codes(changed) == ["drive_end_bushing"]

    withdrawn = done(writer.patch(path, {"withdrawn_on": DAY}, "catalogue"))
    assert withdrawn["withdrawn_on"] == DAY
    assert writer.read(path) == withdrawn
    assert found(writer, body["code"]) == []
    assert writer.client.get(f"{path}/interchange").status_code == 404
    assert comparison(writer, body["code"]) == 400
    done(writer.patch(path, {"withdrawn_on": None}, "catalogue"))
    assert found(writer, body["code"]) == [body["code"]]
    assert writer.client.get(f"{path}/interchange").status_code == 200
    assert comparison(writer, body["code"]) == 200


def found(writer: Writer, code: str) -> list[str]:
    return [one["code"] for one in writer.read("/v1/families", q=code)["items"]]


def test_to_put_what_is_there_changes_nothing(writer: Writer) -> None:
    body = family(position=[*contact_positions(), bushing_position()])
    created = writer.post("/v1/families", body, "catalogue")
    done(created, 201)
    again = writer.put(created.headers["Location"], body, "catalogue")
    done(again)
    assert again.headers["ETag"] == created.headers["ETag"]


def test_positions_that_need_each_other_come_and_go_with_the_familys_list(writer: Writer) -> None:
    path = made_family(writer)
    both = [*contact_positions(), bushing_position()]
    assert len(codes(done(writer.patch(path, {"position": both}, "catalogue")))) == 4
    left = done(writer.patch(path, {"position": [bushing_position()]}, "catalogue"))
    assert codes(left) == ["drive_end_bushing"]
    gone = writer.read(f"{path}/positions/contact_disc")
    assert gone["withdrawn_on"] is not None
    assert codes({"positions": writer.read(f"{path}/positions")["items"]}) == ["drive_end_bushing"]
    back = done(writer.patch(path, {"position": both}, "catalogue"))
    assert codes(back) == [one["code"] for one in both]
    assert writer.read(f"{path}/positions/contact_disc")["withdrawn_on"] is None
    lacking = refused(writer.patch(path, {"position": both[1:]}, "catalogue"), 400)
    assert pointers(lacking) == {"#/position/0/code": "lacks_partner"}


def test_every_fault_of_a_family_is_named_at_once_with_its_pointer(writer: Writer) -> None:
    wrong = family(
        voltage=13,
        pole_count=3,
        internal_reduction=3.5,
        pinion={
            "teeth": 9,
            "diametral_pitch": 10,
            "module": "2.5 mm",
            "pressure_angle": 20,
            "profile_shift": 0.5,
        },
        pilot_diameter="66.68",
        colour="blue",
        position=[
            bushing_position(kind="contact"),
            bushing_position(
                "commutator_end_bushing", seat={"housing_bore": "12 mm", "shaft_diameter": "13 mm"}
            ),
            {"code": "planet_gears", "quantity": 1},
            contact_positions()[0],
        ],
    )
    told = pointers(refused(writer.post("/v1/families", wrong, "catalogue"), 400))
    assert told.keys() == {
        "#/voltage",
        "#/pole_count",
        "#/internal_reduction",
        "#/pinion/module",
        "#/pilot_diameter",
        "#/colour",
        "#/position/0/kind",
        "#/position/1/seat/shaft_diameter",
        "#/position/2/code",
        "#/position/3/code",
    }
    assert told["#/position/2/code"] == "contradicts_construction"
    assert told["#/position/3/code"] == "lacks_partner"


@pytest.mark.parametrize(
    ("patch", "pointer", "code"),
    [
        ({"construction": "inertia_drive"}, "#/position/4/code", "contradicts_construction"),
        ({"construction": "movable_pole_shoe"}, "#/position/0/code", "contradicts_construction"),
        ({"construction": "planetary_gear_reduction"}, "#/internal_reduction", "contradicts_construction"),
        ({"pinion": {"diametral_pitch": None}}, "#/pinion/diametral_pitch", "missing"),
        ({"code": "D12-99999"}, "#/code", "never_changes"),
        ({"position": []}, "#/position", "too_short"),
    ],
)
def test_a_change_that_what_stays_contradicts_is_refused(
    writer: Writer, patch: Any, pointer: str, code: str
) -> None:
    drive = {"code": "drive_clutch", "kind": "drive_clutch", "quantity": 1}
    path = made_family(writer, position=[*contact_positions(), bushing_position(), drive])
    before = writer.read(path)
    assert pointers(refused(writer.patch(path, patch, "catalogue"), 400))[pointer] == code
    assert writer.read(path) == before


def test_a_movable_pole_shoe_has_a_wound_field_whichever_of_the_two_changes(writer: Writer) -> None:
    path = made_family(writer, construction="movable_pole_shoe")
    refusal = refused(writer.patch(path, {"field": "permanent_magnet"}, "catalogue"), 400)
    assert pointers(refusal) == {"#/field": "contradicts_construction"}
    magnets = made_family(writer, field="permanent_magnet")
    refusal = refused(writer.patch(magnets, {"construction": "movable_pole_shoe"}, "catalogue"), 400)
    assert pointers(refusal) == {"#/field": "contradicts_construction"}


def test_a_code_is_given_once_and_a_key_for_prices_is_not_for_families(writer: Writer) -> None:
    body = family()
    done(writer.post("/v1/families", body, "catalogue"), 201)
    assert "of this code" in refused(writer.post("/v1/families", body, "catalogue"), 409)["detail"]
    refused(writer.post("/v1/families", family(), "prices"), 403)
    refused(writer.post("/v1/families", family(), None), 401)
    path = f"/v1/families/{body['code']}"
    refused(writer.patch(path, {"name": "Another"}, "catalogue", tag='"0"'), 412)
    refused(writer.client.patch(path, json={}, headers=writer.signed("catalogue")), 428)
    refused(writer.patch("/v1/families/D12-0x", {"name": "Nobody"}, "catalogue", tag='"0"'), 404)
    fresh = family()
    done(writer.post("/v1/families", fresh, "catalogue", validate_only="true"))
    assert writer.client.get(f"/v1/families/{fresh['code']}").status_code == 404
