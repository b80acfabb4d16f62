"""Shop software reads suppliers and the offers that hold on a day."""

import re
from typing import Any

import httpx
import pytest
from asking import answer, counted_queries, refusal


def offers(service: httpx.Client, **query: Any) -> list[Any]:
    return list(answer(service, "/v1/offers", limit=1000, **query)["items"])


def test_suppliers_say_what_shipping_costs(service: httpx.Client) -> None:
    suppliers = {one["code"]: one for one in answer(service, "/v1/suppliers")["items"]}
    assert suppliers["quillhatch"]["shipping"] == {"amount": "6.50", "currency": "USD"}
    assert suppliers["quillhatch"]["free_shipping_from"] == {"amount": "80.00", "currency": "USD"}
    assert suppliers["ruddlefold"]["shipping"]["amount"] == "0.00"
    assert suppliers["ruddlefold"]["free_shipping_from"] is None


def test_an_offer_holds_from_its_first_day_to_the_day_before_its_last(service: httpx.Client) -> None:
    ending = next(one for one in offers(service, as_of="2026-11-25") if one["valid_until"])
    number, item = ending["number"], {ending["item"]["owner"]: ending["item"]["id"]}

    def holds(day: str) -> bool:
        return number in [one["number"] for one in offers(service, as_of=day, **item)]

    assert holds(ending["valid_from"])
    assert not holds(ending["valid_until"])
    assert holds("2026-11-25")
    assert not holds("1999-12-31")


def test_filters_keep_what_they_say(service: httpx.Client) -> None:
    used = offers(service, as_of="2026-11-25", condition="used", supplier="brackenwhistle")
    assert used
    assert {one["condition"] for one in used} == {"used"}
    assert {one["supplier"] for one in used} == {"brackenwhistle"}
    unit = used[0]["item"]
    assert unit["owner"] == "starter"
    for one in offers(service, as_of="2026-11-25", starter=unit["id"]):
        assert one["item"] == unit
        assert re.fullmatch(r"[0-9]+\.[0-9]{2}", one["price"]["amount"])


def test_pieces_of_the_list_make_the_whole(service: httpx.Client) -> None:
    seen: list[tuple[str, str]] = []
    path: str | None = "/v1/offers?as_of=2026-11-25&limit=500"
    while path:
        piece = service.get(path).json()
        seen += [(one["supplier"], one["number"]) for one in piece["items"]]
        path = piece["next"]
    assert len(seen) == len(set(seen)) == piece["total"]
    assert seen == sorted(seen)


def test_a_list_of_offers_takes_two_queries(service: httpx.Client) -> None:
    with counted_queries() as asked:
        offers(service, as_of="2026-11-25")
    assert len(asked) == 2


@pytest.mark.parametrize(
    "day",
    ["2026-02-30", "1764028800", "26-11-25", "2026-11-25T00:00:00", "20261125", "", "tomorrow", "٢٠٢٦-١١-٢٥"],
)
def test_what_is_no_day_is_refused(service: httpx.Client, day: str) -> None:
    refused = refusal(service, 400, "/v1/offers", as_of=day)
    assert [fault["parameter"] for fault in refused["errors"]] == ["as_of"]


@pytest.mark.parametrize(
    "query",
    [
        {"part": "1"},
        {"part": "00000000-0000-7000-8000-000000000000"},
        {"starter": "00000000-0000-7000-8000-000000000000"},
        {"supplier": "quillhach"},
    ],
)
def test_an_unknown_item_or_supplier_is_not_found(service: httpx.Client, query: dict[str, str]) -> None:
    refusal(service, 404, "/v1/offers", **query)


@pytest.mark.parametrize("query", [{"condition": "old"}, {"part": "9" * 37}, {"limit": "0"}, {"price": "5"}])
def test_a_bad_filter_is_refused_with_the_parameter(service: httpx.Client, query: dict[str, str]) -> None:
    refused = refusal(service, 400, "/v1/offers", **query)
    assert [fault["parameter"] for fault in refused["errors"]] == list(query)
