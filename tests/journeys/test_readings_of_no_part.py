"""Searches whose readings say little, nothing, or what cannot be: answered with the doubt, or refused."""

import math
from typing import Any

import httpx
import pytest

PROBLEM = "application/problem+json"
WORN_BUSH = {"bore": "12.62 mm", "length": "11.9 mm"}


def found(service: httpx.Client, kind: str, readings: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Return the answer to one search that has to be answered; its probabilities add to one."""
    body = {"searches": [{"kind": kind, "readings": readings, **more}]}
    answer = service.post("/v1/matches", json=body, timeout=300)
    assert answer.status_code == 200, answer.text
    result: dict[str, Any] = answer.json()["results"][0]
    assert result["status"] == 200, result
    match: dict[str, Any] = result["match"]
    listed = math.fsum(one["probability"] for one in match["candidates"])
    assert listed + match["remaining_probability"] + match["unlisted_probability"] == pytest.approx(
        1, abs=1e-6
    )
    return match


def refused(service: httpx.Client, kind: str, readings: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the faults of one search that has to be refused, alone, among the results."""
    answer = service.post("/v1/matches", json={"searches": [{"kind": kind, "readings": readings}]})
    assert answer.status_code == 200, answer.text
    result = answer.json()["results"][0]
    assert result["status"] == 400, result
    faults: list[dict[str, Any]] = result["problem"]["errors"]
    assert all(one["expected"] for one in faults)
    return faults


@pytest.mark.parametrize("query", ["", "?limit=5", "?condition=new&instrument=vernier_caliper&unit=in"])
def test_a_search_without_a_reading_is_refused_and_told_what_can_be_read(
    service: httpx.Client, query: str
) -> None:
    answer = service.get(f"/v1/matches/bushing{query}")
    assert (answer.status_code, answer.headers["content-type"]) == (400, PROBLEM)
    faults = {one["code"]: one for one in answer.json()["errors"]}
    assert "bore" in faults["missing"]["expected"]


def test_a_search_without_a_reading_is_refused_alone_in_a_body(service: httpx.Client) -> None:
    (fault,) = refused(service, "bushing", {})
    assert (fault["code"], fault["pointer"]) == ("missing", "#/searches/0/readings")


def test_counts_alone_are_answered_with_all_that_they_leave_open(service: httpx.Client) -> None:
    match = found(service, "drive_clutch", {"teeth": 9, "spline_count": 10, "rotation": "clockwise"})
    assert match["candidates"]
    assert all(one["group_probability"] < 0.9 for one in match["candidates"])
    assert match["next_reading"]["gain_bits"] > 0.5
    assert not {"teeth", "spline_count", "rotation"} & {
        one["dimension"] for one in match["next_reading"]["all"]
    }
    told = {one["dimension"]: one for one in match["candidates"][0]["dimensions"]}
    assert (told["teeth"]["read"], told["teeth"]["gap_mm"]) == ("9", None)


def test_a_count_that_no_size_has_is_named(service: httpx.Client) -> None:
    """Sixteen brushes lie in no set of the seed; two to twelve is what can be counted."""
    (fault,) = refused(service, "brush_set", {"brush_count": 16})
    assert fault["code"] == "implausible"
    match = found(service, "brush_set", {"brush_count": 11, "thickness": "6.22 mm", "width": "12.4 mm"})
    assert "brush_count" in {one["dimension"] for one in match["contradictions"]}


def test_readings_that_no_part_has_are_said_to_be_unlisted_and_named(service: httpx.Client) -> None:
    readings = {"bore": "33.33 mm", "outside_diameter": "44.44 mm", "length": "57.7 mm"}
    match = found(service, "bushing", readings)
    assert match["unlisted_probability"] > 0.9
    assert match["total"] == 0
    assert {one["dimension"]: one["code"] for one in match["contradictions"]} == dict.fromkeys(
        readings, "no_size_explains_it"
    )


def test_a_bore_wider_than_its_outside_is_not_taken_for_a_part(service: httpx.Client) -> None:
    """Each length alone is that of some size; bushes of that outside and length have bores of 10 mm."""
    match = found(service, "bushing", {"bore": "16.02 mm", "outside_diameter": "13.03 mm", "length": "12 mm"})
    assert match["total"] == 0
    (named,) = match["contradictions"]
    assert (named["dimension"], named["code"]) == ("bore", "disagrees_with_other_readings")


@pytest.mark.parametrize("value", ["0.4 mm", "1 m", "3 ft", "0.0000001 mm"])
def test_lengths_beyond_what_any_part_of_the_kind_can_have_are_refused(
    service: httpx.Client, value: str
) -> None:
    answer = service.get("/v1/matches/bushing", params={"bore": value})
    assert (answer.status_code, answer.headers["content-type"]) == (400, PROBLEM)
    assert answer.json()["errors"][0]["parameter"] == "bore"


def test_a_thousand_searches_are_answered_and_one_more_is_refused(service: httpx.Client) -> None:
    one = {"kind": "bushing", "readings": WORN_BUSH, "limit": 1}
    answer = service.post("/v1/matches", json={"searches": [one] * 1000}, timeout=300)
    assert [each["status"] for each in answer.json()["results"]] == [200] * 1000
    more = service.post("/v1/matches", json={"searches": [one] * 1001})
    assert (more.status_code, more.headers["content-type"]) == (400, PROBLEM)
    (fault,) = more.json()["errors"]
    assert fault["pointer"] == "#/searches"
    assert "1000" in fault["expected"].replace(",", "")


@pytest.mark.parametrize(
    ("stated", "code"),
    [
        ("0 mm", "zero"),
        ("1 m", None),
        ("1000 mm", "uncertainty_too_large"),
        ("10.000001 mm", "uncertainty_too_large"),
        ("-0.01 mm", "negative"),
        ("0.01", "no_unit"),
        ("nan mm", None),
    ],
)
def test_an_uncertainty_of_nothing_or_of_a_metre_is_refused(
    service: httpx.Client, stated: str, code: str | None
) -> None:
    (fault,) = refused(service, "bushing", {"bore": {"text": "12.62 mm", "uncertainty": stated}})
    assert fault["pointer"] == "#/searches/0/readings/bore/uncertainty"
    assert code in (None, fault["code"])


def test_the_widest_uncertainty_that_is_taken_tells_next_to_nothing(service: httpx.Client) -> None:
    wide = found(service, "bushing", {"bore": {"text": "12.62 mm", "uncertainty": "10 mm"}}, limit=5)
    sharp = found(service, "bushing", {"bore": {"text": "12.62 mm", "uncertainty": "0.01 mm"}}, limit=5)
    assert wide["candidates"][0]["group_probability"] < 0.1 < sharp["candidates"][0]["group_probability"]
    assert (
        all(told["verdict"] == "agrees" for one in wide["candidates"] for told in one["dimensions"])
        and not wide["contradictions"]
    )


REPEATED = {"text": "16.00 mm", "repeats": ["16.60 mm"]}


def test_repeats_that_the_instrument_cannot_explain_are_named_as_contradictory(service: httpx.Client) -> None:
    """A caliper's error of 0.02 mm and its steps of 0.01 mm explain 0.05 mm between two (DIN 862)."""
    readings = {"outside_diameter": REPEATED, "length": "12 mm"}
    match = found(service, "bushing", readings)
    assert match["readings"]["outside_diameter"]["repeats_disagree"] is True
    told = [one["code"] for one in match["contradictions"] if one["dimension"] == "outside_diameter"]
    assert told[0] == "repeats_disagree"
    assert all(one["reason"] for one in match["contradictions"])


def test_repeats_that_the_instrument_explains_are_not_named(service: httpx.Client) -> None:
    readings = {"outside_diameter": {"text": "16.02 mm", "repeats": ["16.05 mm", "16.03 mm"]}}
    match = found(service, "bushing", readings)
    assert match["readings"]["outside_diameter"]["repeats_disagree"] is False
    assert match["contradictions"] == []


def test_an_oval_worn_bore_is_known_by_its_least_worn_reading_as_well_as_by_one(
    service: httpx.Client,
) -> None:
    """Readings a quarter turn apart differ by wear; one is known to sqrt(0.04**2 / 3 + 0.01**2 / 12) mm."""
    oval = found(
        service, "bushing", {"bore": {"text": "12.74 mm", "repeats": ["12.62 mm"]}, "length": "11.9 mm"}
    )
    round_bore = found(service, "bushing", WORN_BUSH)
    told = oval["readings"]["bore"]
    assert (told["mm"], told["repeats_disagree"]) == (12.62, True)
    assert told["standard_uncertainty_mm"] == pytest.approx(math.sqrt(0.04**2 / 3 + 0.01**2 / 12), abs=1e-6)
    assert oval["contradictions"] == []
    assert oval["candidates"] == round_bore["candidates"]


def test_a_worn_bore_read_a_millimetre_apart_is_named(service: httpx.Client) -> None:
    match = found(service, "bushing", {"bore": {"text": "12.62 mm", "repeats": ["13.62 mm"]}})
    assert match["contradictions"][0]["code"] == "repeats_disagree"
