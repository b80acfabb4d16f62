"""The do-it-yourselfer and the repairer ask what repair and replacement cost now, over real HTTP."""

from decimal import Decimal
from typing import Any

import httpx
import pytest

PAIR = [
    {"position": "battery_side_contact", "failed": True},
    {"position": "motor_side_contact", "failed": True},
]
STATED: dict[str, Any] = {
    "currency": "USD",
    "labour": {"rate_per_hour": "60.00", "removal_and_refit_hours": 0.7, "strip_hours": 0.5},
    "consumables": "4.00",
    "tax": {"parts": "0.07", "labour": "0", "deposit": "0"},
    "positions": [{"position": "contacts", "failed": True, "part_cost": "5.00", "bench_hours": 0.4}],
    "replacements": [
        {
            "id": "rebuilt",
            "condition": "remanufactured",
            "price": "115.00",
            "core_deposit": "30.00",
            "refund_chance": 0.9,
        }
    ],
}


def ask(service: httpx.Client, **changes: Any) -> httpx.Response:
    return service.post("/v1/comparisons", json={**STATED, **changes})


def total(option: dict[str, Any]) -> Decimal:
    return Decimal(option["cost_now"]["total"]["amount"])


def test_stated_figures_are_added_up_to_the_cent(service: httpx.Client) -> None:
    """By hand: repair 5.00 + 4.00 taxed at 7 % = 9.63, labour 1.6 h x 60 = 96.00: 105.63.

    Replacement 115.00 + 4.00 taxed = 127.33, labour 0.7 h x 60 = 42.00, a tenth of the deposit 3.00: 172.33;
    at the counter the whole deposit: 199.33.
    """
    answer = ask(service).json()
    repair, rebuilt = answer["options"]
    assert (total(repair), total(rebuilt)) == (Decimal("105.63"), Decimal("172.33"))
    assert rebuilt["core_deposit"]["paid"]["amount"] == "30.00"
    assert rebuilt["core_deposit"]["expected_refund"]["amount"] == "27.00"
    assert rebuilt["pay_at_counter"]["amount"] == "199.33"
    assert answer["recommended"] == "repair"


def test_included_tax_is_shown_and_not_added(service: httpx.Client) -> None:
    """By hand: 9.00 holds 9.00 x 0.07 / 1.07 = 0.59 tax; the total stays 9.00 + 96.00."""
    tax = {"parts": "0.07", "labour": "0", "deposit": "0", "included": True}
    repair = ask(service, tax=tax).json()["options"][0]
    assert total(repair) == Decimal("105.00")
    assert repair["cost_now"]["tax"]["amount"] == "0.59"


@pytest.mark.parametrize(
    ("currency", "price", "consumables", "expected"),
    [("JPY", "500", "104", "96604"), ("BHD", "5.125", "3.875", "96009.000")],
)
def test_minor_units_are_those_of_the_currency(
    service: httpx.Client, currency: str, price: str, consumables: str, expected: str
) -> None:
    """ISO 4217: the yen has no minor unit, the Bahraini dinar three. By hand: 1.6 h x 60000, untaxed."""
    figures = {
        "currency": currency,
        "labour": {"rate_per_hour": "60000", "removal_and_refit_hours": 1.6},
        "consumables": consumables,
        "tax": {"parts": "0", "labour": "0", "deposit": "0"},
        "positions": [{"position": "contacts", "failed": True, "part_cost": price, "bench_hours": 0}],
    }
    answer = service.post("/v1/comparisons", json=figures).json()
    assert answer["options"][0]["cost_now"]["total"] == {"amount": expected, "currency": currency}


def test_a_family_supplies_what_is_left_out_and_says_where_from(service: httpx.Client) -> None:
    answer = service.post(
        "/v1/comparisons", json={"currency": "USD", "family": "D12-01", "positions": PAIR}
    ).json()
    repair, *replacements = answer["options"]
    assert {one["option"] for one in replacements} >= {"new", "remanufactured"}
    for option in answer["options"]:
        lines = option["cost_now"]["lines"]
        assert sum(Decimal(line["gross"]["amount"]) for line in lines) == total(option)
    assert all(one["origin"] for one in answer["assumptions"])
    told = {one["what"] for one in answer["assumptions"]}
    assert {"labour.strip_hours", "part_cost of battery_side_contact", "consumables", "tax"} <= told
    assert repair["renewed"] == ["battery_side_contact", "motor_side_contact"]


def test_a_pair_of_contacts_for_some_five_units_beats_a_whole_starter(service: httpx.Client) -> None:
    """Common practice, no source: some five for both, and a replacement is a hundred and more."""
    answer = service.post(
        "/v1/comparisons", json={"currency": "USD", "family": "D12-01", "positions": PAIR}
    ).json()
    repair, *replacements = answer["options"]
    parts = [Decimal(line["net"]["amount"]) for line in repair["cost_now"]["lines"] if line["code"] == "part"]
    assert Decimal(3) < sum(parts) < Decimal(8)
    new = next(one for one in replacements if one["option"] == "new")
    price = next(line for line in new["cost_now"]["lines"] if line["code"] == "replacement")
    assert Decimal(price["net"]["amount"]) > 100
    assert total(repair) < total(new)
    assert answer["recommended"] == "repair"


def test_one_contact_alone_brings_the_hint_that_they_are_renewed_as_a_pair(service: httpx.Client) -> None:
    body = {"currency": "USD", "family": "D12-01", "positions": PAIR[:1]}
    told = service.post("/v1/comparisons", json=body).json()["assumptions"]
    assert any(one["what"] == "contacts" and "common practice" in one["origin"] for one in told)


@pytest.mark.parametrize(
    ("changes", "pointers"),
    [
        ({"consumables": "-1.00"}, {"#/consumables"}),
        ({"consumables": "1.005"}, {"#/consumables"}),
        ({"consumables": "1e400"}, {"#/consumables"}),
        ({"consumables": "9" * 10_000}, {"#/consumables"}),
        ({"consumables": 4}, {"#/consumables"}),
        ({"currency": "US"}, {"#/currency"}),
        ({"currency": "XAU"}, {"#/currency"}),
        (
            {"labour": {"rate_per_hour": "60", "removal_and_refit_hours": -1}},
            {"#/labour/removal_and_refit_hours"},
        ),
        ({"tax": {"parts": "1.01", "labour": "x", "deposit": "0"}}, {"#/tax/parts", "#/tax/labour"}),
        ({"positions": []}, {"#/positions"}),
        ({"positions": [{**STATED["positions"][0], "failed": False}]}, {"#/positions"}),
        ({"positions": STATED["positions"] * 2}, {"#/positions/1/position"}),
        ({"positions": [{**STATED["positions"][0], "position": "Contacts!"}]}, {"#/positions/0/position"}),
        ({"labor": {}}, {"#/labor"}),
        ({"replacements": [{"id": "repair", "condition": "new", "price": "1"}]}, {"#/replacements/0/id"}),
    ],
)
def test_bad_figures_are_named_with_their_place(
    service: httpx.Client, changes: dict[str, Any], pointers: set[str]
) -> None:
    answer = ask(service, **changes)
    assert answer.status_code == 400
    assert answer.headers["content-type"] == "application/problem+json"
    assert {one["pointer"] for one in answer.json()["errors"]} == pointers


def test_a_misspelt_member_is_told_the_nearest_name(service: httpx.Client) -> None:
    fault = ask(service, labor={}).json()["errors"][0]
    assert fault["nearest"] == "labour"


@pytest.mark.parametrize(
    ("body", "status", "nearest"),
    [
        ({"family": "D12-1"}, 400, "D12-01"),
        ({"positions": [{"position": "battery_contact", "failed": True}]}, 400, "battery_side_contact"),
        ({"positions": [{"position": "plunger", "failed": True}]}, 400, None),
        ({"currency": "GBP"}, 400, None),
    ],
)
def test_what_the_catalogue_cannot_supply_is_said(
    service: httpx.Client, body: dict[str, Any], status: int, nearest: str | None
) -> None:
    whole = {"currency": "USD", "family": "D12-01", "positions": PAIR, **body}
    answer = service.post("/v1/comparisons", json=whole)
    assert answer.status_code == status
    problem = answer.json()
    if nearest is not None:
        assert nearest in (problem.get("nearest"), problem.get("errors", [{}])[0].get("nearest"))


def test_stated_taxes_must_not_contradict_the_catalogues_prices(service: httpx.Client) -> None:
    tax = {"parts": "0.07", "labour": "0.07", "deposit": "0", "included": True}
    body = {"currency": "USD", "family": "D12-01", "positions": PAIR, "tax": tax}
    assert service.post("/v1/comparisons", json=body).json()["errors"][0]["pointer"] == "#/tax/included"
