"""The counter clerk looks a wear part up: what it measures, what it is called, where it goes."""

from typing import Any

import httpx
import pytest
from asking import answer, counted_queries, refusal


def part(service: httpx.Client, number: str) -> Any:
    """Return the one part that goes by a number."""
    found = answer(service, "/v1/parts", number=number)
    assert found["total"] == 1
    return found["items"][0]


def test_parts_are_found_by_kind_maker_size_and_position(service: httpx.Client) -> None:
    found = answer(
        service,
        "/v1/parts",
        kind="bushing",
        maker="ombrisk",
        size="bush-12.5x16x12",
        family="D12-01",
        position="drive_end_bushing",
    )
    assert found["total"] > 0
    for one in found["items"]:
        assert (one["kind"], one["maker"]["code"], one["size"]) == ("bushing", "ombrisk", "bush-12.5x16x12")
        used = answer(service, f"/v1/parts/{one['id']}/families", limit=1000)
        positions = {use["family"]: [at["position"] for at in use["positions"]] for use in used["items"]}
        assert "drive_end_bushing" in positions["D12-01"]


def test_pieces_of_the_list_make_the_whole_in_order_of_maker_and_number(service: httpx.Client) -> None:
    whole = answer(service, "/v1/parts", kind="drive_clutch", limit=1000)
    keys = [(one["maker"]["code"], one["number"]) for one in whole["items"]]
    assert keys == sorted(keys)
    seen: list[str] = []
    path: str | None = "/v1/parts?kind=drive_clutch&limit=40"
    while path:
        piece = service.get(path).json()
        seen += [one["id"] for one in piece["items"]]
        path = piece["next"]
    assert seen == [one["id"] for one in whole["items"]]
    assert len(seen) == whole["total"]


def test_a_part_tells_its_dimensions_numbers_offers_and_what_replaced_it(service: httpx.Client) -> None:
    old = answer(service, f"/v1/parts/{part(service, 'OM 3289')['id']}", as_of="2026-11-25")
    dimensions = {one["dimension"]: one for one in old["dimensions"]}
    # Bush 11 x 14 x 12 mm: outside diameter to r6, ISO 286-2 for 10 to 18 mm: +23 to +34 um.
    outside = dimensions["outside_diameter"]
    assert (outside["lower_mm"], outside["upper_mm"]) == (14.023, 14.034)
    assert outside["text"] == "14.023..14.034 mm"
    assert dimensions["flange_diameter"]["state"] == "does_not_apply"
    assert [step["part"]["number"] for step in old["superseded_by"]] == ["OM 3294", "OM 3335"]
    assert [step["on"] for step in old["superseded_by"]] == ["2015-01-01", "2016-03-01"]
    assert {"scheme": "maker", "issuer": "ombrisk", "written": "OM 3289"} in old["numbers"]
    current = answer(service, f"/v1/parts/{old['superseded_by'][-1]['part']['id']}", as_of="2026-11-25")
    assert current["superseded_by"] == []
    assert current["listings"] > 0


def test_the_best_offer_is_the_cheapest_that_holds_on_the_day(service: httpx.Client) -> None:
    checked = 0
    for one in answer(service, "/v1/parts", kind="contact", limit=30)["items"]:
        told = answer(service, f"/v1/parts/{one['id']}", as_of="2026-11-25")
        offers = answer(service, "/v1/offers", part=one["id"], as_of="2026-11-25")
        assert told["offers"] == offers["total"]
        single = [
            float(offer["price"]["amount"])
            for offer in offers["items"]
            if offer["condition"] != "used"
            and offer["pack_size"] == offer["minimum_quantity"] == 1
            and offer["stock"] != 0
        ]
        if single and len(single) == offers["total"]:
            assert float(told["best_offer"]["price"]["amount"]) == min(single)
            checked += 1
    assert checked > 5


def test_a_part_is_read_in_a_fixed_number_of_queries(service: httpx.Client) -> None:
    for number in ("OM 3289", "OM 3335"):
        path = f"/v1/parts/{part(service, number)['id']}"
        with counted_queries() as asked:
            superseded = answer(service, path)["superseded_by"]
        assert len(asked) == (8 if superseded else 7)


def test_where_used_takes_four_queries(service: httpx.Client) -> None:
    path = f"/v1/parts/{part(service, 'OM 3335')['id']}/families"
    with counted_queries() as asked:
        assert answer(service, path)["total"] > 0
    assert len(asked) == 4


@pytest.mark.parametrize(
    ("query", "nearest"),
    [
        ({"kind": "bushings"}, "bushing"),
        ({"maker": "ombrik"}, "ombrisk"),
        ({"size": "bush-12.5x16x12mm"}, "bush-12.5x16x12"),
        ({"family": "d12-01"}, "D12-01"),
    ],
)
def test_a_filter_by_an_unknown_code_is_not_found(
    service: httpx.Client, query: dict[str, str], nearest: str
) -> None:
    assert refusal(service, 404, "/v1/parts", **query)["nearest"] == nearest


@pytest.mark.parametrize("ending", ["", "/families", "/interchange"])
@pytest.mark.parametrize(
    "given",
    [
        "1",
        "9" * 40,
        "%00",
        "OM%203289",
        "00000000-0000-7000-8000-000000000000",
        "00000000-0000-7000-8000-00000000000g",
        "%F0%9F%94%A7",
    ],
)
def test_an_id_that_is_none_is_not_found(service: httpx.Client, given: str, ending: str) -> None:
    refusal(service, 404, f"/v1/parts/{given}{ending}")


@pytest.mark.parametrize(
    "query",
    [
        {"number": "---"},
        {"number": "1" * 65},
        {"position": "drive_end_bush"},
        {"maker": "a\0"},
        {"kind": ""},
        {"limit": "-1"},
        {"colour": "red"},
    ],
)
def test_a_bad_filter_is_refused_with_the_parameter(service: httpx.Client, query: dict[str, str]) -> None:
    refused = refusal(service, 400, "/v1/parts", **query)
    assert [fault["parameter"] for fault in refused["errors"]] == list(query)


def test_capitals_in_an_id_do_not_matter(service: httpx.Client) -> None:
    one = part(service, "OM 3335")
    assert answer(service, f"/v1/parts/{one['id'].upper()}")["id"] == one["id"]
