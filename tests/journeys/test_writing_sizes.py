"""Whoever keeps the catalogue writes makers and sizes; searches and grouping follow at once."""

from collections.abc import Iterator
from typing import Any

import pytest
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS
from wear_part_bodies import SCOPE, TODAY, found, made_part, maker, size


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


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
        ({"length": 3.5}, {"#/dimensions/length": "string_type"}),
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
    problem = refused(writer.patch(path, {"dimensions": changes}, SCOPE), 400)
    assert pointers(problem) == fault
    assert len(problem["errors"]) == len(fault)
    assert writer.read(path) == before
