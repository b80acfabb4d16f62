"""The clerk types or scans a number: spaces, dashes and case do not matter, a slip is forgiven."""

import httpx
import pytest
from asking import answer, counted_queries, refusal


def test_a_number_is_found_however_it_is_written(service: httpx.Client) -> None:
    exact = answer(service, "/v1/numbers/OM 3335")
    assert [match["how"] for match in exact["matches"]] == ["exact"]
    for written in ("om3335", "OM-3335", "o.m. 33 35", "ＯＭ３３３５"):
        found = answer(service, f"/v1/numbers/{written}")
        assert [match["how"] for match in found["matches"]] == ["normalised"]
        assert found["matches"][0]["item"] == exact["matches"][0]["item"]
        assert found["normalised"] == "OM3335"
        assert found["near"] == []


def test_a_superseded_number_leads_to_the_current_part_step_by_step(service: httpx.Client) -> None:
    match = answer(service, "/v1/numbers/OM3289")["matches"][0]
    assert [(step["on"], step["item"]["number"]) for step in match["superseded_by"]] == [
        ("2015-01-01", "OM 3294"),
        ("2016-03-01", "OM 3335"),
    ]
    assert match["current"]["number"] == "OM 3335"
    assert answer(service, f"/v1/parts/{match['current']['id']}")["superseded_by"] == []


def test_one_guild_number_leads_to_the_parts_of_one_size_whoever_made_them(service: httpx.Client) -> None:
    part = answer(service, "/v1/parts", number="OM 3295")["items"][0]
    numbers = answer(service, f"/v1/parts/{part['id']}")["numbers"]
    shared = next(one["written"] for one in numbers if one["scheme"] == "aftermarket")
    items = [match["item"] for match in answer(service, f"/v1/numbers/{shared}")["matches"]]
    sizes = {answer(service, f"/v1/parts/{item['id']}")["size"] for item in items}
    assert sizes == {part["size"]}
    assert len({item["maker"] for item in items}) > 1


@pytest.mark.parametrize(
    ("typed", "edits"),
    [("OM 3335X", 1), ("MO 3335", 1), ("OM 335", 1), ("0M 3335", 1), ("OM 33355", 1), ("OM 3X3X5", 2)],
)
def test_a_slip_finds_what_was_meant_and_says_how_near_it_is(
    service: httpx.Client, typed: str, edits: int
) -> None:
    found = answer(service, f"/v1/numbers/{typed}")
    assert found["matches"] == []
    assert 0 < len(found["near"]) <= 10
    distances = [match["edits"] for match in found["near"]]
    assert distances == sorted(distances)
    assert distances[0] == edits
    assert {match["how"] for match in found["near"]} == {"near"}


def test_a_gtin_is_found_with_any_leading_zeros_and_its_check_digit_is_told(service: httpx.Client) -> None:
    """GTIN-13 and GTIN-14 of one item differ by leading zeros alone (GS1 General Specifications)."""
    for written in ("2134193001075", "02134193001075", "2 134193 001075"):
        found = answer(service, f"/v1/numbers/{written}")
        assert found["gtin"] == {"state": "right", "digits": "02134193001075", "expected": None}
        assert [match["item"]["number"] for match in found["matches"]] == ["TX 90-467"]


def test_a_wrong_check_digit_is_said_and_the_right_number_offered(service: httpx.Client) -> None:
    # Modulo 10 with weight 3 (GS1): 213419300107 -> 5, as the catalogue has it.
    found = answer(service, "/v1/numbers/2134193001076")
    assert found["gtin"]["state"] == "wrong_check_digit"
    assert found["gtin"]["expected"].startswith("5 ")
    assert found["matches"] == []
    assert found["near"][0]["written"] == "2134193001075"
    assert found["near"][0]["edits"] == 1


def test_a_number_that_is_no_gtin_is_not_called_a_wrong_one(service: httpx.Client) -> None:
    assert answer(service, "/v1/numbers/OM3335")["gtin"]["state"] == "not_a_gtin"


@pytest.mark.parametrize(
    "number",
    [
        "ZZZZQQQQ9999",
        "---",
        "%00",
        "A" * 64,
        "A" * 65,
        "9" * 5000,
        "%F0%9F%94%A7",
        "%EF%B7%BA" * 60,
        "..",
        "ß",
    ],
)
def test_what_nothing_goes_by_is_not_found(service: httpx.Client, number: str) -> None:
    refusal(service, 404, f"/v1/numbers/{number}")


@pytest.mark.parametrize("number", ["OM 3335", "OM3289", "OM 3335X", "2134193001076"])
def test_a_look_up_takes_a_bounded_number_of_queries(service: httpx.Client, number: str) -> None:
    with counted_queries() as asked:
        answer(service, f"/v1/numbers/{number}")
    assert len(asked) <= 8


def test_a_number_with_a_slash_is_found_as_it_is_written(service: httpx.Client) -> None:
    written = service.get("/v1/parts", params={"maker": "gwillith", "limit": "200"}).json()["items"]
    number = next(one["number"] for one in written if "/" in one["number"])
    for asked in (number, number.replace("/", "%2F")):
        found = service.get(f"/v1/numbers/{asked}").json()["matches"]
        assert found[0]["item"]["number"] == number
