"""Requests over the months: what the schema and the reader take alike, what is read, what is listed."""

import copy
import json
from typing import Any

import jsonschema
import pytest

from api.comparison.months.over_months import AgeUnknown, KnownAge, LifeInStarts, WearShare
from api.comparison.requests.contradictions import contradictions
from api.comparison.requests.read_request import read_comparison
from api.comparison.requests.shapes import (
    ComparisonByFamily,
    ComparisonByFigures,
    ComparisonOverMonthsByFamily,
    ComparisonOverMonthsByFigures,
    ComparisonRequest,
)
from api.comparison.requests.stated import StatedFigures, complete_over_months
from api.comparison.short_lives import StatedLives, refuse_short_lives
from api.errors import InvalidInput
from api.wire.inputs import read_body

LIFE = {"shape": 2, "scale_starts": 40000}
BY_FIGURES: dict[str, Any] = {
    "currency": "USD",
    "keep_months": 36,
    "starts_per_month": 90,
    "discount_rate_per_year": "0.04",
    "incident_cost": "50.00",
    "labour": {"rate_per_hour": "60.00", "removal_and_refit_hours": 1, "strip_hours": 0.5},
    "consumables": "4.00",
    "tax": {"parts": "0.07", "labour": "0", "deposit": "0", "included": False},
    "positions": [
        {"position": "contacts", "failed": True, "part_cost": "5.00", "bench_hours": 0.2, "life": LIFE},
        {
            "position": "brush_set",
            "failed": False,
            "part_cost": "12.00",
            "bench_hours": 0.3,
            "life": LIFE,
            "age_starts": 9000,
        },
    ],
    "remainder": {"life": LIFE, "wear_share": 0.4},
    "renew_together": [["contacts", "brush_set"]],
    "replacements": [{"condition": "new", "price": "150.00", "life": LIFE, "warranty_months": 24}],
}
BY_FAMILY: dict[str, Any] = {
    "currency": "USD",
    "family": "KR-09",
    "keep_months": 12,
    "positions": [{"position": "contact_disc", "failed": True}],
}
SCHEMA = ComparisonRequest.model_json_schema()


def changed(body: dict[str, Any], path: str, value: object) -> dict[str, Any]:
    body = copy.deepcopy(body)
    *way, last = [int(step) if step.isdigit() else step for step in path.split("/")]
    place: Any = body
    for step in way:
        place = place[step]
    place[last] = value
    return body


def model(body: dict[str, Any]) -> Any:
    return read_body(json.dumps(body).encode(), "application/json", ComparisonRequest).root


def read(body: dict[str, Any]) -> StatedFigures:
    return read_comparison(model(body))


def refused(body: dict[str, Any]) -> dict[str, str]:
    with pytest.raises(InvalidInput) as error:
        read(body)
    return {"/".join(map(str, fault.path)): fault.code for fault in error.value.faults}


def schema_takes(body: dict[str, Any]) -> bool:
    return jsonschema.Draft202012Validator(SCHEMA).is_valid(body)


def months_of(body: dict[str, Any]) -> Any:
    stated = read(body)
    assert stated.months is not None
    return stated.months


def test_what_is_stated_is_read() -> None:
    months = months_of(BY_FIGURES)
    assert (months.keep_months, months.starts_per_month, months.discount_rate_per_year) == (36, 90, 0.04)
    assert str(months.incident_cost) == "50.00 USD"
    assert months.positions["brush_set"].age == KnownAge(9000)
    assert months.positions["contacts"].age is None
    assert months.positions["contacts"].life == LifeInStarts(2, 40000)
    assert months.remainder.age == WearShare(0.4)
    assert months.replacements["new_1"].warranty_months == 24
    assert months.renew_together == (("contacts", "brush_set"),)


def test_the_members_decide_which_document_it_is() -> None:
    without = {name: BY_FIGURES[name] for name in ("currency", "labour", "consumables", "tax")}
    plain = {"position": "contacts", "failed": True, "part_cost": "5.00", "bench_hours": 0.2}
    assert isinstance(model({**without, "positions": [plain]}), ComparisonByFigures)
    assert isinstance(model(BY_FIGURES), ComparisonOverMonthsByFigures)
    assert isinstance(model(BY_FAMILY), ComparisonOverMonthsByFamily)
    now = {name: BY_FAMILY[name] for name in ("currency", "family", "positions")}
    assert isinstance(model(now), ComparisonByFamily)
    inner = model(BY_FAMILY)
    assert ComparisonRequest(inner).root is inner


@pytest.mark.parametrize(
    ("member", "value"),
    [
        ("starts_per_month", 100),
        ("discount_rate_per_year", "0"),
        ("incident_cost", "0"),
        ("remainder", {}),
        ("renew_together", []),
        ("positions", [{"position": "contact_disc", "failed": True, "life": LIFE}]),
        ("replacements", [{"condition": "new", "price": "1.00", "warranty_months": 3}]),
    ],
)
def test_a_member_over_months_without_keep_months_names_keep_months(member: str, value: object) -> None:
    body = {**BY_FAMILY, member: value}
    assert schema_takes(body)
    del body["keep_months"]
    assert refused(body) == {"keep_months": "missing"}
    assert not schema_takes(body)


def test_without_a_family_everything_is_needed_but_the_age_of_what_failed() -> None:
    assert schema_takes(BY_FIGURES)
    for name in ("starts_per_month", "discount_rate_per_year", "incident_cost"):
        body = {key: value for key, value in BY_FIGURES.items() if key != name}
        assert refused(body) == {name: "missing"}
        assert not schema_takes(body)
    for place in ("positions/0/life", "positions/1/life", "replacements/0/life", "remainder/life"):
        body = copy.deepcopy(BY_FIGURES)
        *way, last = place.split("/")
        entry = body[way[0]] if len(way) == 1 else body[way[0]][int(way[1])]
        del entry[last]
        assert refused(body) == {place: "missing"}
        assert not schema_takes(body)


@pytest.mark.parametrize("family", [False, True])
@pytest.mark.parametrize(
    ("failed", "ages", "by_figures", "by_family"),
    [
        (True, {}, None, None),
        (False, {}, "missing", None),
        (False, {"age_starts": 0}, None, None),
        (False, {"wear_share": 0.5}, None, None),
        (False, {"age_unknown": True}, None, None),
        (False, {"age_unknown": True, "wear_share": None}, None, None),
        (False, {"age_starts": None}, "missing", None),
        (False, {"age_starts": 1, "wear_share": 0.5}, "two_ages", "two_ages"),
        (True, {"age_starts": 1, "age_unknown": True}, "two_ages", "two_ages"),
    ],
)
def test_schema_and_reader_agree_on_one_age(
    family: bool, failed: bool, ages: dict[str, Any], by_figures: str | None, by_family: str | None
) -> None:
    position = {**BY_FIGURES["positions"][1], "failed": failed, **ages}
    if "age_starts" not in ages:
        del position["age_starts"]
    body = changed(BY_FIGURES, "positions/1", position)
    expected = by_figures
    if family:
        body, expected = {**body, "family": "KR-09"}, by_family
    assert schema_takes(body) is (expected is None)
    if expected is None:
        read(body)
    else:
        assert set(refused(body).values()) == {expected}


def test_age_unknown_is_true_or_left_out() -> None:
    body = changed(BY_FIGURES, "positions/0/age_unknown", False)
    assert refused(body) == {"positions/0/age_unknown": "literal_error"}
    assert not schema_takes(body)
    assert (
        months_of(changed(BY_FIGURES, "positions/0/age_unknown", True)).positions["contacts"].age
        == AgeUnknown()
    )


def test_a_position_worn_through_has_failed() -> None:
    body = changed(BY_FIGURES, "positions/0/failed", False)
    assert refused(body) == {"positions": "no_failed_position", "positions/0/age_starts": "missing"}
    body = changed(body, "positions/0/wear_share", 0.99)
    assert refused(body) == {"positions": "no_failed_position"}
    assert not schema_takes(body)
    body = changed(body, "positions/0/wear_share", 1)
    assert schema_takes(body)
    assert [each.failed for each in read(body).positions] == [True, False]


def test_defaults_are_listed() -> None:
    told = {each.what: each.value for each in read(BY_FIGURES).assumed}
    assert told["warranty_months"].startswith("0 where not stated")
    assert told["warranty_covers_labour"] == "false where not stated"
    bare = {name: value for name, value in BY_FIGURES.items() if name not in ("remainder", "renew_together")}
    told = {each.what: each.value for each in read(bare).assumed}
    assert told["renew_together"] == "every position by itself"
    assert told["remainder"].startswith("left out")
    assert [each.what for each in read(BY_FAMILY).assumed] == []


def test_the_contradictions_of_any_json_are_found_without_a_word_of_complaint() -> None:
    """What has another shape than it should is left to the schema."""
    strange: list[Any] = [None, 1, "x", [], {}, [1, "x", None, [], {"position": 1}], {"rate_per_hour": 1}]
    for member in BY_FIGURES:
        for value in strange:
            contradictions({**BY_FIGURES, member: value})
    assert contradictions(BY_FIGURES) == []


def test_an_amount_with_too_many_decimals_is_named_wherever_it_stands() -> None:
    body = copy.deepcopy(BY_FIGURES)
    body["consumables"] = body["incident_cost"] = "1.005"
    body["labour"]["rate_per_hour"] = body["positions"][1]["part_cost"] = "1.005"
    body["replacements"][0] |= {"price": "1.005", "core_deposit": "1.005"}
    places = ["consumables", "incident_cost", "labour/rate_per_hour", "positions/1/part_cost"]
    places += ["replacements/0/price", "replacements/0/core_deposit"]
    assert refused(body) == dict.fromkeys(places, "too_many_decimals")


def test_a_remainder_needs_a_replacement_to_meet_its_failure() -> None:
    assert refused(changed(BY_FIGURES, "replacements", [])) == {"replacements": "no_replacement"}
    body = {**BY_FAMILY, "remainder": {}, "replacements": []}
    assert refused(body) == {"replacements": "no_replacement"}
    assert read({**BY_FAMILY, "remainder": {}}).replacements is None


def test_lives_too_short_to_be_drawn_are_named_where_they_are_stated() -> None:
    """36 months hold 3,240 starts: 200 mean lives of 16.2, which is a scale of 18.28 at shape 2."""
    body = changed(BY_FIGURES, "positions/1/life", {"shape": 2, "scale_starts": 18.2})
    body = changed(body, "replacements/0/life", {"shape": 2, "scale_starts": 1})
    body = changed(body, "remainder/life", {"shape": 2, "scale_starts": 18.3})
    stated = read(body)
    assert stated.months is not None
    _, months = complete_over_months(stated, stated.months)
    with pytest.raises(InvalidInput) as error:
        refuse_short_lives(months, StatedLives.of(stated, stated.months))
    assert [fault.path for fault in error.value.faults] == [
        ("positions", 1, "life", "scale_starts"),
        ("replacements", 0, "life", "scale_starts"),
    ]
    with pytest.raises(InvalidInput) as error:
        refuse_short_lives(months, StatedLives({}))
    assert {fault.path for fault in error.value.faults} == {("starts_per_month",)}
