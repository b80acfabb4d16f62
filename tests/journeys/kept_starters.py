"""Comparisons over the months that journeys ask for: with every figure stated, and fed by a family."""

from decimal import Decimal
from typing import Any

import httpx

STATED: dict[str, Any] = {
    "currency": "USD",
    "keep_months": 36,
    "starts_per_month": 100,
    "discount_rate_per_year": "0.05",
    "labour": {"rate_per_hour": "60.00", "removal_and_refit_hours": 0.7, "strip_hours": 0.5},
    "incident_cost": "60.00",
    "consumables": "4.00",
    "tax": {"parts": "0.07", "labour": "0.10", "deposit": "0.20"},
    "positions": [
        {
            "position": "contacts",
            "failed": True,
            "part_cost": "5.00",
            "bench_hours": 0.4,
            "life": {"shape": 1, "scale_starts": 20000},
            "warranty_months": 12,
        },
        {
            "position": "brush_set",
            "failed": False,
            "part_cost": "12.00",
            "bench_hours": 0.3,
            "life": {"shape": 1, "scale_starts": 9000},
            "age_starts": 4000,
        },
    ],
    "remainder": {"life": {"shape": 1, "scale_starts": 50000}, "age_unknown": True},
    "replacements": [
        {
            "id": "rebuilt",
            "condition": "remanufactured",
            "price": "115.00",
            "core_deposit": "30.00",
            "refund_chance": 0.9,
            "warranty_months": 24,
            "warranty_covers_labour": True,
            "life": {"shape": 1, "scale_starts": 15000},
        }
    ],
}
BY_FAMILY: dict[str, Any] = {
    "currency": "USD",
    "family": "D12-01",
    "keep_months": 36,
    "positions": [
        {"position": "battery_side_contact", "failed": True},
        {"position": "motor_side_contact", "failed": True},
    ],
}


def amount(money: dict[str, str]) -> float:
    return float(Decimal(money["amount"]))


def ask(service: httpx.Client, body: dict[str, Any]) -> dict[str, Any]:
    answer = service.post("/v1/comparisons", json=body)
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.json()
    return told


def refused(service: httpx.Client, body: dict[str, Any]) -> dict[str, str]:
    answer = service.post("/v1/comparisons", json=body)
    assert answer.status_code == 400, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    return {one["pointer"]: one["code"] for one in answer.json()["errors"]}
