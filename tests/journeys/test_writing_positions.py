"""Whoever keeps the catalogue writes positions one by one, as far as the family's construction lets him."""

from collections.abc import Iterator
from typing import Any

import pytest
from catalogue_bodies import bushing_position, contact_positions, family
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS

DAY = "2026-11-25"
BUSH = {"maker": "ombrisk", "number": "OM 3295"}
"""A bush of the size that the seat of `bushing_position` is made for."""


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


def made_family(writer: Writer, **changes: Any) -> str:
    created = writer.post("/v1/families", family(**changes), "catalogue")
    done(created, 201)
    return created.headers["Location"]


def codes(writer: Writer, path: str) -> list[str]:
    """Return the positions of a family as its interchange has them, and as its list has them."""
    listed = [one["code"] for one in writer.read(f"{path}/positions")["items"]]
    assert [one["position"] for one in writer.read(f"{path}/interchange")["positions"]] == listed
    return listed


def test_a_position_is_created_read_replaced_changed_withdrawn_and_restored(writer: Writer) -> None:
    path = made_family(writer)
    body = bushing_position("commutator_end_bushing")
    created = writer.post(f"{path}/positions", body, "catalogue")
    made = done(created, 201)
    place = created.headers["Location"]
    assert place == f"{path}/positions/commutator_end_bushing"
    assert writer.read(place) == made
    assert writer.tag(place) == created.headers["ETag"]
    assert codes(writer, path) == ["drive_end_bushing", "commutator_end_bushing"]

    again = writer.put(place, body, "catalogue")
    assert (done(again), again.headers["ETag"]) == (made, created.headers["ETag"])
    wider = {**body, "quantity": 2, "seat": {"housing_bore": "0.630..0.631 in"}}
    replaced = done(writer.put(place, wider, "catalogue"))
    assert (replaced["quantity"], list(replaced["seat"])) == (2, ["housing_bore"])
    seat = {"seat": {"shaft_diameter": "12.450..12.468 mm", "housing_bore": None}}
    changed = done(writer.patch(place, seat, "catalogue"))
    assert (changed["quantity"], list(changed["seat"])) == (2, ["shaft_diameter"])

    withdrawn = done(writer.patch(place, {"withdrawn_on": DAY}, "catalogue"))
    assert writer.read(place) == withdrawn
    assert codes(writer, path) == ["drive_end_bushing"]
    assert "restore" in refused(writer.post(f"{path}/positions", body, "catalogue"), 409)["detail"]
    done(writer.patch(place, {"quantity": 1}, "catalogue"))
    assert codes(writer, path) == ["drive_end_bushing"]
    done(writer.patch(place, {"withdrawn_on": None}, "catalogue"))
    assert codes(writer, path) == ["drive_end_bushing", "commutator_end_bushing"]


def test_interchange_follows_a_change_of_a_seat(writer: Writer) -> None:
    path = made_family(writer)
    place = f"{path}/positions/drive_end_bushing"
    listing = writer.post(f"{place}/listings", BUSH, "catalogue")
    part = done(listing, 201)["part"]["id"]

    def judged() -> tuple[str, str]:
        """Return the part's grade, and the verdict on its outside diameter."""
        positions = writer.read(f"{path}/interchange")["positions"]
        this = next(one for one in positions[0]["parts"] if one["part"]["id"] == part)
        verdicts = {reason["dimension"]: reason["verdict"] for reason in this["reasons"]}
        return this["grade"], verdicts["outside_diameter"]

    assert judged() == ("fits", "fits")
    done(writer.patch(place, {"seat": {"housing_bore": "17.000..17.018 mm"}}, "catalogue"))
    assert judged() == ("unknown", "does_not_fit")  # its maker's listing stands against the seat


def test_a_contact_neither_comes_nor_goes_without_its_partners(writer: Writer) -> None:
    alone = made_family(writer)
    refusal = refused(writer.post(f"{alone}/positions", contact_positions()[0], "catalogue"), 400)
    assert pointers(refusal) == {"#/code": "lacks_partner"}
    path = made_family(writer, position=[*contact_positions(), bushing_position()])
    for contact in contact_positions():
        place = f"{path}/positions/{contact['code']}"
        refusal = refused(writer.patch(place, {"withdrawn_on": DAY}, "catalogue"), 400)
        assert pointers(refusal) == {"#/withdrawn_on": "lacks_partner"}
        assert writer.read(place)["withdrawn_on"] is None
    done(writer.patch(path, {"position": [bushing_position()]}, "catalogue"))
    disc = f"{path}/positions/contact_disc"
    refusal = refused(writer.patch(disc, {"withdrawn_on": None}, "catalogue"), 400)
    assert pointers(refusal) == {"#/code": "lacks_partner"}
    assert codes(writer, path) == ["drive_end_bushing"]


def test_the_last_position_stays(writer: Writer) -> None:
    place = f"{made_family(writer)}/positions/drive_end_bushing"
    refusal = refused(writer.patch(place, {"withdrawn_on": DAY}, "catalogue"), 400)
    assert "one position at least" in refusal["errors"][0]["expected"]


def test_every_fault_of_a_position_is_named_at_once_with_its_pointer(writer: Writer) -> None:
    path = made_family(writer)
    wrong = {
        "code": "planet_gears",
        "kind": "bushings",
        "quantity": 25,
        "seat": {"housing_bore": "16", "ring_gear_teeth": "many", "helix_hand": "up", "colour": "blue"},
        "family": "D12-01",
    }
    told = pointers(refused(writer.post(f"{path}/positions", wrong, "catalogue"), 400))
    assert told.keys() == {
        "#/code",
        "#/kind",
        "#/quantity",
        "#/seat/housing_bore",
        "#/seat/ring_gear_teeth",
        "#/seat/helix_hand",
        "#/seat/colour",
        "#/family",
    }
    assert told["#/code"] == "contradicts_construction"


def test_a_kind_stays_while_parts_of_it_are_listed(writer: Writer) -> None:
    bearing = {"code": "drive_end_bearing", "kind": "bushing", "quantity": 1}
    path = made_family(writer, position=[bushing_position(), bearing])
    place = f"{path}/positions/drive_end_bearing"
    listing = writer.post(f"{place}/listings", BUSH, "catalogue").headers["Location"]
    told = refused(writer.patch(place, {"kind": None}, "catalogue"), 400)
    assert pointers(told) == {"#/kind": "other_kind"}
    told = refused(
        writer.patch(path, {"position": [bushing_position(), {**bearing, "kind": "contact"}]}, "catalogue"),
        400,
    )
    assert pointers(told) == {"#/position/1/kind": "other_kind"}
    done(writer.patch(listing, {"withdrawn_on": DAY}, "catalogue"))
    assert done(writer.patch(place, {"kind": None}, "catalogue"))["kind"] is None
    told = refused(writer.patch(listing, {"withdrawn_on": None}, "catalogue"), 400)
    assert pointers(told) == {"#/number": "other_kind"}


def test_positions_of_no_family_of_a_withdrawn_one_and_without_the_scope(writer: Writer) -> None:
    refused(writer.post("/v1/families/D12-0x/positions", bushing_position(), "catalogue"), 404)
    path = made_family(writer)
    end = bushing_position("commutator_end_bushing")
    refused(writer.post(f"{path}/positions", end, "prices"), 403)
    refused(writer.post(f"{path}/positions", bushing_position(), "catalogue"), 409)
    done(writer.patch(path, {"withdrawn_on": DAY}, "catalogue"))
    assert "withdrawn" in refused(writer.post(f"{path}/positions", end, "catalogue"), 409)["detail"]
