"""Whoever keeps the catalogue writes parts, each with its number; interchange follows at once."""

from collections.abc import Iterator
from typing import Any

import pytest
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS
from wear_part_bodies import SCOPE, TODAY, made_part, maker, matched, part, size, stand_ins


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


def test_interchange_follows_a_part_its_size_and_its_maker(writer: Writer) -> None:
    old = f"/v1/parts/{writer.read('/v1/parts', number='OM 3295')['items'][0]['id']}"
    done(writer.post("/v1/makers", maker("grebewell"), SCOPE), 201)
    path = made_part(writer, "GW 1", maker="grebewell")
    assert "GW 1" in stand_ins(writer, old)
    for gone in (path, "/v1/makers/grebewell"):
        done(writer.patch(gone, {"withdrawn_on": TODAY}, SCOPE))
        assert "GW 1" not in stand_ins(writer, old)
        assert matched(writer, "gw1") == []
        assert writer.read(path)["number"] == "GW 1"
        done(writer.patch(gone, {"withdrawn_on": None}, SCOPE))
        assert "GW 1" in stand_ins(writer, old)
        assert matched(writer, "gw1") == ["GW 1"]
    done(writer.post("/v1/sizes", size("bush-elsewhere", "31.009..31.025 mm"), SCOPE), 201)
    done(writer.patch(path, {"size": "bush-elsewhere"}, SCOPE))
    assert "GW 1" not in stand_ins(writer, old)


def test_a_part_is_created_read_replaced_and_changed_with_its_number(writer: Writer) -> None:
    created = writer.post("/v1/parts", part("OM 5000", material="tin bronze, porous", voltage=12), SCOPE)
    made = done(created, 201)
    path = created.headers["Location"]
    assert path == f"/v1/parts/{made['id']}"
    assert writer.read(path) == made
    assert writer.tag(path) == created.headers["ETag"]
    assert [(one["scheme"], one["issuer"], one["written"]) for one in made["numbers"]] == [
        ("maker", "ombrisk", "OM 5000")
    ]
    assert matched(writer, "om5000") == ["OM 5000"]

    replaced = done(writer.put(path, part("OM 5001"), SCOPE))
    assert (replaced["number"], replaced["material"], replaced["voltage"]) == ("OM 5001", None, None)
    assert [one["written"] for one in replaced["numbers"]] == ["OM 5001"]
    assert (matched(writer, "om5000"), matched(writer, "om5001")) == ([], ["OM 5001"])
    respelt = done(writer.patch(path, {"number": "om-5001", "maker": "yarnoth"}, SCOPE))
    assert (respelt["maker"]["code"], [one["written"] for one in respelt["numbers"]]) == (
        "yarnoth",
        ["om-5001"],
    )
    assert matched(writer, "OM5001") == ["om-5001"]


def test_a_number_may_be_in_any_script_and_has_64_characters_at_most(writer: Writer) -> None:
    """What the files take, a body takes: \u0416\u041a is Cyrillic."""
    path = made_part(writer, "\u0416\u041a-1")
    assert matched(writer, "\u0436\u043a1") == ["\u0416\u041a-1"]
    assert done(writer.patch(path, {"voltage": 24}, SCOPE))["number"] == "\u0416\u041a-1"
    problem = refused(writer.post("/v1/parts", part("9" * 65), SCOPE), 400)
    assert pointers(problem) == {"#/number": "string_too_long"}


def test_a_number_is_used_once_by_a_maker_however_it_is_written(writer: Writer) -> None:
    taken = refused(writer.post("/v1/parts", part("om3295"), SCOPE), 409)
    assert "OM 3295" in taken["detail"]
    path = made_part(writer, "OM 5100")
    assert "OM 3295" in refused(writer.patch(path, {"number": "om.3295"}, SCOPE), 409)["detail"]
    unit = writer.read("/v1/starters", limit=1)["items"][0]
    body = part(unit["number"].replace(" ", "-"), maker=unit["maker"]["code"])
    assert "starter" in refused(writer.post("/v1/parts", body, SCOPE), 409)["detail"]
    made_part(writer, "OM 3295", maker="yarnoth")
    assert "OM 3295" in refused(writer.patch(path, {"number": "om-3295"}, SCOPE), 409)["detail"]
    assert (
        "OM 3295" in refused(writer.post("/v1/parts", part("om 3295", maker="yarnoth"), SCOPE), 409)["detail"]
    )
    done(writer.patch(path, {"withdrawn_on": TODAY}, SCOPE))
    assert "OM 5100" in refused(writer.post("/v1/parts", part("OM5100"), SCOPE), 409)["detail"]


def test_a_superseded_number_leads_past_what_is_withdrawn(writer: Writer) -> None:
    """OM 3289 was replaced by OM 3294, that by OM 3335 (the seed's supersessions)."""
    old = f"/v1/parts/{writer.read('/v1/parts', number='OM 3289')['items'][0]['id']}"

    def steps() -> list[str]:
        return [step["part"]["number"] for step in writer.read(old)["superseded_by"]]

    assert steps() == ["OM 3294", "OM 3335"]
    between, last = (f"/v1/parts/{step['part']['id']}" for step in writer.read(old)["superseded_by"])
    done(writer.patch(between, {"withdrawn_on": TODAY}, SCOPE))
    assert steps() == ["OM 3335"]
    done(writer.patch(last, {"withdrawn_on": TODAY}, SCOPE))
    assert steps() == []
    assert writer.read("/v1/numbers/OM3289")["matches"][0]["current"]["number"] == "OM 3289"
    for path in (between, last):
        done(writer.patch(path, {"withdrawn_on": None}, SCOPE))
    done(writer.patch(last, {"number": "OM 3335 A"}, SCOPE))
    assert steps() == ["OM 3294", "OM 3335 A"]
    done(writer.patch(last, {"number": "OM 3335"}, SCOPE))


def test_every_fault_of_a_part_is_told_at_once(writer: Writer) -> None:
    body = part("---", maker="ombrik", size="bush-12.5x16x2", kind="bushings", voltage=13, colour="red")
    del body["description"]
    problem = refused(writer.post("/v1/parts", body, SCOPE), 400)
    assert pointers(problem) == {
        "#/maker": "unknown_maker",
        "#/number": "string_pattern_mismatch",
        "#/kind": "unknown_kind",
        "#/size": "unknown_size",
        "#/voltage": "literal_error",
        "#/description": "missing",
        "#/colour": "unknown",
    }
    nearest = {fault["pointer"]: fault.get("nearest") for fault in problem["errors"]}
    assert (nearest["#/maker"], nearest["#/kind"]) == ("ombrisk", "bushing")


def test_what_names_a_thing_never_changes(writer: Writer) -> None:
    path = made_part(writer, "OM 5200")
    brush = writer.read("/v1/sizes", kind="brush_set", limit=1)["items"][0]["code"]
    told = pointers(refused(writer.patch(path, {"kind": "brush_set", "size": brush}, SCOPE), 400))
    assert told == {"#/kind": "never_changes"}
    assert pointers(refused(writer.patch(path, {"size": brush}, SCOPE), 400)) == {"#/size": "other_kind"}
    told = pointers(refused(writer.patch("/v1/makers/ombrisk", {"code": "ombrusk"}, SCOPE), 400))
    assert told == {"#/code": "never_changes"}
    body = {"code": "bush-new", "kind": "contact"}
    told = pointers(refused(writer.patch("/v1/sizes/bush-12.5x16x12", body, SCOPE), 400))
    assert (told["#/code"], told["#/kind"]) == ("never_changes", "never_changes")


def test_a_new_reference_to_what_is_withdrawn_is_refused_and_an_old_one_stays(writer: Writer) -> None:
    done(writer.post("/v1/makers", maker("oldmere"), SCOPE), 201)
    done(writer.post("/v1/sizes", size("bush-old", "33.009..33.025 mm"), SCOPE), 201)
    path = made_part(writer, "OLD 1", maker="oldmere", size="bush-old")
    other = made_part(writer, "OM 5300")
    for gone in ("/v1/makers/oldmere", "/v1/sizes/bush-old"):
        done(writer.patch(gone, {"withdrawn_on": TODAY}, SCOPE))
    both = {"#/maker": "withdrawn_maker", "#/size": "withdrawn_size"}
    body = part("OLD 2", maker="oldmere", size="bush-old")
    assert pointers(refused(writer.post("/v1/parts", body, SCOPE), 400)) == both
    moved = {"maker": "oldmere", "size": "bush-old"}
    assert pointers(refused(writer.patch(other, moved, SCOPE), 400)) == both
    assert done(writer.patch(path, {"description": "Bush, old"}, SCOPE))["description"] == "Bush, old"


def test_what_else_is_told_of_a_thing_is_no_conflict_but_no_reader_misses_it(writer: Writer) -> None:
    """An offer, listing, name or another day between reading and writing changes no part, family, offer.

    Each answer's tag is another one all the same, so that nobody is told 304 (RFC 9110 8.8.1: a strong tag
    changes whenever the answer does).
    """
    part = writer.read("/v1/parts", number="OM 3335")["items"][0]["id"]
    listing = writer.read(f"/v1/parts/{part}/families")["items"][0]
    position = f"/v1/families/{listing['family']}/positions/{listing['positions'][0]['position']}"
    family = f"/v1/families/{listing['family']}"
    offer = f"/v1/offers/{writer.read('/v1/offers', part=part, limit=1)['items'][0]['id']}"
    read = {path: writer.tag(path) for path in (f"/v1/parts/{part}", position, family, offer)}
    another_day = writer.client.get(f"/v1/parts/{part}", params={"as_of": "2020-01-01"}).headers["ETag"]
    price = {
        "supplier": "ruddlefold",
        "number": "TAG-1",
        "item": "part",
        "maker": "ombrisk",
        "item_number": "OM 3335",
        "condition": "new",
        "price": "0.01",
        "currency": "USD",
        "pack_size": 3,
        "warranty_months": 12,
        "lead_time_days": 2,
        "valid_from": "2026-01-01",
    }
    done(writer.post("/v1/offers", price, "prices"), 201)
    done(writer.patch(f"{position}/listings/{part}", {"withdrawn_on": TODAY}, "catalogue"))
    done(writer.patch("/v1/makers/ombrisk", {"name": "Ombrisk and Sons"}, "catalogue"))
    for path, tag in read.items():
        fresh = writer.client.get(path, headers={"If-None-Match": tag})
        assert fresh.status_code == 200 and fresh.headers["ETag"] != tag, path
        scope = "prices" if path == offer else "catalogue"
        changed = writer.patch(path, {"withdrawn_on": None}, scope, tag)
        assert done(changed) == fresh.json()
        assert changed.headers["ETag"] == fresh.headers["ETag"]
    done(writer.patch(f"/v1/parts/{part}", {"description": "Bush"}, "catalogue", another_day))
    for tag in (another_day, read[f"/v1/parts/{part}"]):
        late = writer.patch(f"/v1/parts/{part}", {"description": "Bushing"}, "catalogue", tag)
        refused(late, 412)


def test_a_late_change_that_the_present_state_contradicts_is_told_that_it_is_late(writer: Writer) -> None:
    """RFC 9110 13.2.1: the state is judged before the content is worked on; a wrong type is wrong in any."""
    part = writer.read("/v1/parts", number="OM 3294")["items"][0]
    path, old = f"/v1/parts/{part['id']}", writer.tag(f"/v1/parts/{part['id']}")
    unknown = {"size": "no-such-size"}
    refused(writer.patch(path, unknown, "catalogue", old), 400)
    done(writer.patch(path, {"description": "Bush, once more"}, "catalogue"))
    refused(writer.patch(path, unknown, "catalogue", old), 412)
    assert pointers(refused(writer.patch(path, {"size": 7, "maker": "nobody"}, "catalogue", old), 400)) == {
        "#/size": "string_type",
        "#/maker": "unknown_maker",
    }
    bare = writer.client.patch(path, json=unknown, headers=writer.signed("catalogue"))
    refused(bare, 428)


def test_a_replacement_by_itself_changes_nothing(writer: Writer) -> None:
    for path, body in (
        ("/v1/makers", maker("twicewell")),
        ("/v1/sizes", size("bush-twice", "32.009..32.025 mm")),
        ("/v1/parts", part("OM 5400")),
    ):
        created = writer.post(path, body, SCOPE)
        done(created, 201)
        place, tag = created.headers["Location"], created.headers["ETag"]
        again = writer.put(place, body, SCOPE, tag)
        assert (again.status_code, again.headers["ETag"], again.json()) == (200, tag, created.json())
        assert writer.patch(place, {}, SCOPE, tag).headers["ETag"] == tag


def test_what_is_only_validated_is_not_kept(writer: Writer) -> None:
    tried = writer.post("/v1/parts", part("OM 5500"), SCOPE, validate_only="true")
    assert done(tried)["number"] == "OM 5500"
    assert "Location" not in tried.headers
    assert matched(writer, "OM5500") == []


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("/v1/makers/ombrisk", {"name": "X"}),
        ("/v1/sizes/bush-12.5x16x12", {"provenance": "measured"}),
        ("/v1/parts/{id}", {"description": "X"}),
    ],
)
def test_another_key_or_none_may_not_write_the_catalogue(
    writer: Writer, path: str, body: dict[str, str]
) -> None:
    path = path.format(id=writer.read("/v1/parts", limit=1)["items"][0]["id"])
    collection = path.rsplit("/", 1)[0]
    refused(writer.post(collection, body, None), 401)
    refused(writer.post(collection, body, "prices"), 403)
    refused(writer.patch(path, body, "prices"), 403)
    refused(writer.put(path, body, None), 401)


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("/v1/makers/nobody", maker("nobody")),
        ("/v1/sizes/none", size("none", "40 mm")),
        ("/v1/parts/1", part("X 1")),
        ("/v1/parts/00000000-0000-7000-8000-000000000000", part("X 1")),
    ],
)
def test_what_is_not_there_is_not_found(writer: Writer, path: str, body: dict[str, Any]) -> None:
    refused(writer.client.get(path), 404)
    refused(writer.put(path, body, SCOPE, "*"), 404)
    refused(writer.patch(path, {}, SCOPE, "*"), 404)
