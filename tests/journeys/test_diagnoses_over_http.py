"""The do-it-yourselfer and the repairer ask what is probably wrong, over real HTTP."""

from typing import Any

import httpx
import pytest
from asking import answer, refusal
from readme_examples import is_shortened, readme_example

GIVEN = [
    {"code": "battery_open_circuit_volts", "value": 12.65, "uncertainty": 0.03},
    {"code": "trigger_volts", "value": 11.8},
    {"code": "feed_drop_volts", "value": 0.2, "limit": 0.5},
    {"code": "ground_drop_volts", "value": 0.1},
]
CLICKED = [
    {"code": "on_start_command", "answer": "single_click"},
    {"code": "onset", "answer": "now_and_then_then_never"},
]


def ask(service: httpx.Client, **body: Any) -> Any:
    response = service.post("/v1/diagnoses", json=body)
    assert response.status_code == 200, response.text
    return response.json()


def refused(service: httpx.Client, status: int = 400, **body: Any) -> Any:
    response = service.post("/v1/diagnoses", json=body)
    assert response.status_code == status, response.text
    assert response.headers["content-type"] == "application/problem+json"
    return response.json()


def test_what_can_be_observed_is_listed_in_plain_words(service: httpx.Client) -> None:
    page = answer(service, "/v1/observations")
    assert page["total"] == len(page["items"]) > 30
    assert page["next"] is None
    for one in page["items"]:
        assert one["question"].endswith("?")
        assert one["how"]
        assert one["battery"] in ("connected", "disconnected")
        assert len(one["answers"]) > 1
    drop = next(one for one in page["items"] if one["code"] == "feed_drop_volts")
    assert (drop["number"]["unit"], drop["number"]["limit"]) == ("volts", 0.5)
    assert len(drop["number"]["published"]) > 2
    assert any("Never bridge" in caution["caution"] for caution in drop["cautions"])


def test_a_do_it_yourselfer_is_shown_what_he_may_do(service: httpx.Client) -> None:
    mine = answer(service, "/v1/observations", person="do_it_yourselfer", construction="movable_pole_shoe")
    assert all(one["who"] == "anyone" and one["hazard"] != "high" for one in mine["items"])
    assert "light_tap_helps" not in {one["code"] for one in mine["items"]}
    assert refusal(service, 400, "/v1/observations", person="clerk")["errors"][0]["parameter"] == "person"


def test_the_readme_tells_what_the_service_answers(service: httpx.Client) -> None:
    text, body, shortened = readme_example("The do-it-yourselfer: what is probably wrong?")
    found = ask(service, **body)
    assert is_shortened(shortened, found)
    assert [one["fault"] for one in shortened["faults"]] == [one["fault"] for one in found["faults"][:3]]
    assert f"worn contacts lead with {found['faults'][0]['probability']:.2f};" in text


def test_worn_contacts_are_found_and_what_moved_them_adds_up(service: httpx.Client) -> None:
    found = ask(service, family="D12-01", observations=[*GIVEN, *CLICKED])
    first = found["faults"][0]
    assert first["fault"] == "contacts_worn"
    assert {one["position"] for one in first["positions"]} == {
        "battery_side_contact",
        "motor_side_contact",
        "contact_disc",
    }
    assert {one["kind"] for one in first["positions"]} == {"contact"}
    assert sum(one["probability"] for one in found["faults"]) == pytest.approx(1)
    assert {one["code"] for one in first["evidence"]} == {one["code"] for one in (*GIVEN, *CLICKED)}
    told = next(one for one in first["evidence"] if one["code"] == "onset")
    assert told["log_odds"] > 0
    assert "times likelier" in told["words"]
    assert first["root_causes"][0]["origin"]["kind"] == "common_practice"
    assert found["contradictions"] == []


def test_without_tests_the_cheap_safe_checks_come_first(service: httpx.Client) -> None:
    found = ask(service, observations=[{"code": "on_start_command", "answer": "no_sound"}])
    assert {one["fault"] for one in found["faults"][:3]} == {
        "battery_weak",
        "terminals_corroded",
        "control_circuit_open",
    }
    test = found["next_test"]
    assert test["hazard"] in ("none", "low")
    assert test["minutes"] <= 5
    assert sum(one["probability"] for one in test["answers"]) == pytest.approx(1)
    assert {one["what"] for one in found["assumptions"]} >= {"voltage", "construction", "field", "faults"}


def test_nothing_observed_is_answered_with_what_to_look_at(service: httpx.Client) -> None:
    assert ask(service)["next_test"]["code"] == "on_start_command"


def test_every_test_named_carries_cautions_and_the_batterys_state(service: httpx.Client) -> None:
    for person in ("do_it_yourselfer", "repairer"):
        found = ask(service, family="P12-01", person=person, observations=CLICKED)
        for test in (found["next_test"], *found["further_tests"]):
            assert test["battery"] in ("connected", "disconnected")
            assert test["cautions"] or test["hazard"] == "none"
        assert any("licensed repairer" in one["caution"] for one in found["cautions"])


def test_a_starter_that_keeps_running_is_answered_with_what_to_do_at_once(service: httpx.Client) -> None:
    found = ask(
        service,
        family="D12-01",
        observations=[{"code": "on_start_command", "answer": "keeps_running"}],
    )
    assert found["faults"][0]["fault"] == "contacts_welded"
    assert found["cautions"][0]["step"] == "it keeps running when the key is let go"
    assert found["cautions"][0]["battery"] == "disconnected"
    assert "licensed repairer" in found["cautions"][-1]["caution"]
    for test in (found["next_test"], *found["further_tests"]):
        assert "turn the key to start" not in {one["step"] for one in test["cautions"]}


def test_every_fault_says_how_the_battery_has_to_be_for_its_repair(service: httpx.Client) -> None:
    for one in ask(service, family="P12-01", observations=CLICKED)["faults"]:
        assert one["cautions"] or one["fault"] == "other"
    worn = next(one for one in ask(service)["faults"] if one["fault"] == "contacts_worn")
    assert {each["battery"] for each in worn["cautions"]} == {"disconnected"}


def test_a_movable_pole_family_is_offered_no_plunger_and_no_contacts(service: httpx.Client) -> None:
    found = ask(service, family="M12-01", observations=CLICKED)
    concerned = {place["position"] for one in found["faults"] for place in one["positions"]}
    assert concerned & {"plunger", "battery_side_contact", "motor_side_contact", "contact_disc"} == set()
    assert "contacts_worn" not in {one["fault"] for one in found["faults"]}


def test_a_family_supplies_what_it_is_and_may_not_be_contradicted(service: httpx.Client) -> None:
    starter = ask(service, family="P12-01")["starter"]
    assert starter == {
        "family": "P12-01",
        "construction": "planetary_gear_reduction",
        "field": "permanent_magnet",
        "voltage": 12,
    }
    problem = refused(service, family="P12-01", voltage=24, field="wound")
    assert {one["pointer"] for one in problem["errors"]} == {"#/voltage", "#/field"}
    (fault,) = refused(service, family="P12-001")["errors"]
    assert (fault["pointer"], fault["nearest"]) == ("#/family", "P12-01")


def test_each_fault_can_be_passed_on_to_a_comparison(service: httpx.Client) -> None:
    found = ask(service, family="D12-01", observations=[*GIVEN, *CLICKED])
    passed = found["for_comparison"]
    assert sum(one["probability"] for one in passed) + found[
        "probability_without_comparison"
    ] == pytest.approx(1)
    for one in passed[:4]:
        assert one["needs_part_cost"] == []
        body = {"currency": "USD", "family": "D12-01", "positions": one["positions"]}
        compared = service.post("/v1/comparisons", json=body)
        assert compared.status_code == 200, compared.text
        assert compared.json()["options"][0]["renewed"]


@pytest.mark.parametrize("months", [None, 36])
def test_the_cost_is_expected_over_the_faults(service: httpx.Client, months: int | None) -> None:
    """By hand: the mean of the faults' totals, as comparisons of their own answer them, by probability."""
    wanted = {"currency": "USD", "labour": {"rate_per_hour": "60"}}
    if months is not None:
        wanted["keep_months"] = months
    found = ask(service, family="D12-01", observations=[*GIVEN, *CLICKED], compare=wanted)
    cost = found["expected_cost"]
    assert cost["keep_months"] == months
    assert len(cost["faults"]) > 1
    for one in cost["faults"][:2]:
        positions = next(each for each in found["for_comparison"] if each["fault"] == one["fault"])[
            "positions"
        ]
        alone = service.post(
            "/v1/comparisons", json={**wanted, "family": "D12-01", "positions": positions}
        ).json()
        totals = {
            each["id"]: each["expected_total"] if months else each["cost_now"]["total"]
            for each in alone["options"]
        }
        assert {each["id"]: each["total"] for each in one["options"]} == totals
    whole = sum(one["probability"] for one in cost["faults"])
    assert cost["priced_probability"] == pytest.approx(whole)
    for place, option in enumerate(cost["expected"]):
        mean = sum(
            one["probability"] * float(one["options"][place]["total"]["amount"]) for one in cost["faults"]
        )
        assert float(option["total"]["amount"]) == pytest.approx(mean / whole, abs=0.005)
    assert {one["fault"] for one in (*cost["faults"], *cost["not_priced"])} == {
        one["fault"] for one in found["for_comparison"]
    }


def test_comparing_needs_a_family_and_a_currency(service: httpx.Client) -> None:
    assert refused(service, compare={"currency": "USD"})["errors"][0]["pointer"] == "#/family"
    problem = refused(service, family="D12-01", compare={"currency": "XAU"})
    assert problem["errors"][0]["pointer"] == "#/compare/currency"


def test_contradictory_observations_are_named_and_still_answered(service: httpx.Client) -> None:
    found = ask(
        service,
        family="D12-01",
        observations=[
            {"code": "on_start_command", "answer": "no_sound"},
            {"code": "cranking_amperes", "value": 600},
            {"code": "worse_when", "answer": "cold"},
            {"code": "worse_when", "answer": "hot"},
        ],
    )
    named = [set(one["observations"]) for one in found["contradictions"]]
    assert {"worse_when"} in named
    assert {"on_start_command", "cranking_amperes"} in named
    assert found["faults"][0]["probability"] > 0


def test_bad_observations_are_named_all_at_once_with_the_nearest_code(service: httpx.Client) -> None:
    problem = refused(
        service,
        family="D12-01",
        observations=[
            {"code": "light_tap", "answer": "yes"},
            {"code": "cranking_amperes", "value": -200},
            {"code": "battery_open_circuit_volts", "value": 25.2},
            {"code": "onset", "answer": "suden"},
            {"code": "no_load_rpm", "value": 1e9},
        ],
    )
    told = {one["pointer"]: (one["code"], one.get("nearest")) for one in problem["errors"]}
    assert told == {
        "#/observations/0/code": ("unknown_observation", "light_tap_helps"),
        "#/observations/1/value": ("wrong_sign", None),
        "#/observations/2/value": ("other_system_voltage", None),
        "#/observations/3/answer": ("unknown_answer", "sudden"),
        "#/observations/4/value": ("implausible", None),
    }


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"observation": []}, "#/observation"),
        ({"person": "clerk"}, "#/person"),
        ({"voltage": 13}, "#/voltage"),
        ({"observations": [{"answer": "yes"}]}, "#/observations/0/code"),
        ({"observations": [{"code": "onset", "value": "3"}]}, "#/observations/0/value"),
        ({"observations": [{"code": "onset", "answer": "sudden"}] * 81}, "#/observations"),
    ],
)
def test_a_body_of_the_wrong_shape_is_refused(
    service: httpx.Client, body: dict[str, Any], pointer: str
) -> None:
    assert refused(service, **body)["errors"][0]["pointer"] == pointer
