"""The repairer asks over HTTP how tight a class fit is before he presses anything."""

from typing import Any

import httpx
import pytest

ASKED: dict[str, Any] = {"size": "25 mm", "hole": "H7", "shaft": "p6"}


def ask(service: httpx.Client, **changes: Any) -> httpx.Response:
    body = {name: value for name, value in {**ASKED, **changes}.items() if value is not None}
    return service.post("/v1/fit-checks/limits-and-fits", json=body)


def faults(service: httpx.Client, **changes: Any) -> dict[str, dict[str, Any]]:
    response = ask(service, **changes)
    assert response.status_code == 400, response.text
    assert response.headers["content-type"] == "application/problem+json"
    return {one["pointer"]: one for one in response.json()["errors"]}


def test_25_mm_h7_p6_is_an_interference_fit(service: httpx.Client) -> None:
    """Figures of pressfit 0.1.0."""
    response = ask(service)
    assert response.status_code == 200
    answer = response.json()
    assert list(answer)[:4] == ["hole", "shaft", "clearance_mm", "character"]
    assert answer["hole"] == {"lower_mm": 25.0, "upper_mm": 25.021}
    assert answer["shaft"] == {"lower_mm": 25.022, "upper_mm": 25.035}
    assert answer["clearance_mm"] == {"minimum": -0.035, "maximum": -0.001}
    assert answer["character"] == "interference"
    assert answer["size"] == {"text": "25.000 mm", "mm": 25.0}
    assert answer["fit"] == "H7/p6"
    assert "ISO 286" in answer["source"]


@pytest.mark.parametrize(
    ("size", "upper_mm"),
    [("18 mm", 18.018), ("18.000001 mm", 18.021001), ("1,8 cm", 18.018), ("30 mm", 30.021), ("3 mm", 3.01)],
)
def test_a_boundary_holds_to_the_nanometre(service: httpx.Client, size: str, upper_mm: float) -> None:
    assert ask(service, size=size).json()["hole"]["upper_mm"] == upper_mm


def test_inches_and_a_default_unit_are_taken(service: httpx.Client) -> None:
    """By hand: 1/2 in is 12.7 mm; H7 over 10 up to 18 mm is 18 um wide."""
    for changes in ({"size": "1/2 in"}, {"size": "1/2", "unit": "in"}, {"size": "0.5", "unit": "in"}):
        assert ask(service, **changes).json()["hole"] == {"lower_mm": 12.7, "upper_mm": 12.718}


def test_every_fault_is_named_at_once(service: httpx.Client) -> None:
    found = faults(service, size="80.000001 mm", hole="h7", shaft="H6", unit="furlong")
    assert set(found) == {"#/size", "#/hole", "#/shaft", "#/unit"}
    assert found["#/size"]["code"] == "size_outside_tables"
    assert "nothing is extrapolated" in found["#/size"]["expected"]
    assert (found["#/hole"]["code"], found["#/hole"]["nearest"]) == ("shaft_class_for_hole", "H7")
    assert (found["#/shaft"]["code"], found["#/shaft"]["nearest"]) == ("hole_class_for_shaft", "h6")
    assert found["#/unit"]["code"] == "unknown_unit"


@pytest.mark.parametrize(
    ("changes", "pointer", "code"),
    [
        ({"size": "25"}, "#/size", "no_unit"),
        ({"size": "0 mm"}, "#/size", "zero"),
        ({"size": "-25 mm"}, "#/size", "negative"),
        ({"size": "nan mm"}, "#/size", "not_finite"),
        ({"size": "1e400 mm"}, "#/size", "exponent"),
        ({"size": "12 m"}, "#/size", "unknown_unit"),
        ({"size": "9" * 50 + " mm"}, "#/size", "too_long"),
        ({"size": "9" * 500 + " mm"}, "#/size", "string_too_long"),
        ({"size": 25}, "#/size", "string_type"),
        ({"size": None}, "#/size", "missing"),
        ({"size": "0.02 mm", "shaft": "d9"}, "#/size", "size_too_small"),
        ({"hole": "H14"}, "#/hole", "unknown_class"),
        ({"hole": "H7\u2028p6"}, "#/hole", "unknown_class"),
        ({"shaft": "p66"}, "#/shaft", "unknown_class"),
        ({"shaft": ["p6"]}, "#/shaft", "string_type"),
        ({"Size": "25 mm"}, "#/Size", "unknown"),
    ],
)
def test_bad_values_are_named_with_their_place(
    service: httpx.Client, changes: dict[str, Any], pointer: str, code: str
) -> None:
    assert {name: one["code"] for name, one in faults(service, **changes).items()} == {pointer: code}


@pytest.mark.parametrize(
    ("written", "named"), [("null", "null"), ("[]", "a list"), ("{}", "an object"), ("25", "25")]
)
def test_a_value_of_another_type_is_named_as_json_names_it(
    service: httpx.Client, written: str, named: str
) -> None:
    body = f'{{"size": {written}, "hole": "H7", "shaft": "p6"}}'
    answer = service.post(
        "/v1/fit-checks/limits-and-fits", content=body, headers={"content-type": "application/json"}
    )
    assert [one["value"] for one in answer.json()["errors"]] == [named]
