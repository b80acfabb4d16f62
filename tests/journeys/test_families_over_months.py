"""Comparisons over the months that a family's catalogue entry feeds, over real HTTP.

What a replacement of the catalogue costs later is recomputed from the catalogue's own file, by a renewal
equation solved on a grid.
"""

import csv

import httpx
import numpy as np
import pytest
from asking import fewest_queries
from kept_starters import BY_FAMILY, amount, ask

from api.travelling import travelling

MOST_QUERIES = 12
"""As for the costs now, and lives and usual figures."""


def grid_failures(shape: float, scale: float, months: float, covered: float) -> tuple[float, float]:
    """Solve the renewal equation on a grid: discounted failures up to the end of the warranty, and in all."""
    steps = 4000
    times = np.linspace(0.0, months, steps + 1)
    chance = -np.expm1(-((times / scale) ** shape))
    middle = np.diff(chance)
    renewals = np.zeros(steps + 1)  # new failures in each step, by what failed before
    for step in range(1, steps + 1):
        earlier = renewals[1:step]
        renewals[step] = middle[step - 1] + float(earlier @ middle[step - 2 :: -1][: step - 1])
    worth = renewals[1:] * 1.05 ** (-(times[1:] + times[:-1]) / 24)
    return float(worth[times[1:] <= covered + 1e-9].sum()), float(worth.sum())


def test_a_family_is_fed_from_the_catalogue_and_says_from_where(service: httpx.Client) -> None:
    told = ask(service, BY_FAMILY)
    repair, *replacements = told["options"]
    with (travelling("seed_catalog") / "lives.csv").open(encoding="utf-8", newline="") as file:
        lives = {(row["scope"], row["code"]): row for row in csv.DictReader(file)}
    assumed = {one["what"]: one for one in told["assumptions"]}
    assert all(one["origin"] for one in told["assumptions"])
    assert {"starts_per_month", "discount_rate_per_year", "incident_cost", "renew_together"} <= assumed.keys()
    assert assumed["position brush_set"]["value"] == "not failed, of unknown age"
    assert assumed["position plunger"]["value"].startswith("left out: ")
    assert assumed["life of brush_set"]["origin"] == lives["position", "brush_set"]["origin"]
    assert {"battery_side_contact", "motor_side_contact", "contact_disc"} <= set(repair["renewed"])
    assert {one["position"] for one in told["worth_renewing"]} == {
        "battery_side_contact",
        "motor_side_contact",
        "contact_disc",
        "drive_end_bushing",
        "commutator_end_bushing",
        "brush_set",
        "drive_clutch",
    }
    new = next(one for one in replacements if one["option"] == "new")
    row = lives["replacement", "new"]
    warranty = float(assumed[f"warranty of {new['id']}"]["value"].split()[0])
    scale = float(row["scale_starts"]) / 100
    covered, every = grid_failures(float(row["shape"]), scale, 36.0, warranty)
    lines = {one["code"]: amount(one["gross"]) for one in new["cost_now"]["lines"]}
    again = amount(new["cost_now"]["total"]) - lines["consumables"]
    expected = every * (60 + again) + covered * (lines["labour"] - again)
    assert amount(new["expected_later"]) == pytest.approx(expected, rel=5e-3)


def test_named_figures_stand_and_the_others_are_still_filled(service: httpx.Client) -> None:
    body = {
        **BY_FAMILY,
        "starts_per_month": 300,
        "renew_together": [],
        "remainder": {"wear_share": 0.5},
        "positions": [
            {"position": "brush_set", "failed": False, "wear_share": 1.0, "warranty_months": 3},
            {"position": "drive_clutch", "failed": False, "age_starts": 30000, "part_cost": "40.00"},
        ],
        "replacements": [{"condition": "used", "price": "60.00"}],
    }
    told = ask(service, body)
    assumed = {one["what"] for one in told["assumptions"]}
    assert "starts_per_month" not in assumed
    assert "age of remainder" not in assumed
    assert "warranty of brush_set" not in assumed
    assert "part_cost of drive_clutch" not in assumed
    assert {
        "life of used_1",
        "life of remainder",
        "life of drive_clutch",
        "bench_hours of drive_clutch",
    } <= assumed
    worth = {one["position"]: one for one in told["worth_renewing"]}
    assert worth["brush_set"]["why"] == "failed"
    assert all(one["together_with"] == [] for one in worth.values())


def test_a_comparison_asks_the_database_a_bounded_number_of_times(service: httpx.Client) -> None:
    asked = fewest_queries(lambda: ask(service, BY_FAMILY), MOST_QUERIES)
    assert 0 < len(asked) <= MOST_QUERIES, "\n".join(asked)


def test_without_keep_months_the_costs_now_are_compared_and_it_is_said(service: httpx.Client) -> None:
    told = ask(service, {name: BY_FAMILY[name] for name in ("currency", "family", "positions")})
    assert told["keep_months"] is None
    assert (told["worth_renewing"], told["break_even"], told["sensitivity"]) == ([], {}, [])
    for option in told["options"]:
        for name in ("expected_later", "expected_total", "spread", "probability_cheapest"):
            assert option[name] is None
    assumed = {one["what"]: one["value"] for one in told["assumptions"]}
    assert "keep_months" in assumed["later costs"]
