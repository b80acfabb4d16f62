"""Whoever keeps the catalogue writes makers, sizes and parts; searches and interchange follow at once."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS

TODAY = datetime.now(UTC).date().isoformat()
SCOPE = "catalogue"


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


def maker(code: str, **changes: Any) -> dict[str, Any]:
    return {"code": code, "name": f"Works of {code}", **changes}


def size(code: str, bore: str, **changes: Any) -> dict[str, Any]:
    """A plain bush of a bore that no seed size has, where its bore says so."""
    return {
        "code": code,
        "kind": "bushing",
        "provenance": "measured",
        "dimensions": {
            "bore": bore,
            "outside_diameter": "45.023..45.034 mm",
            "length": "31.890..32.110 mm",
            "flange_diameter": "n/a",
            "flange_thickness": "n/a",
        },
        **changes,
    }


def part(number: str, **changes: Any) -> dict[str, Any]:
    return {
        "maker": "ombrisk",
        "number": number,
        "kind": "bushing",
        "size": "bush-12.5x16x12",
        "description": "Bush, plain",
        "provenance": "catalogue",
        **changes,
    }


def made_part(writer: Writer, number: str, **changes: Any) -> str:
    """Create a part and return its path."""
    response = writer.post("/v1/parts", part(number, **changes), SCOPE)
    done(response, 201)
    return str(response.headers["Location"])


def found(writer: Writer, bore: str) -> list[str]:
    """Return the numbers that a search by bore lists first: those of the most probable size."""
    candidates = writer.read("/v1/matches/bushing", bore=bore, condition="new")["candidates"]
    return [one["part"]["number"] for one in candidates if one["probability"] > 0.2]


def stand_ins(writer: Writer, path: str) -> set[str]:
    return {one["part"]["number"] for one in writer.read(f"{path}/interchange", limit=1000)["parts"]}


def matched(writer: Writer, number: str) -> list[str]:
    response = writer.client.get(f"/v1/numbers/{number}")
    return [] if response.status_code == 404 else [one["written"] for one in response.json()["matches"]]


def test_a_maker_is_created_read_replaced_changed_withdrawn_and_restored(writer: Writer) -> None:
    created = writer.post("/v1/makers", maker("fellwick"), SCOPE)
    made = done(created, 201)
    assert made == {"code": "fellwick", "name": "Works of fellwick", "withdrawn_on": None}
    assert created.headers["Location"] == "/v1/makers/fellwick"
    assert writer.tag("/v1/makers/fellwick") == created.headers["ETag"]
    assert made in writer.read("/v1/makers", limit=1000)["items"]
    replaced = done(writer.put("/v1/makers/fellwick", maker("fellwick", name="Fellwick Turned Parts"), SCOPE))
    assert replaced["name"] == "Fellwick Turned Parts"
    done(writer.patch("/v1/makers/fellwick", {"withdrawn_on": TODAY}, SCOPE))
    assert "fellwick" not in [one["code"] for one in writer.read("/v1/makers", limit=1000)["items"]]
    assert writer.read("/v1/makers/fellwick") == {**replaced, "withdrawn_on": TODAY}
    assert done(writer.patch("/v1/makers/fellwick", {"withdrawn_on": None}, SCOPE)) == replaced
    assert "fellwick" in refused(writer.post("/v1/makers", maker("fellwick"), SCOPE), 409)["detail"]


def test_makers_and_sizes_are_read_in_pieces_by_code_and_by_kind(writer: Writer) -> None:
    for path in ("/v1/makers", "/v1/sizes"):
        whole = [one["code"] for one in writer.read(path, limit=1000)["items"]]
        assert whole == sorted(whole)
        pieces: list[str] = []
        step: str | None = f"{path}?limit=7"
        while step:
            piece = writer.client.get(step).json()
            pieces += [one["code"] for one in piece["items"]]
            step = piece["next"]
        assert pieces == whole
    brushes = writer.read("/v1/sizes", kind="brush_set", limit=1000)
    assert {one["kind"] for one in brushes["items"]} == {"brush_set"}
    assert brushes["total"] == len(brushes["items"]) > 5
    assert refused(writer.client.get("/v1/sizes", params={"kind": "bushings"}), 404)["nearest"] == "bushing"
    assert refused(writer.client.get("/v1/sizes/bush-12.5x16x2"), 404)["nearest"].startswith("bush-12.5x16")
    assert refused(writer.client.get("/v1/makers/ombrik"), 404)["nearest"] == "ombrisk"


def test_a_size_is_told_as_its_parts_tell_it(writer: Writer) -> None:
    one = writer.read("/v1/parts", number="OM 3295")["items"][0]
    told = writer.read(f"/v1/sizes/{one['size']}")
    assert told["dimensions"] == writer.read(f"/v1/parts/{one['id']}")["dimensions"]
    assert (told["code"], told["kind"], told["withdrawn_on"]) == (one["size"], "bushing", None)


def test_a_search_follows_a_size_and_its_parts_within_one_request(writer: Writer) -> None:
    """A bush of 37.5 mm is none of the seed's: what a search for it lists is what was just written."""
    assert found(writer, "37.51mm") == []
    done(writer.post("/v1/sizes", size("bush-37.5", "37.506..37.524 mm"), SCOPE), 201)
    assert found(writer, "37.51mm") == []  # a size without a part is nothing that one could buy
    path = made_part(writer, "OM 3750", size="bush-37.5")
    assert found(writer, "37.51mm") == ["OM 3750"]

    changed = done(writer.patch("/v1/sizes/bush-37.5", {"dimensions": {"bore": "38.206..38.224 mm"}}, SCOPE))
    bore = next(one for one in changed["dimensions"] if one["dimension"] == "bore")
    assert (bore["lower_mm"], bore["upper_mm"]) == (38.206, 38.224)
    assert len([one for one in changed["dimensions"] if one["state"] == "recorded"]) == 3
    assert found(writer, "37.51mm") == []
    assert found(writer, "38.21mm") == ["OM 3750"]
    assert next(one for one in writer.read(path)["dimensions"] if one["dimension"] == "bore") == bore

    done(writer.patch(path, {"withdrawn_on": TODAY}, SCOPE))
    assert found(writer, "38.21mm") == []
    done(writer.patch(path, {"withdrawn_on": None}, SCOPE))
    done(writer.patch("/v1/sizes/bush-37.5", {"withdrawn_on": TODAY}, SCOPE))
    assert found(writer, "38.21mm") == []
    assert writer.read("/v1/parts", size="bush-37.5")["total"] == 0
    assert writer.read(path)["withdrawn_on"] is None
    done(writer.patch("/v1/sizes/bush-37.5", {"withdrawn_on": None}, SCOPE))
    assert found(writer, "38.21mm") == ["OM 3750"]


def test_grouping_follows_a_size(writer: Writer) -> None:
    """Two sizes that no caliper tells apart are one group until one of them is changed."""
    for code, number in (("bush-34-a", "OM 3401"), ("bush-34-b", "OM 3402")):
        done(writer.post("/v1/sizes", size(code, "34.009..34.025 mm"), SCOPE), 201)
        made_part(writer, number, size=code)
    asked = {"bore": "34.02mm", "condition": "new"}

    def groups() -> dict[str, str]:
        candidates = writer.read("/v1/matches/bushing", **asked)["candidates"]
        return {one["part"]["number"]: one["group"] for one in candidates}

    together = groups()
    assert together["OM 3401"] == together["OM 3402"]
    done(writer.patch("/v1/sizes/bush-34-b", {"dimensions": {"length": "25.890..26.110 mm"}}, SCOPE))
    apart = groups()
    assert apart["OM 3401"] != apart["OM 3402"]


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


def test_offers_of_a_withdrawn_maker_are_none(writer: Writer) -> None:
    offer = writer.read("/v1/offers", limit=1)["items"][0]["item"]
    one = writer.read(f"/v1/parts/{offer['id']}")
    maker_path = f"/v1/makers/{one['maker']['code']}"
    assert one["offers"] > 0
    done(writer.patch(maker_path, {"withdrawn_on": TODAY}, SCOPE))
    assert writer.read("/v1/offers", part=offer["id"])["total"] == 0
    assert writer.read(f"/v1/parts/{offer['id']}")["best_offer"] is None
    done(writer.patch(maker_path, {"withdrawn_on": None}, SCOPE))
    assert writer.read(f"/v1/parts/{offer['id']}") == one


def test_a_part_is_created_read_replaced_and_changed_with_its_number(writer: Writer) -> None:
    created = writer.post("/v1/parts", part("OM 5000", material="tin bronze, porous", voltage=12), SCOPE)
    made = done(created, 201)
    path = created.headers["Location"]
    assert path == f"/v1/parts/{made['id']}"
    assert writer.read(path) == made
    assert writer.tag(path) == created.headers["ETag"]
    assert made["numbers"] == [{"scheme": "maker", "issuer": "ombrisk", "written": "OM 5000"}] or [
        {name: one[name] for name in ("scheme", "issuer", "written")} for one in made["numbers"]
    ] == [{"scheme": "maker", "issuer": "ombrisk", "written": "OM 5000"}]
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


def test_every_fault_of_a_size_is_told_at_once(writer: Writer) -> None:
    wrong = {
        "bore": "12.5",
        "outside_diameter": 16,
        "length": "1.2 m",
        "flange_diameter": "20..19 mm",
        "oil_supply": "nune",
        "colour": "red",
    }
    body = {**size("bush x", "12 mm", provenance="guessed"), "dimensions": wrong}
    problem = refused(writer.post("/v1/sizes", body, SCOPE), 400)
    told = pointers(problem)
    assert told["#/code"] == "string_pattern_mismatch"
    assert told["#/provenance"] == "literal_error"
    assert {pointer for pointer in told if "dimensions" in pointer} == {
        f"#/dimensions/{name}" for name in wrong
    }
    nothing_known = {"code": "bush-y", "kind": "bushings", "provenance": "measured", "dimensions": wrong}
    problem = refused(writer.post("/v1/sizes", nothing_known, SCOPE), 400)
    assert pointers(problem) == {"#/kind": "unknown_kind"}
    assert problem["errors"][0]["nearest"] == "bushing"


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"bore": None}, {"#/dimensions/bore": "missing"}),
        ({"bore": "39 mm", "outside_diameter": "38 mm"}, {"#/dimensions/bore": "out_of_order"}),
        ({"flange_diameter": "60 mm"}, {"#/dimensions/flange_thickness": "one_sided"}),
        ({"length": "0.5 mm"}, {"#/dimensions/length": "out_of_span"}),
    ],
)
def test_a_patch_of_a_size_breaks_no_rule_of_its_kind(
    writer: Writer, changes: dict[str, Any], fault: dict[str, str]
) -> None:
    path = "/v1/sizes/bush-patched"
    if writer.client.get(path).status_code == 404:
        done(writer.post("/v1/sizes", size("bush-patched", "35.009..35.025 mm"), SCOPE), 201)
    before = writer.read(path)
    told = pointers(refused(writer.patch(path, {"dimensions": changes}, SCOPE), 400))
    assert told == fault
    assert writer.read(path) == before


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
