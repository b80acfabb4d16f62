"""The repairer asks before he buys whether a bush will hold and run, over real HTTP."""

from copy import deepcopy
from typing import Any

import httpx

PATH = "/v1/fit-checks/bushing"
BUSH: dict[str, Any] = {
    "bush": {
        "outside_diameter": "16 mm r6",
        "bore": "12.5 mm G7",
        "length": "12 mm",
        "material": "sintered_bronze",
        "construction": "porous",
    },
    "housing": {
        "bore": "16 mm H7",
        "depth": "12.2..12.6 mm",
        "form": "through",
        "material": "aluminium",
        "outside_diameter": "24 mm",
    },
    "shaft": {"diameter": "12.5 mm f7"},
}


def ask(service: httpx.Client, **changes: dict[str, Any]) -> httpx.Response:
    body = deepcopy(BUSH)
    for piece, members in changes.items():
        body.setdefault(piece, {}).update(members)
    return service.post(PATH, json=body)


def faults(response: httpx.Response) -> dict[str, dict[str, Any]]:
    assert response.status_code == 400, response.text
    assert response.headers["content-type"] == "application/problem+json"
    return {fault["pointer"]: fault for fault in response.json()["errors"]}


def test_standard_bush_in_an_aluminium_nose_fits(service: httpx.Client) -> None:
    """ISO 2795 classes; by hand 5..34 um interference at 20 degrees."""
    response = ask(service)
    assert response.status_code == 200, response.text
    answer = response.json()
    assert answer["verdict"] == "fits"
    assert [state["moment"] for state in answer["states"]] == ["assembly", "cold", "hot"]
    assert answer["states"][0]["interference_mm"] == {"least": 0.005, "most": 0.034}
    assert answer["states"][2]["chance_holds"]["least"] > 0.99
    assert answer["pressing"]["press_in_force_newtons"]["most"] > 0
    pressing = next(one for one in answer["cautions"] if "press the bush in" in one["step"])
    assert "eye protection" in pressing["caution"] and pressing["battery"] == "disconnected"
    assert all(material["sources"] for material in answer["materials"])


def test_tight_porous_bush_is_to_be_burnished(service: httpx.Client) -> None:
    answer = ask(service, bush={"bore": "12.49..12.50 mm"}).json()
    assert answer["verdict"] == "fits_with_rework"
    assert answer["rework"]["operation"] == "burnish"
    assert answer["rework"]["bore"]["lower_mm"] > 12.484
    assert "never ream" in answer["limiting"]["reason"]


def test_worn_seat_and_shaft_are_read_with_their_instruments(service: httpx.Client) -> None:
    """A seat read by bore gauge, a shaft by micrometer; the interval widens by twice the uncertainty."""
    answer = ask(
        service,
        housing={"bore": {"text": "16.005 mm", "uncertainty": "0.002 mm"}},
        shaft={"diameter": {"text": "12.470 mm", "instrument": "outside_micrometer"}},
    ).json()
    assert answer["states"][0]["interference_mm"] == {"least": 0.014, "most": 0.033}
    assert answer["verdict"] == "fits"


def test_what_is_not_known_is_unknown(service: httpx.Client) -> None:
    answer = service.post(PATH, json={"bush": {}, "housing": {}, "shaft": {}}).json()
    assert answer["verdict"] == "unknown"
    assert {reason["verdict"] for reason in answer["reasons"]} == {"unknown"}


def test_spun_seat_is_refused_with_no_steps(service: httpx.Client) -> None:
    answer = ask(service, housing={"bore": "16.08 mm"}).json()
    assert answer["verdict"] == "does_not_fit"
    assert answer["limiting"]["dimension"] == "outside_diameter"
    assert answer["cautions"] == []


def test_states_of_the_caller_are_taken(service: httpx.Client) -> None:
    asked = {"assembly": 25, "cold": -40, "hot": 150}
    answer = ask(service, temperatures_celsius=asked).json()
    assert [state["celsius"] for state in answer["states"]] == [25, -40, 150]
    assert answer["states"][2]["chance_holds"]["least"] < 0.999


def test_all_faults_of_values_come_at_once(service: httpx.Client) -> None:
    found = faults(
        ask(
            service,
            bush={"outside_diameter": "17 mm", "bore": "17.5 mm", "material": "tin_bronz"},
            housing={"bore": "16 mm H77"},
            shaft={"diameter": "12.5"},
            temperatures_celsius={"cold": -300, "hot": 600},
        )
    )
    assert found["#/bush/bore"]["code"] == "no_wall"
    assert found["#/bush/material"]["nearest"] == "tin_bronze"
    assert found["#/housing/bore"]["code"] == "unknown_class"
    assert found["#/shaft/diameter"]["code"] == "no_unit"
    assert found["#/temperatures_celsius/cold"]["code"] == "below_absolute_zero"
    assert found["#/temperatures_celsius/hot"]["code"] == "melts"


def test_bush_that_could_not_be_pressed_is_named_with_the_figures(service: httpx.Client) -> None:
    found = faults(ask(service, bush={"outside_diameter": "17 mm"}, shaft={"diameter": "14 mm"}))
    assert "0.410 mm" in found["#/bush/outside_diameter"]["expected"]
    assert found["#/shaft/diameter"]["code"] == "no_journal"
    unknown = faults(ask(service, bush={"diametr": "3 mm"}))
    assert unknown["#/bush/diametr"]["code"] == "unknown"


def test_temperatures_beyond_those_of_the_expansions_are_said_to_be_extrapolated(
    service: httpx.Client,
) -> None:
    usual = ask(service).json()["assumptions"]
    beyond = ask(service, temperatures_celsius={"cold": -60, "hot": 400}).json()["assumptions"]
    (added,) = set(beyond) - set(usual)
    assert "-60 and 400 °C they are extrapolated" in added
    assert not any("extrapolated" in one for one in usual)
