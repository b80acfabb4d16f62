"""Whoever keeps the catalogue writes the further numbers of parts and starters."""

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


def path_of(writer: Writer, number: str = "OM 3335") -> str:
    return f"/v1/parts/{writer.read('/v1/parts', number=number)['items'][0]['id']}/numbers"


def starter_path(writer: Writer) -> str:
    return f"/v1/starters/{writer.read('/v1/starters', limit=1)['items'][0]['id']}/numbers"


def entry(written: str, **changes: Any) -> dict[str, Any]:
    return {"scheme": "aftermarket", "issuer": "Marrowby List", "written": written, **changes}


def found(writer: Writer, number: str) -> list[str]:
    """Return the makers' numbers of what goes by a number."""
    response = writer.client.get(f"/v1/numbers/{number}")
    if response.status_code == 404:
        return []
    return [match["item"]["number"] for match in response.json()["matches"]]


@pytest.mark.parametrize("owner", ["part", "starter"])
def test_a_number_is_created_read_replaced_changed_withdrawn_and_restored(writer: Writer, owner: str) -> None:
    numbers = path_of(writer) if owner == "part" else starter_path(writer)
    item = writer.read(numbers.removesuffix("/numbers"))
    first, second = f"ML-{owner}-77501", f"ML-{owner}-77588"
    created = writer.post(numbers, entry(first), "catalogue")
    made = done(created, 201)
    path = created.headers["Location"]
    assert path == f"{numbers}/{made['id']}"
    assert writer.read(path) == made
    assert writer.tag(path) == created.headers["ETag"]
    assert (made["own"], made["withdrawn_on"]) == (False, None)
    assert made["normalised"] == first.replace("-", "").upper()
    assert made in writer.read(numbers)["items"]
    assert found(writer, first.lower().replace("-", " ")) == [item["number"]]
    assert [one["id"] for one in writer.read(f"/v1/{owner}s", number=first)["items"]] == [item["id"]]

    changed = writer.patch(path, {"written": second}, "catalogue")
    assert done(changed)["written"] == second
    assert found(writer, first) == []
    assert found(writer, second) == [item["number"]]
    done(writer.put(path, entry(first, issuer="Tollmarrow List"), "catalogue"))
    assert found(writer, first) == [item["number"]]

    withdrawn = done(writer.patch(path, {"withdrawn_on": TODAY}, "catalogue"))
    assert withdrawn["withdrawn_on"] == TODAY
    assert found(writer, first) == []
    assert writer.read(f"/v1/{owner}s", number=first)["items"] == []
    assert first not in [one["written"] for one in writer.read(numbers.removesuffix("/numbers"))["numbers"]]
    assert writer.read(path) == withdrawn
    assert withdrawn in writer.read(numbers)["items"]
    done(writer.patch(path, {"withdrawn_on": None}, "catalogue"))
    assert found(writer, first) == [item["number"]]
    assert first in [one["written"] for one in writer.read(numbers.removesuffix("/numbers"))["numbers"]]


def test_a_withdrawn_number_is_not_a_near_miss_either(writer: Writer) -> None:
    path = writer.post(path_of(writer), entry("QXJ 4417 83"), "catalogue").headers["Location"]
    near = writer.read("/v1/numbers/QXJ 4417 84")["near"]
    assert [one["written"] for one in near] == ["QXJ 4417 83"]
    done(writer.patch(path, {"withdrawn_on": TODAY}, "catalogue"))
    refused(writer.client.get("/v1/numbers/QXJ 4417 84"), 404)


def test_every_fault_is_told_at_once(writer: Writer) -> None:
    body = {"scheme": "gtim", "written": "--", "issuer": "x" * 201, "owner": "part", "withdrawn_on": "soon"}
    problem = refused(writer.post(path_of(writer), body, "catalogue"), 400)
    assert pointers(problem) == {
        "#/scheme": "literal_error",
        "#/written": "no_letters_or_digits",
        "#/issuer": "string_too_long",
        "#/owner": "unknown",
        "#/withdrawn_on": "string_pattern_mismatch",
    }


@pytest.mark.parametrize(
    ("body", "faults"),
    [
        ({"scheme": "gtin", "written": "2134193001076"}, {"#/written": "gtin_check_digit"}),
        ({"scheme": "gtin", "written": "213419300107"}, {"#/written": "gtin_check_digit"}),
        ({"scheme": "gtin", "written": "21341930010"}, {"#/written": "gtin_length"}),
        (
            {"scheme": "gtin", "written": "A", "issuer": "Marrowby List"},
            {"#/written": "gtin_not_digits", "#/issuer": "not_applicable"},
        ),
        ({"scheme": "aftermarket", "written": "X1"}, {"#/issuer": "missing"}),
        ({"scheme": "maker", "issuer": "ombrisk", "written": "om-3335"}, {"#/written": "duplicate"}),
        (
            {"scheme": "aftermarket", "issuer": "Marrowby List", "written": "9" * 65},
            {"#/written": "string_too_long"},
        ),
    ],
)
def test_what_the_files_refuse_is_refused(writer: Writer, body: Any, faults: dict[str, str]) -> None:
    """Check digits: modulo 10 with weight 3 (GS1 General Specifications)."""
    assert pointers(refused(writer.post(path_of(writer), body, "catalogue"), 400)) == faults


def test_a_gtin_names_one_thing_whatever_its_leading_zeros(writer: Writer) -> None:
    """2134193001075 is a seed starter's GTIN-13; as GTIN-14 it has a zero before (GS1)."""
    taken = entry("02134193001075", scheme="gtin", issuer=None)
    del taken["issuer"]
    problem = refused(writer.post(path_of(writer), taken, "catalogue"), 409)
    assert "starter TX 90-467" in problem["detail"]
    starter = writer.read("/v1/starters", number="TX 90-467")["items"][0]["id"]
    numbers = f"/v1/starters/{starter}/numbers"
    held = next(one for one in writer.read(numbers)["items"] if one["scheme"] == "gtin")
    done(writer.patch(f"{numbers}/{held['id']}", {"withdrawn_on": TODAY}, "catalogue"))
    done(writer.post(path_of(writer), taken, "catalogue"), 201)
    assert found(writer, "2134193001075") == ["OM 3335"]
    back = refused(writer.patch(f"{numbers}/{held['id']}", {"withdrawn_on": None}, "catalogue"), 409)
    assert "part OM 3335" in back["detail"]


def test_one_number_is_stated_once_but_may_be_on_several_things(writer: Writer) -> None:
    made = writer.post(path_of(writer), entry("CGX 501"), "catalogue")
    path = made.headers["Location"]
    again = refused(writer.post(path_of(writer), entry("cgx-501"), "catalogue"), 409)
    assert "'CGX 501'" in again["detail"]
    done(writer.post(path_of(writer), entry("CGX 501", issuer="Tollmarrow List"), "catalogue"), 201)
    done(writer.post(path_of(writer, "OM 3295"), entry("CGX 501"), "catalogue"), 201)
    assert sorted(found(writer, "CGX501")) == ["OM 3295", "OM 3335", "OM 3335"]
    done(writer.patch(path, {"withdrawn_on": TODAY}, "catalogue"))
    assert (
        "withdrawn from" in refused(writer.post(path_of(writer), entry("CGX501"), "catalogue"), 409)["detail"]
    )


def test_the_makers_own_number_is_kept_with_its_part(writer: Writer) -> None:
    numbers = path_of(writer)
    own = [one for one in writer.read(numbers)["items"] if one["own"]]
    assert [one["written"] for one in own] == ["OM 3335"]
    path = f"{numbers}/{own[0]['id']}"
    assert writer.read(path) == own[0]
    kept = refused(writer.patch(path, {"written": "OM 9999"}, "catalogue"), 409)
    assert "maker's own" in kept["detail"]
    assert pointers(refused(writer.patch(path, {"withdrawn_on": TODAY}, "catalogue"), 400)) == {
        "#/written": "duplicate"
    }
    refused(writer.put(path, entry("X 1"), "catalogue"), 409)
    assert writer.read(path) == own[0]


def test_numbers_of_a_withdrawn_part_lead_nowhere_until_it_is_restored(writer: Writer) -> None:
    numbers = path_of(writer, "OM 3294")
    made = writer.post(numbers, entry("WD 6604 2"), "catalogue").headers["Location"]
    part = numbers.removesuffix("/numbers")
    done(writer.patch(part, {"withdrawn_on": TODAY}, "catalogue"))
    assert found(writer, "WD 6604 2") == []
    assert writer.read(made)["written"] == "WD 6604 2"
    done(writer.patch(made, {"written": "WD 6604 3"}, "catalogue"))
    problem = refused(writer.post(numbers, entry("WD 6604 4"), "catalogue"), 400)
    assert pointers(problem) == {"#": "withdrawn_part"}
    done(writer.patch(part, {"withdrawn_on": None}, "catalogue"))
    assert found(writer, "WD 6604 3") == ["OM 3294"]


def test_another_key_or_none_may_not_write_numbers(writer: Writer) -> None:
    numbers = path_of(writer)
    refused(writer.post(numbers, entry("X2"), None), 401)
    refused(writer.post(numbers, entry("X2"), "prices"), 403)


def test_an_unknown_owner_or_number_is_not_found(writer: Writer) -> None:
    nobody = "00000000-0000-7000-8000-000000000000"
    numbers = path_of(writer)
    held = writer.read(numbers)["items"][0]["id"]
    foreign = f"{path_of(writer, 'OM 3295')}/{held}"
    for path in (f"{numbers}/{nobody}", f"{numbers}/1", foreign, f"/v1/parts/{nobody}/numbers/{held}"):
        refused(writer.client.get(path), 404)
        refused(writer.patch(path, {"written": "X3"}, "catalogue", "*"), 404)
    for path in (f"/v1/parts/{nobody}/numbers", f"/v1/starters/{nobody}/numbers", "/v1/parts/1/numbers"):
        refused(writer.client.get(path), 404)
        refused(writer.post(path, entry("X3"), "catalogue"), 404)


def test_pieces_of_the_list_make_the_whole(writer: Writer) -> None:
    numbers = path_of(writer, "OM 3295")
    whole = writer.read(numbers)
    assert whole["total"] == len(whole["items"]) > 1
    seen: list[Any] = []
    path: str | None = f"{numbers}?limit=1"
    while path:
        piece = writer.read(path) if "?" not in path else writer.client.get(path).json()
        seen += piece["items"]
        path = piece["next"]
    assert seen == whole["items"]


def test_what_is_only_validated_or_sent_twice_is_kept_once_at_most(writer: Writer) -> None:
    numbers = path_of(writer)
    total = writer.read(numbers)["total"]
    done(writer.post(numbers, entry("V 77 1"), "catalogue", validate_only="true"))
    assert writer.read(numbers)["total"] == total
    fields = {**writer.signed("catalogue"), "Idempotency-Key": '"numbers-once"'}
    answers = [writer.client.post(numbers, json=entry("V 77 1"), headers=fields) for _ in range(2)]
    assert {one.status_code for one in answers} == {201}
    assert answers[0].content == answers[1].content
    assert writer.read(numbers)["total"] == total + 1
