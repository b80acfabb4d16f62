"""Whoever keeps the catalogue writes which parts are listed for a position; what rests on it follows."""

from collections.abc import Iterator
from typing import Any

import pytest
from catalogue_bodies import bushing_position, family
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS

DAY = "2026-11-25"
BUSH = {"maker": "ombrisk", "number": "OM 3295"}


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


def made_position(writer: Writer, **changes: Any) -> str:
    """Create a family with a seat that `BUSH` is made for; return the path of its position."""
    made = done(writer.post("/v1/families", family(**changes), "catalogue"), 201)
    return f"/v1/families/{made['code']}/positions/drive_end_bushing"


def where_listed(writer: Writer, place: str, part: str) -> list[bool]:
    """Return what each answer says of whether a part is listed for a position."""
    code = place.split("/")[3]
    interchange = writer.read(f"/v1/families/{code}/interchange")["positions"][0]["parts"]
    uses = writer.read(f"/v1/parts/{part}/families", limit=1000)["items"]
    parts = writer.read("/v1/parts", family=code, position="drive_end_bushing")["items"]
    return [
        part in [one["part"]["id"] for one in writer.read(f"{place}/listings")["items"]],
        part in [one["part"]["id"] for one in interchange if one["relation"] == "listed"],
        code in [one["family"] for one in uses],
        part in [one["id"] for one in parts],
    ]


def count(writer: Writer, place: str, part: str) -> tuple[int, int]:
    """Return how many parts a position has, and for how many positions a part is listed."""
    return writer.read(place)["listed_parts"], writer.read(f"/v1/parts/{part}")["listings"]


def seats(writer: Writer, part: str) -> int:
    """Return in how many different seats what stands in for a part is judged."""
    return int(writer.read(f"/v1/parts/{part}/interchange")["seats"])


def test_a_listing_is_created_read_put_again_withdrawn_and_restored(writer: Writer) -> None:
    place = made_position(writer)
    part = writer.read("/v1/parts", maker="ombrisk", number="OM 3295")["items"][0]["id"]
    before = count(writer, place, part)
    created = writer.post(f"{place}/listings", BUSH, "catalogue")
    made = done(created, 201)
    path = created.headers["Location"]
    assert path == f"{place}/listings/{part}"
    assert writer.read(path) == made
    assert writer.tag(path) == created.headers["ETag"]
    assert (made["position"], made["part"]["id"], made["withdrawn_on"]) == ("drive_end_bushing", part, None)
    assert count(writer, place, part) == tuple(number + 1 for number in before)
    assert all(where_listed(writer, place, part))

    again = writer.put(path, BUSH, "catalogue")
    assert (done(again), again.headers["ETag"]) == (made, created.headers["ETag"])
    withdrawn = done(writer.patch(path, {"withdrawn_on": DAY}, "catalogue"))
    assert writer.read(path) == withdrawn
    assert count(writer, place, part) == before
    assert not any(where_listed(writer, place, part))
    assert "restore" in refused(writer.post(f"{place}/listings", BUSH, "catalogue"), 409)["detail"]
    done(writer.patch(path, {"withdrawn_on": None}, "catalogue"))
    assert all(where_listed(writer, place, part))


@pytest.mark.parametrize("withdrawn", ["position", "family"])
def test_listings_of_what_is_withdrawn_count_no_more(writer: Writer, withdrawn: str) -> None:
    seat = {"housing_bore": f"16.00{len(withdrawn)}..16.018 mm", "shaft_diameter": "12.450..12.468 mm"}
    own_seat = bushing_position(seat=seat)  # like no other's, so that it counts
    place = made_position(writer, position=[own_seat, bushing_position("commutator_end_bushing")])
    made = done(writer.post(f"{place}/listings", BUSH, "catalogue"), 201)
    part, code = made["part"]["id"], made["family"]
    before, judged = count(writer, place, part), seats(writer, part)
    path = place if withdrawn == "position" else f"/v1/families/{code}"
    done(writer.patch(path, {"withdrawn_on": DAY}, "catalogue"))
    assert count(writer, place, part)[1] == before[1] - 1
    assert seats(writer, part) == judged - 1
    assert code not in [
        one["family"] for one in writer.read(f"/v1/parts/{part}/families", limit=1000)["items"]
    ]
    other = {"maker": "ombrisk", "number": "OM 3350"}
    assert withdrawn in refused(writer.post(f"{place}/listings", other, "catalogue"), 409)["detail"]


def test_searches_by_measurement_follow_listings(writer: Writer) -> None:
    """A part's share of its size is as its listings: one more listing makes it likelier."""

    def share() -> float:
        found = writer.read(
            "/v1/matches/bushing", bore="12.53mm", outside_diameter="16.03mm", length="12.0mm", limit=100
        )
        by_number = {one["part"]["number"]: one["probability"] for one in found["candidates"]}
        return float(by_number["OM 3295"] / by_number["OM 3350"])

    before = share()
    paths = [
        writer.post(f"{made_position(writer)}/listings", BUSH, "catalogue").headers["Location"] for _ in "12"
    ]
    assert share() > before
    for path in paths:
        done(writer.patch(path, {"withdrawn_on": DAY}, "catalogue"))
    assert share() == pytest.approx(before)


def test_comparisons_buy_only_what_is_listed(writer: Writer) -> None:
    place = made_position(writer)
    code = place.split("/")[3]
    body = {
        "currency": "USD",
        "family": code,
        "positions": [{"position": "drive_end_bushing", "failed": True}],
    }
    part = {"maker": "ombrisk", "number": "OM 3335"}
    for known in writer.read("/v1/families/D12-01/positions/drive_end_bushing/listings")["items"]:
        if writer.read(f"/v1/parts/{known['part']['id']}")["best_offer"] is not None:
            whole = writer.read("/v1/parts", number=known["part"]["number"])["items"][0]
            part = {"maker": whole["maker"]["code"], "number": whole["number"]}
            break
    assert writer.client.post("/v1/comparisons", json=body).status_code == 400
    path = writer.post(f"{place}/listings", part, "catalogue").headers["Location"]
    done(writer.client.post("/v1/comparisons", json=body))
    done(writer.patch(path, {"withdrawn_on": DAY}, "catalogue"))
    assert writer.client.post("/v1/comparisons", json=body).status_code == 400


def test_a_listing_is_of_a_known_part_of_the_positions_kind(writer: Writer) -> None:
    place = made_position(writer)
    contact = writer.read("/v1/parts", kind="contact", limit=1)["items"][0]
    other_kind = {"maker": contact["maker"]["code"], "number": contact["number"]}
    told = refused(writer.post(f"{place}/listings", other_kind, "catalogue"), 400)
    assert pointers(told) == {"#/number": "other_kind"}
    wrong = {"maker": "ombrisk", "number": "OM 0000", "family": "D12-01", "colour": "blue"}
    told = refused(writer.post(f"{place}/listings", wrong, "catalogue"), 400)
    assert pointers(told).keys() == {"#/number", "#/family", "#/colour"}
    path = writer.post(f"{place}/listings", BUSH, "catalogue").headers["Location"]
    told = refused(writer.patch(path, {"number": "OM 3350"}, "catalogue"), 400)
    assert pointers(told) == {"#/number": "never_changes"}


def test_a_withdrawn_part_is_not_listed_anew(writer: Writer) -> None:
    place = made_position(writer)
    part = writer.read("/v1/parts", kind="bushing", limit=1)["items"][0]
    body = {"maker": part["maker"]["code"], "number": part["number"]}
    path = writer.post(f"{place}/listings", body, "catalogue").headers["Location"]
    done(writer.patch(f"/v1/parts/{part['id']}", {"withdrawn_on": DAY}, "catalogue"))
    told = refused(writer.post(f"{made_position(writer)}/listings", body, "catalogue"), 400)
    assert pointers(told) == {"#/number": "withdrawn_part"}
    assert writer.read(f"{place}/listings")["items"] == []
    assert writer.read(path)["withdrawn_on"] is None
    done(writer.patch(path, {"withdrawn_on": DAY}, "catalogue"))
    done(writer.patch(path, {"withdrawn_on": None}, "catalogue"))


def test_listings_need_a_key_for_the_catalogue_and_a_position(writer: Writer) -> None:
    place = made_position(writer)
    refused(writer.post(f"{place}/listings", BUSH, "prices"), 403)
    refused(writer.post(f"{place}/listings", BUSH, None), 401)
    refused(writer.post("/v1/families/D12-0x/positions/contact_disc/listings", BUSH, "catalogue"), 404)
    refused(writer.post(f"{place[:-17]}contact_disc/listings", BUSH, "catalogue"), 404)
    refused(writer.client.get(f"{place}/listings/nothing"), 404)
