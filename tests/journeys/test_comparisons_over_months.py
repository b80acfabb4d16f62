"""What repair and replacement will have cost when the vehicle is given up, asked over real HTTP.

Expected figures are recomputed here from the stated formulas: by closed forms of exponential lives and by
a published table of the renewal function.
"""

import math
from collections.abc import Callable
from typing import Any

import httpx
import numpy as np
import pytest
from kept_starters import BY_FAMILY, STATED, amount, ask
from scipy.optimize import brentq

HOURS, RATE = 0.7 + 0.5, 60.0


def failures(scale_starts: float, months: float) -> float:
    """Exponential lives: lambda (1 - exp(-delta h)) / delta failures, each discounted to today."""
    delta = math.log(1.05) / 12
    return 100 / scale_starts * -math.expm1(-delta * months) / delta


class ByHand:
    """The model of `STATED` in closed form, by months kept, rate of labour, and price of the replacement."""

    def __init__(self, months: float = 36, rate: float = RATE, price: float = 115.0, incident: float = 60.0):
        self.months, self.rate, self.price, self.incident = months, rate, price, incident

    def labour(self, hours: float) -> float:
        return hours * self.rate * 1.10

    @property
    def fitted(self) -> float:
        return self.price * 1.07 + self.labour(0.7) + 30 * (1 - 0.9) * 1.20

    @property
    def repair_now(self) -> float:
        return (5 + 4) * 1.07 + self.labour(HOURS + 0.4)

    @property
    def repair_later(self) -> float:
        covered = failures(20000, min(12, self.months))
        every = failures(20000, self.months)
        contacts = every * (self.incident + self.labour(HOURS + 0.4)) + (every - covered) * 5 * 1.07
        brush_set = failures(9000, self.months) * (self.incident + 12 * 1.07 + self.labour(HOURS + 0.3))
        remainder = failures(50000, self.months) * (self.incident + self.fitted)
        return contacts + brush_set + remainder

    @property
    def replacement_now(self) -> float:
        return self.fitted + 4 * 1.07

    @property
    def replacement_later(self) -> float:
        covered = failures(15000, min(24, self.months))
        every = failures(15000, self.months)
        return every * self.incident + (every - covered) * self.fitted

    @property
    def repair_dearer_by(self) -> float:
        return self.repair_now + self.repair_later - self.replacement_now - self.replacement_later


def test_exponential_lives_give_the_closed_form_to_the_cent(service: httpx.Client) -> None:
    repair, rebuilt = ask(service, STATED)["options"]
    by_hand = ByHand()
    assert repair["renewed"] == ["contacts"]  # a life without memory: a sound piece is as good as new
    assert amount(repair["cost_now"]["total"]) == pytest.approx(by_hand.repair_now, abs=0.0051)
    assert amount(repair["expected_later"]) == pytest.approx(by_hand.repair_later, abs=0.0051)
    assert amount(rebuilt["cost_now"]["total"]) == pytest.approx(by_hand.replacement_now, abs=0.0051)
    assert amount(rebuilt["expected_later"]) == pytest.approx(by_hand.replacement_later, abs=0.0051)
    for option in (repair, rebuilt):
        parts = amount(option["cost_now"]["total"]) + amount(option["expected_later"])
        assert amount(option["expected_total"]) == pytest.approx(parts, abs=1e-9)


def test_break_evens_are_the_roots_of_the_closed_form(service: httpx.Client) -> None:
    found = ask(service, STATED)["break_even"]["rebuilt"]
    ways: dict[str, tuple[Callable[[float], float], float]] = {
        "labour_rate": (lambda rate: ByHand(rate=rate).repair_dearer_by, 1000.0),
        "replacement_price": (lambda price: ByHand(price=price).repair_dearer_by, 1000.0),
    }
    for name, (dearer_by, most) in ways.items():
        assert amount(found[name]) == pytest.approx(brentq(dearer_by, 0.0, most), abs=0.0051), name
    grid = np.arange(1, 240.5, 0.5)
    values = [ByHand(months=months).repair_dearer_by for months in grid]
    roots = [
        brentq(lambda months: ByHand(months=months).repair_dearer_by, grid[place], grid[place + 1])
        for place in range(len(grid) - 1)
        if values[place] * values[place + 1] < 0
    ]
    assert roots
    assert found["keep_months"] == pytest.approx(roots, abs=0.02)
    assert found["repair_cheaper_before_first"] is (values[0] < 0)
    assert found["reasons"] == {}


def test_sensitivity_is_the_closed_form_moved_by_a_fifth_largest_first(service: httpx.Client) -> None:
    told = ask(service, STATED)["sensitivity"]
    swings = {one["input"]: one for one in told}
    ways: list[tuple[str, Callable[[float], ByHand]]] = [
        ("incident_cost", lambda share: ByHand(incident=60 * share)),
        ("labour.rate_per_hour", lambda share: ByHand(rate=RATE * share)),
        ("replacements[0].price", lambda share: ByHand(price=115 * share)),
        ("keep_months", lambda share: ByHand(months=36 * share)),
    ]
    for name, moved in ways:
        for member, share in (("low_effect", 0.8), ("high_effect", 1.2)):
            effect = ByHand().repair_dearer_by - moved(share).repair_dearer_by
            assert amount(swings[name][member]) == pytest.approx(effect, abs=0.0051), (name, member)
    assert swings["incident_cost"]["low"] == {"amount": "48.00", "currency": "USD"}
    assert (swings["positions[1].life.shape"]["of"], swings["positions[1].life.shape"]["low"]) == (
        "brush_set",
        0.8,
    )
    sizes = [max(abs(amount(one["low_effect"])), abs(amount(one["high_effect"]))) for one in told]
    assert sizes == sorted(sizes, reverse=True)


def test_the_drawn_histories_agree_with_the_expectations(service: httpx.Client) -> None:
    """Four standard errors (one in 16,000); chances over all options add up to one."""
    options = ask(service, STATED)["options"]
    assert sum(one["probability_cheapest"] for one in options) == pytest.approx(1.0)
    assert options[0]["repair_cheaper_probability"] is None
    chance = options[1]["repair_cheaper_probability"]
    assert chance == pytest.approx(options[0]["probability_cheapest"])  # two options: the same question
    for one in options:
        spread = {name: amount(value) for name, value in one["spread"].items()}
        assert spread["p10"] <= spread["p50"] <= spread["p90"]
        assert amount(one["cost_now"]["total"]) <= spread["p10"]
        assert 0.1 < spread["standard_error"] < 2.0


TABLE = {0.1: 0.0061, 0.2: 0.0261, 0.4: 0.1087, 0.6: 0.2422, 1.0: 0.6091, 1.2: 0.8143, 1.5: 1.124, 2.0: 1.627}
"""Tijms, A First Course in Stochastic Models, table 8.1.1: M(t), Weibull of mean 1, shape 2.101349."""


def test_replacements_fail_as_often_as_the_published_table_says(service: httpx.Client) -> None:
    """Undiscounted, at 1,000.00 a failure, the later cost is 1,000 M(t), to the digits of the table."""
    starters = [
        {
            "id": f"at_{share}",
            "condition": "new",
            "price": "1000.00",
            "life": {"shape": 2.101349, "scale_starts": 1.129063 * 24 * 100 / share},
        }
        for share in TABLE
    ]
    free = {
        "keep_months": 24,
        "discount_rate_per_year": "0",
        "incident_cost": "0",
        "labour": {"rate_per_hour": "0", "removal_and_refit_hours": 0},
        "tax": {"parts": "0", "labour": "0", "deposit": "0"},
        "replacements": starters,
    }
    _, *answered = ask(service, {**STATED, **free})["options"]
    for one, failures_expected in zip(answered, TABLE.values(), strict=True):
        digits = 0.0005 if failures_expected > 1 else 0.00005
        assert amount(one["expected_later"]) / 1000 == pytest.approx(failures_expected, abs=digits * 1.2)


def test_a_piece_of_unknown_age_fails_evenly_whatever_its_shape(service: httpx.Client) -> None:
    """Stationary renewal process: horizon over mean life. Mean of shape 2: 0.8862269255 scales."""
    position = {
        "position": "drive_clutch",
        "failed": False,
        "part_cost": "500.00",
        "bench_hours": 0,
        "life": {"shape": 2, "scale_starts": 40000},
        "age_unknown": True,
    }
    plain = {
        "discount_rate_per_year": "0",
        "labour": {"rate_per_hour": "0", "removal_and_refit_hours": 0},
        "tax": {"parts": "0", "labour": "0", "deposit": "0"},
        "positions": [{**STATED["positions"][0], "life": {"shape": 1, "scale_starts": 1e9}}, position],
        "remainder": None,
    }
    repair = ask(service, {**STATED, **plain})["options"][0]
    expected = 3600 / (0.8862269255 * 40000) * (60 + 500)
    assert amount(repair["expected_later"]) == pytest.approx(expected, abs=0.0055)


def worn(share: float, keep_months: float) -> dict[str, Any]:
    """A pair of contacts for five, a replacement of 120, everything else worn by a share."""
    life = {"shape": 3, "scale_starts": 40000}
    others = [
        {"position": name, "failed": False, "part_cost": price, "bench_hours": hours, "life": life}
        for name, price, hours in (
            ("brush_set", "14.00", 0.5),
            ("drive_clutch", "32.00", 0.5),
            ("drive_end_bushing", "3.00", 0.4),
        )
    ]
    positions = [
        {**STATED["positions"][0], "life": life},
        *({**one, "wear_share": share} for one in others),
    ]
    starter = {
        "id": "new",
        "condition": "new",
        "price": "120.00",
        "life": {"shape": 2, "scale_starts": 30000},
    }
    remainder = {"life": {"shape": 3, "scale_starts": 40000}, "wear_share": share}
    return {
        **STATED,
        "keep_months": keep_months,
        "positions": positions,
        "remainder": remainder,
        "replacements": [starter],
    }


def test_the_cheap_repair_wins_where_the_vehicle_is_soon_given_up(service: httpx.Client) -> None:
    """Common practice, no source: a pair for some five beats a hundred and more, unless the rest is spent."""
    soon = ask(service, worn(0.5, 6))
    assert soon["recommended"] == "repair"
    assert soon["options"][0]["renewed"] == ["contacts"]
    spent = ask(service, worn(0.98, 48))
    assert spent["recommended"] == "new"
    assert ask(service, worn(0.1, 48))["recommended"] == "repair"


def test_what_pays_to_be_renewed_is_renewed_and_each_position_is_told(service: httpx.Client) -> None:
    told = ask(service, {**worn(0.95, 72), "renew_together": [["drive_clutch", "drive_end_bushing"]]})
    worth = {one["position"]: one for one in told["worth_renewing"]}
    renewed = told["options"][0]["renewed"]
    assert [name for name, one in worth.items() if one["renewed"]] == renewed
    assert worth["contacts"]["why"] == "failed"
    assert worth["contacts"]["saves_later"] is None
    assert worth["drive_clutch"]["together_with"] == ["drive_end_bushing"]
    assert worth["brush_set"]["why"] == "pays"
    assert amount(worth["brush_set"]["saves_later"]) > amount(worth["brush_set"]["costs_now"])
    by_hand = 14 * 1.07 + 0.5 * RATE * 1.10
    assert amount(worth["brush_set"]["costs_now"]) == pytest.approx(by_hand, abs=0.0051)


@pytest.mark.parametrize("body", [STATED, BY_FAMILY])
def test_the_same_request_gives_the_same_answer_byte_for_byte(
    service: httpx.Client, body: dict[str, Any]
) -> None:
    first, second = (service.post("/v1/comparisons", json=body) for _ in range(2))
    assert first.content == second.content
    assert "fixed seed" in first.text


def test_without_replacements_there_is_nothing_to_break_even_with(service: httpx.Client) -> None:
    told = ask(service, {**STATED, "replacements": [], "remainder": None})
    assert [one["id"] for one in told["options"]] == ["repair"]
    assert (told["break_even"], told["sensitivity"]) == ({}, [])
    assert told["options"][0]["probability_cheapest"] == 1.0


def test_a_break_even_that_is_not_there_has_its_reason(service: httpx.Client) -> None:
    dear = {**STATED["replacements"][0], "price": "9000.00", "life": {"shape": 1, "scale_starts": 100}}
    found = ask(service, {**STATED, "replacements": [dear]})["break_even"]["rebuilt"]
    assert found["keep_months"] is None
    assert found["reasons"]["keep_months"].startswith("Repairing is expected to cost less")
