"""Comparisons over the months that have to be refused, each fault with its place, over real HTTP."""

from typing import Any

import httpx
import pytest
from kept_starters import BY_FAMILY, STATED, refused


def with_position(place: int, **changes: Any) -> dict[str, Any]:
    positions = [dict(one) for one in STATED["positions"]]
    positions[place].update(changes)
    return {"positions": positions}


def with_replacement(**changes: Any) -> dict[str, Any]:
    return {"replacements": [{**STATED["replacements"][0], **changes}]}


@pytest.mark.parametrize(
    ("changes", "faults"),
    [
        ({"keep_months": 0}, {"#/keep_months": "greater_than_equal"}),
        ({"keep_months": 1200}, {"#/keep_months": "less_than_equal"}),
        ({"starts_per_month": 0}, {"#/starts_per_month": "greater_than_equal"}),
        ({"discount_rate_per_year": "1.01"}, {"#/discount_rate_per_year": "string_pattern_mismatch"}),
        ({"discount_rate_per_year": 0.05}, {"#/discount_rate_per_year": "string_type"}),
        ({"incident_cost": "-1.00"}, {"#/incident_cost": "string_pattern_mismatch"}),
        ({"incident_cost": "1.005"}, {"#/incident_cost": "too_many_decimals"}),
        ({"currency": "XAU"}, {"#/currency": "unknown_currency"}),
        (with_position(0, part_cost="-5.00"), {"#/positions/0/part_cost": "string_pattern_mismatch"}),
        (with_position(0, bench_hours=-1), {"#/positions/0/bench_hours": "greater_than_equal"}),
        (
            with_position(1, life={"shape": 0.4, "scale_starts": 9000}),
            {"#/positions/1/life/shape": "greater_than_equal"},
        ),
        (
            with_position(1, life={"shape": 10.5, "scale_starts": 0}),
            {
                "#/positions/1/life/shape": "less_than_equal",
                "#/positions/1/life/scale_starts": "greater_than_equal",
            },
        ),
        (with_position(0, failed=False, wear_share=0.9), {"#/positions": "no_failed_position"}),
        (with_position(1, wear_share=0.2), {"#/positions/1/wear_share": "two_ages"}),
        (with_position(1, age_starts=None), {"#/positions/1/age_starts": "missing"}),
        (with_position(1, age_starts=-1), {"#/positions/1/age_starts": "greater_than_equal"}),
        (with_position(1, position="contacts"), {"#/positions/1/position": "repeated"}),
        (
            with_position(1, life={"shape": 2, "scale_starts": 1}),
            {"#/positions/1/life/scale_starts": "too_many_failures"},
        ),
        (with_replacement(refund_chance=1.2), {"#/replacements/0/refund_chance": "less_than_equal"}),
        (with_replacement(id="repair"), {"#/replacements/0/id": "repeated"}),
        ({"replacements": STATED["replacements"] * 2}, {"#/replacements/1/id": "repeated"}),
        ({"replacements": []}, {"#/replacements": "no_replacement"}),
        ({"remainder": {"life": {"shape": 1, "scale_starts": 9}}}, {"#/remainder/age_starts": "missing"}),
        (
            {"remainder": {"life": {"shape": 1, "scale_starts": 90000}, "wear_share": 1}},
            {"#/remainder/wear_share": "less_than"},
        ),
        ({"renew_together": [["contacts", "brush"]]}, {"#/renew_together/0/1": "unknown_position"}),
        ({"renew_together": [["contacts", "contacts"]]}, {"#/renew_together/0/1": "repeated"}),
    ],
)
def test_bad_input_is_named_with_its_place(
    service: httpx.Client, changes: dict[str, Any], faults: dict[str, str]
) -> None:
    assert refused(service, {**STATED, **changes}) == faults


def test_every_fault_is_named_at_once_whatever_its_sort(service: httpx.Client) -> None:
    changes = {
        "keep_months": 0,
        "incident_cost": "1.005",
        "renew_together": [["nobody"]],
        "replacements": STATED["replacements"] * 2,
        **with_position(1, wear_share=0.2, bench_hours=-1),
    }
    assert refused(service, {**STATED, **changes}).keys() == {
        "#/keep_months",
        "#/incident_cost",
        "#/renew_together/0/0",
        "#/replacements/1/id",
        "#/positions/1/wear_share",
        "#/positions/1/bench_hours",
    }


@pytest.mark.parametrize("name", ["starts_per_month", "incident_cost", "renew_together", "remainder"])
def test_members_over_months_without_keep_months_ask_for_it(service: httpx.Client, name: str) -> None:
    values: dict[str, Any] = {"renew_together": [], "starts_per_month": 100, "incident_cost": "60.00"}
    body = {**BY_FAMILY, name: values.get(name, {})}
    del body["keep_months"]
    assert refused(service, body) == {"#/keep_months": "missing"}
    life = {"position": "brush_set", "failed": True, "wear_share": 1}
    body = {"currency": "USD", "family": "D12-01", "positions": [life]}
    assert refused(service, body) == {"#/keep_months": "missing"}


def test_what_the_catalogue_cannot_supply_over_months_is_named(service: httpx.Client) -> None:
    assert refused(service, {**BY_FAMILY, "currency": "EUR"}).keys() >= {
        "#/positions/0/part_cost",
        "#/positions/1/part_cost",
        "#/incident_cost",
    }
    body = {**BY_FAMILY, "renew_together": [["brush_set", "brush_sett"]]}
    assert refused(service, body) == {"#/renew_together/0/1": "unknown_position"}
    unknown = {**BY_FAMILY, "family": "D12-1"}
    assert refused(service, unknown) == {"#/family": "unknown_family"}
