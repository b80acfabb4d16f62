"""Whoever keeps the catalogue writes which number was replaced by which; chains end at a current one."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS

TODAY = datetime.now(UTC).date().isoformat()


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


@pytest.fixture(scope="module")
def current(writer: Writer) -> Iterator[dict[str, Any]]:
    """Bushings that no supersession of the seed catalogue names, to be taken one after another."""
    named = {
        end["id"]
        for one in writer.read("/v1/supersessions", limit=1000)["items"]
        for end in (one["old"], one["new"])
    }
    parts = writer.read("/v1/parts", kind="bushing", limit=1000)["items"]
    return iter([one for one in parts if one["id"] not in named])


def entry(old: Any, new: Any, **changes: Any) -> dict[str, Any]:
    return {
        "maker": old["maker"]["code"],
        "old_number": old["number"],
        "new_maker": new["maker"]["code"],
        "new_number": new["number"],
        "on": "2026-10-01",
        **changes,
    }


def way(writer: Writer, part: Any) -> list[str]:
    """Return the ids of the parts that replaced a part, as the part itself and its number tell."""
    told = [step["part"]["id"] for step in writer.read(f"/v1/parts/{part['id']}")["superseded_by"]]
    matches = writer.read(f"/v1/numbers/{part['number']}")["matches"]
    match = next(one for one in matches if one["item"]["id"] == part["id"])
    assert [step["item"]["id"] for step in match["superseded_by"]] == told
    assert match["current"]["id"] == (told[-1] if told else part["id"])
    return told


def test_a_supersession_is_created_read_replaced_changed_withdrawn_and_restored(
    writer: Writer, current: Iterator[Any]
) -> None:
    one, two, three = next(current), next(current), next(current)
    created = writer.post("/v1/supersessions", entry(one, two), "catalogue")
    made = done(created, 201)
    path = created.headers["Location"]
    own = [number for number in writer.read(f"/v1/parts/{one['id']}/numbers")["items"] if number["own"]]
    assert made["id"] == own[0]["id"]
    assert path == f"/v1/supersessions/{made['id']}"
    assert writer.read(path) == made
    assert writer.tag(path) == created.headers["ETag"]
    assert (made["old"]["id"], made["new"]["id"], made["on"]) == (one["id"], two["id"], "2026-10-01")
    assert made in writer.read("/v1/supersessions", limit=1000)["items"]
    assert way(writer, one) == [two["id"]]

    done(writer.put(path, entry(one, three, on="2026-10-02"), "catalogue"))
    assert way(writer, one) == [three["id"]]
    assert done(writer.patch(path, {"on": "2026-10-03"}, "catalogue"))["on"] == "2026-10-03"
    withdrawn = done(writer.patch(path, {"withdrawn_on": TODAY}, "catalogue"))
    assert way(writer, one) == []
    assert writer.read(path) == withdrawn
    done(writer.patch(path, {"withdrawn_on": None}, "catalogue"))
    assert way(writer, one) == [three["id"]]


def test_a_starter_is_superseded_by_a_starter(writer: Writer) -> None:
    named = {
        end["id"]
        for one in writer.read("/v1/supersessions", limit=1000)["items"]
        for end in (one["old"], one["new"])
    }
    starters = writer.read("/v1/starters", limit=1000)["items"]
    one, two, three = [unit for unit in starters if unit["id"] not in named][:3]
    done(writer.post("/v1/supersessions", entry(one, two), "catalogue"), 201)
    done(writer.post("/v1/supersessions", entry(two, three), "catalogue"), 201)
    steps = writer.read(f"/v1/starters/{one['id']}")["superseded_by"]
    assert [step["starter"]["id"] for step in steps] == [two["id"], three["id"]]
    problem = refused(writer.post("/v1/supersessions", entry(three, one), "catalogue"), 400)
    for unit in (one, two, three):
        assert f"{unit['maker']['code']} {unit['number']}" in problem["detail"]


def test_a_circle_is_refused_with_its_numbers(writer: Writer, current: Iterator[Any]) -> None:
    one, two, three, four = (next(current) for _ in range(4))
    paths = [
        writer.post("/v1/supersessions", entry(*pair), "catalogue").headers["Location"]
        for pair in ((one, two), (two, three))
    ]
    problem = refused(writer.post("/v1/supersessions", entry(three, one), "catalogue"), 400)
    names = [f"{part['maker']['code']} {part['number']}" for part in (three, one, two, three)]
    assert " -> ".join(names) in problem["detail"]
    (fault,) = problem["errors"]
    assert (fault["pointer"], fault["value"]) == ("#/new_number", one["number"])
    assert way(writer, one) == [two["id"], three["id"]]

    last = writer.post("/v1/supersessions", entry(three, four), "catalogue").headers["Location"]
    back = {"new_maker": one["maker"]["code"], "new_number": one["number"]}
    assert "circle" in refused(writer.patch(last, back, "catalogue"), 400)["detail"]
    # while a step of the way is withdrawn there is no circle; restoring it would close one
    done(writer.patch(paths[1], {"withdrawn_on": TODAY}, "catalogue"))
    done(writer.patch(last, back, "catalogue"))
    assert way(writer, three) == [one["id"], two["id"]]
    restored = refused(writer.patch(paths[1], {"withdrawn_on": None}, "catalogue"), 400)
    assert "circle" in restored["detail"]
    # and what stays withdrawn may be changed
    assert done(writer.patch(paths[1], {"on": "2026-10-09"}, "catalogue"))["withdrawn_on"] == TODAY


def test_a_number_is_replaced_once(writer: Writer, current: Iterator[Any]) -> None:
    one, two, three = next(current), next(current), next(current)
    path = writer.post("/v1/supersessions", entry(one, two), "catalogue").headers["Location"]
    again = refused(writer.post("/v1/supersessions", entry(one, three), "catalogue"), 409)
    assert f"superseded by {two['maker']['code']} {two['number']}" in again["detail"]
    done(writer.patch(path, {"withdrawn_on": TODAY}, "catalogue"))
    withdrawn = refused(writer.post("/v1/supersessions", entry(one, three), "catalogue"), 409)
    assert "withdrawn from" in withdrawn["detail"]


def test_every_fault_is_told_at_once(writer: Writer, current: Iterator[Any]) -> None:
    one = next(current)
    body = {**entry(one, one), "old_number": "OM 0000", "new_maker": "nobody", "on": "2026-13-01", "why": "x"}
    assert pointers(refused(writer.post("/v1/supersessions", body, "catalogue"), 400)) == {
        "#/old_number": "unknown_number",
        "#/new_number": "unknown_number",
        "#/on": "not_a_day",
        "#/why": "unknown",
    }


def test_what_the_files_refuse_is_refused(writer: Writer, current: Iterator[Any]) -> None:
    one, two = next(current), next(current)
    other = writer.read("/v1/parts", kind="contact", limit=1)["items"][0]
    unit = writer.read("/v1/starters", limit=1)["items"][0]
    for new, code in ((one, "same_number"), (other, "other_kind"), (unit, "other_kind")):
        problem = refused(writer.post("/v1/supersessions", entry(one, new), "catalogue"), 400)
        assert pointers(problem) == {"#/new_number": code}
    path = writer.post("/v1/supersessions", entry(one, two), "catalogue").headers["Location"]
    moved = refused(writer.patch(path, {"old_number": two["number"], "maker": "x"}, "catalogue"), 400)
    assert pointers(moved)["#/old_number"] == "never_changes"
    assert pointers(moved)["#/maker"] == "never_changes"


def test_a_repeated_replacement_changes_nothing(writer: Writer) -> None:
    held = next(
        one
        for one in writer.read("/v1/supersessions", limit=1000)["items"]
        if one["old"]["number"] == "OM 3289"
    )
    path = f"/v1/supersessions/{held['id']}"
    body = {
        "maker": "ombrisk",
        "old_number": "OM 3289",
        "new_maker": "ombrisk",
        "new_number": "OM 3294",
        "on": "2015-01-01",
    }
    tag = writer.tag(path)
    assert writer.put(path, body, "catalogue", tag).headers["ETag"] == tag
    assert writer.tag(path) == tag


def test_another_key_or_none_may_not_write_supersessions(writer: Writer, current: Iterator[Any]) -> None:
    body = entry(next(current), next(current))
    refused(writer.post("/v1/supersessions", body, None), 401)
    refused(writer.post("/v1/supersessions", body, "prices"), 403)


@pytest.mark.parametrize("name", ["1", "00000000-0000-7000-8000-000000000000"])
def test_an_unknown_supersession_is_not_found(writer: Writer, name: str) -> None:
    refused(writer.client.get(f"/v1/supersessions/{name}"), 404)
    refused(writer.patch(f"/v1/supersessions/{name}", {"on": TODAY}, "catalogue", "*"), 404)


def test_a_number_that_replaces_none_has_no_supersession(writer: Writer, current: Iterator[Any]) -> None:
    own = writer.read(f"/v1/parts/{next(current)['id']}/numbers")["items"][0]
    refused(writer.client.get(f"/v1/supersessions/{own['id']}"), 404)


def test_interchange_names_the_successor_until_it_is_withdrawn(
    writer: Writer, current: Iterator[Any]
) -> None:
    """What stands in for a part says which part replaced it."""
    two = next(current)
    one, other = next(
        (part, beside)
        for part in current
        for beside in writer.read("/v1/parts", size=part["size"], limit=1000)["items"]
        if beside["id"] != part["id"]
    )

    def successor() -> Any:
        stand_ins = writer.read(f"/v1/parts/{other['id']}/interchange", limit=1000)["parts"]
        return next(part["superseded_by"] for part in stand_ins if part["part"]["id"] == one["id"])

    path = writer.post("/v1/supersessions", entry(one, two), "catalogue").headers["Location"]
    assert successor()["id"] == two["id"]
    done(writer.patch(path, {"withdrawn_on": TODAY}, "catalogue"))
    assert successor() is None


def test_a_withdrawn_part_is_stepped_over_and_takes_no_new_place_in_a_chain(
    writer: Writer, current: Iterator[Any]
) -> None:
    one, two, three, four = (next(current) for _ in range(4))
    first = writer.post("/v1/supersessions", entry(one, two), "catalogue").headers["Location"]
    done(writer.post("/v1/supersessions", entry(two, three), "catalogue"), 201)
    path = f"/v1/parts/{two['id']}"
    done(writer.patch(path, {"withdrawn_on": TODAY}, "catalogue"))
    assert way(writer, one) == [three["id"]]
    assert writer.read(first)["new"]["id"] == two["id"]
    done(writer.patch(first, {"on": "2026-10-07"}, "catalogue"))
    problem = refused(writer.post("/v1/supersessions", entry(four, two), "catalogue"), 400)
    assert pointers(problem) == {"#/new_number": "withdrawn_part"}
    third = f"/v1/parts/{three['id']}"
    done(writer.patch(third, {"withdrawn_on": TODAY}, "catalogue"))
    assert way(writer, one) == []
    problem = refused(writer.post("/v1/supersessions", entry(three, four), "catalogue"), 400)
    assert pointers(problem) == {"#/old_number": "withdrawn_part"}
    for withdrawn in (path, third):
        done(writer.patch(withdrawn, {"withdrawn_on": None}, "catalogue"))
    assert way(writer, one) == [two["id"], three["id"]]
