"""Every member of an answer over months against a recomputation that shares nothing with the service.

Each failure, set and history is counted anew from the request alone (`kept_by_hand`). Tolerances: half a
minor unit for a rounded amount, one more for each further rounding; four standard errors for what is drawn.
"""

from copy import deepcopy
from typing import Any

import httpx
import numpy as np
import pytest
from kept_by_hand import ByHand, changed
from kept_starters import amount, ask

CENT, HISTORIES = 0.01, 60_000
BOUNDS = {
    "shape": (0.5, 10.0),
    "refund_chance": (0.0, 1.0),
    "keep_months": (1.0, 240.0),
    "remainder.wear_share": (0, 1),
}

POSITIONS = [
    {
        "position": "battery_side_contact",
        "failed": True,
        "part_cost": "4.80",
        "bench_hours": 0.3,
        "life": {"shape": 2.4, "scale_starts": 26000},
        "age_starts": 21000,
        "warranty_months": 18,
    },
    {
        "position": "contact_disc",
        "failed": False,
        "part_cost": "6.10",
        "bench_hours": 0.1,
        "life": {"shape": 2.4, "scale_starts": 26000},
        "age_starts": 21000,
        "warranty_months": 12,
        "warranty_covers_labour": True,
    },
    {
        "position": "brush_set",
        "failed": False,
        "part_cost": "13.00",
        "bench_hours": 0.4,
        "life": {"shape": 3.2, "scale_starts": 24000},
        "wear_share": 0.8,
        "warranty_months": 24,
        "warranty_covers_labour": True,
    },
    {
        "position": "drive_clutch",
        "failed": False,
        "part_cost": "38.00",
        "bench_hours": 0.5,
        "life": {"shape": 1.6, "scale_starts": 40000},
        "age_unknown": True,
    },
]
EVERYTHING: dict[str, Any] = {
    "currency": "USD",
    "keep_months": 60,
    "starts_per_month": 120,
    "discount_rate_per_year": "0.06",
    "labour": {"rate_per_hour": "55.00", "removal_and_refit_hours": 0.8, "strip_hours": 0.4},
    "incident_cost": "45.00",
    "consumables": "3.50",
    "tax": {"parts": "0.08", "labour": "0.05", "deposit": "0.1"},
    "positions": POSITIONS,
    "remainder": {"life": {"shape": 3.0, "scale_starts": 50000}, "wear_share": 0.45},
    "renew_together": [["battery_side_contact", "contact_disc"]],
    "replacements": [
        {
            "id": "rebuilt",
            "condition": "remanufactured",
            "price": "120.00",
            "core_deposit": "40.00",
            "refund_chance": 0.85,
            "warranty_months": 12,
            "life": {"shape": 1.7, "scale_starts": 24000},
        },
        {
            "id": "new",
            "condition": "new",
            "price": "210.00",
            "warranty_months": 24,
            "warranty_covers_labour": True,
            "life": {"shape": 2.5, "scale_starts": 42000},
        },
    ],
}
"""Tax added, both warranties, a group, a remainder, a wear share, an unknown age, a doubtful refund."""

STEPS: dict[str, Any] = {
    **EVERYTHING,
    "keep_months": 90,
    "starts_per_month": 100,
    "discount_rate_per_year": "0.02",
    "labour": {"rate_per_hour": "40.00", "removal_and_refit_hours": 0.5, "strip_hours": 0.2},
    "incident_cost": "10.00",
    "tax": {"parts": "0.1", "labour": "0.2", "deposit": "0", "included": True},
    "positions": [
        {**POSITIONS[0], "life": {"shape": 1, "scale_starts": 4700}, "warranty_months": 0},
        {
            **POSITIONS[2],
            "life": {"shape": 1, "scale_starts": 3900},
            "wear_share": 1.05,
            "warranty_months": 3,
        },
    ],
    "remainder": None,
    "renew_together": [],
    "replacements": [
        {**EVERYTHING["replacements"][0], "price": "90.00", "life": {"shape": 9, "scale_starts": 5000}}
    ],
}
"""Tax included, a position worn through, and a replacement that fails in steps: several break-evens."""


@pytest.mark.parametrize("request_of", [EVERYTHING, STEPS], ids=["everything", "steps"])
def test_costs_choice_and_worth_are_those_by_hand(service: httpx.Client, request_of: dict[str, Any]) -> None:
    told = ask(service, request_of)
    by_hand = ByHand(request_of)
    total, renewed = by_hand.best()
    assert set(told["options"][0]["renewed"]) == renewed
    expected = [(by_hand.repair_now(renewed), total)]
    expected += [
        (by_hand.replacement_now(one), by_hand.replacement_total(one)) for one in request_of["replacements"]
    ]
    for option, (now, whole) in zip(told["options"], expected, strict=True):
        assert amount(option["cost_now"]["total"]) == pytest.approx(now, abs=1.51 * CENT)
        for member, sums in (("net", "net"), ("tax", "tax"), ("gross", "total")):
            lines = sum(amount(line[member]) for line in option["cost_now"]["lines"])
            assert lines == pytest.approx(amount(option["cost_now"][sums]), abs=1e-9)
        assert amount(option["expected_later"]) == pytest.approx(whole - now, abs=0.52 * CENT)
        assert amount(option["expected_total"]) == pytest.approx(whole, abs=2.02 * CENT)
    assert told["recommended"] == min(told["options"], key=lambda one: amount(one["expected_total"]))["id"]
    assert [one["position"] for one in told["worth_renewing"]] == [
        one["position"] for one in request_of["positions"]
    ]
    for worth, position in zip(told["worth_renewing"], request_of["positions"], strict=True):
        assert amount(worth["costs_now"]) == pytest.approx(by_hand.renewing(position), abs=0.51 * CENT)
        if by_hand.has_failed(position):
            assert worth["saves_later"] is None
            continue
        name = {position["position"]}
        saved = by_hand.later("repair", renewed - name) - by_hand.later("repair", renewed | name)
        assert amount(worth["saves_later"]) == pytest.approx(saved, abs=0.52 * CENT)


@pytest.mark.parametrize(("request_of", "most"), [(EVERYTHING, 1), (STEPS, 3)], ids=["everything", "steps"])
def test_break_evens_are_all_roots_by_hand(
    service: httpx.Client, request_of: dict[str, Any], most: int
) -> None:
    told = ask(service, request_of)["break_even"]
    roots, repair_first = ByHand(request_of, reach=240.0).roots()
    assert max(map(len, roots)) == most
    for place, one in enumerate(request_of["replacements"]):
        found = told[one["id"]]
        assert found["keep_months"] == pytest.approx(roots[place], abs=0.02)
        assert found["repair_cheaper_before_first"] == repair_first[place]
        for member, path in (
            ("labour_rate", "labour.rate_per_hour"),
            ("replacement_price", f"replacements[{place}].price"),
        ):
            root = amount(found[member])
            sides = [
                ByHand(changed(request_of, path, lambda _, at=root + step: at)).dearer_by()[place]
                for step in (-0.6 * CENT, 0.6 * CENT)
            ]
            assert sides[0] * sides[1] <= 0, member


@pytest.mark.parametrize("request_of", [EVERYTHING, STEPS], ids=["everything", "steps"])
def test_every_swing_is_the_one_by_hand_and_they_fall(
    service: httpx.Client, request_of: dict[str, Any]
) -> None:
    swings = ask(service, request_of)["sensitivity"]
    stated = -ByHand(request_of).dearer_by().max()
    sizes = []
    for swing in swings:
        bounds = next((both for name, both in BOUNDS.items() if swing["input"].endswith(name)), (0.0, np.inf))
        for member, share in (("low_effect", 0.8), ("high_effect", 1.2)):
            moved = changed(
                request_of,
                swing["input"],
                lambda value, share=share, both=bounds: float(np.clip(round(value * share, 9), *both)),
            )
            effect = -ByHand(moved).dearer_by().max() - stated
            assert amount(swing[member]) == pytest.approx(effect, abs=0.52 * CENT), swing["input"]
        sizes.append(max(abs(amount(swing[member])) for member in ("low_effect", "high_effect")))
    assert sizes == sorted(sizes, reverse=True)


@pytest.mark.parametrize("request_of", [EVERYTHING, STEPS], ids=["everything", "steps"])
def test_spread_and_chances_are_those_of_other_histories(
    service: httpx.Client, request_of: dict[str, Any]
) -> None:
    options = ask(service, request_of)["options"]
    by_hand = ByHand(request_of)
    renewed = set(options[0]["renewed"])
    drawn = np.array([by_hand.drawn(one["id"], renewed, HISTORIES, seed) for seed, one in enumerate(options)])
    order = np.argsort([amount(one["cost_now"]["total"]) for one in options], kind="stable")
    cheapest = order[np.argmin(drawn[order].round(6), axis=0)]
    slack = 4 * np.sqrt(0.25 / HISTORIES + 0.25 / 20_000)
    for place, one in enumerate(options):
        mean, spread = drawn[place].mean(), drawn[place].std()
        whole = amount(one["cost_now"]["total"]) + amount(one["expected_later"])
        assert mean == pytest.approx(whole, abs=4 * spread / np.sqrt(HISTORIES) + 2 * CENT)
        assert amount(one["spread"]["standard_error"]) == pytest.approx(
            spread / np.sqrt(20_000), rel=0.15, abs=0.6 * CENT
        )
        for share, member in ((0.1, "p10"), (0.5, "p50"), (0.9, "p90")):
            at = amount(one["spread"][member])
            below, reached = np.mean(drawn[place] < at - 1.6 * CENT), np.mean(drawn[place] <= at + 1.6 * CENT)
            assert below - slack <= share <= reached + slack, member
        assert one["probability_cheapest"] == pytest.approx(np.mean(cheapest == place), abs=slack)
        if place:
            ahead = np.mean(drawn[0] < drawn[place])
            assert one["repair_cheaper_probability"] == pytest.approx(ahead, abs=slack)


def test_a_request_is_not_changed_by_asking() -> None:
    before = deepcopy(EVERYTHING)
    changed(EVERYTHING, "replacements[0].price", lambda value: value * 2)
    assert before == EVERYTHING
