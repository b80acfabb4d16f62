"""The clerk at the counter and the shop's software search by measurement, over real HTTP."""

import math

import httpx
import pytest

WORN_BUSH = {"bore": "12.62 mm", "length": "11.9 mm"}


def test_a_worn_bush_finds_the_standard_size_that_many_makers_share(service: httpx.Client) -> None:
    answer = service.get("/v1/matches/bushing", params=WORN_BUSH)
    assert answer.status_code == 200
    match = answer.json()
    best = match["candidates"][0]
    bore = next(one for one in best["dimensions"] if one["dimension"] == "bore")
    # A 12.5 mm bore in F7 (ISO 286: +16/+34 um) or G7 (+6/+24 um), worn by about 0.1 mm.
    assert 12.5 <= bore["lower_mm"] <= bore["upper_mm"] <= 12.534
    assert bore["verdict"] == "worn"
    assert best["group_probability"] > 0.8
    makers = {one["part"]["maker"] for one in match["candidates"] if one["group"] == best["group"]}
    assert len(makers) >= 4
    assert best["best_offer"]["price"]["currency"] == "USD"


def test_the_uncertainty_is_that_of_the_published_example(service: httpx.Client) -> None:
    """JCGM 100 4.3.7 and F.2.2.1, DIN 862: sqrt(0.04**2 / 3 + 0.01**2 / 12) mm for a bore by caliper."""
    reading = service.get("/v1/matches/bushing", params=WORN_BUSH).json()["readings"]["bore"]
    assert reading["instrument"] == "digital_caliper"
    assert math.isclose(
        reading["standard_uncertainty_mm"], math.sqrt(0.04**2 / 3 + 0.01**2 / 12), abs_tol=1e-6
    )


@pytest.mark.parametrize("limit", [None, 1, 5, 200])
def test_probabilities_add_to_one(service: httpx.Client, limit: int | None) -> None:
    query = WORN_BUSH if limit is None else {**WORN_BUSH, "limit": str(limit)}
    match = service.get("/v1/matches/bushing", params=query).json()
    listed = math.fsum(one["probability"] for one in match["candidates"])
    total = listed + match["remaining_probability"] + match["unlisted_probability"]
    assert math.isclose(total, 1.0, abs_tol=1e-6)


def test_without_a_limit_at_most_a_tenth_remains(service: httpx.Client) -> None:
    match = service.get("/v1/matches/bushing", params=WORN_BUSH).json()
    assert match["remaining_probability"] <= 0.1
    assert 20 <= len(match["candidates"]) <= 200


def test_units_do_not_matter(service: httpx.Client) -> None:
    """0.5 in is 12.7 mm exactly (international inch, 1959)."""
    caliper = {"instrument": "digital_caliper"}  # named, so that a fraction does not set the resolution
    inches = service.get(
        "/v1/matches/bushing", params={"bore": "0.5 in", "length": "1/2 in", **caliper}
    ).json()
    metric = service.get(
        "/v1/matches/bushing", params={"bore": "12.7 mm", "length": "1.27 cm", **caliper}
    ).json()
    assert inches["candidates"] == metric["candidates"]


def test_a_size_that_nobody_lists_is_said_to_be_unlisted(service: httpx.Client) -> None:
    query = {"bore": "33.33 mm", "outside_diameter": "44.44 mm", "length": "77.7 mm"}
    assert service.get("/v1/matches/bushing", params=query).json()["unlisted_probability"] > 0.5


def test_one_slipped_reading_is_named_and_does_not_bury_the_right_group(service: httpx.Client) -> None:
    good = {"bore": "12.55 mm", "outside_diameter": "16.03 mm", "length": "12.0 mm"}
    right = service.get("/v1/matches/bushing", params=good).json()["candidates"][0]["group"]
    slipped = service.get("/v1/matches/bushing", params={**good, "length": "21.0 mm"}).json()
    assert slipped["candidates"][0]["group"] == right
    assert [one["dimension"] for one in slipped["contradictions"]] == ["length"]


def test_an_odd_tooth_count_is_allowed_for_across_the_tips(service: httpx.Client) -> None:
    """A two-point reading over z odd, pointed teeth is the tip diameter times cos(90 deg / z): geometry."""
    query = {"teeth": "9", "limit": "1"}
    part = service.get("/v1/matches/drive_clutch", params=query).json()["candidates"][0]["part"]
    sizes = service.get(f"/v1/parts/{part['id']}").json()["dimensions"]
    tip = next(one for one in sizes if one["dimension"] == "tip_diameter")
    middle = (tip["lower_mm"] + tip["upper_mm"]) / 2
    read = middle * math.cos(math.pi / 2 / 9)
    answer = service.get(
        "/v1/matches/drive_clutch",
        params={"teeth": "9", "tip_diameter": f"{read:.3f} mm", "condition": "new"},
    ).json()
    best = answer["candidates"][0]
    compared = next(one for one in best["dimensions"] if one["dimension"] == "tip_diameter")
    assert compared["verdict"] == "agrees"
    assert tip["lower_mm"] <= compared["compared_mm"] <= tip["upper_mm"]


def test_what_to_measure_next_is_advised_with_its_place(service: httpx.Client) -> None:
    advice = service.get("/v1/matches/bushing", params=WORN_BUSH).json()["next_reading"]
    assert advice["dimension"] not in WORN_BUSH
    assert advice["gain_bits"] == max(one["gain_bits"] for one in advice["all"]) > 0
    assert advice["place"]


def test_many_searches_are_each_answered_or_refused_alone(service: httpx.Client) -> None:
    searches = [
        {"kind": "bushing", "readings": {"bore": {"text": "12.62 mm"}, "length": "11.9 mm"}},
        {"kind": "bushing", "readings": {"bore": "12.62"}},
        {"kind": "bushings", "readings": {"bore": "12.62 mm"}},
        {"kind": "drive_clutch", "readings": {"teeth": 9}, "limit": 2},
        {"knd": "bushing"},
    ]
    answer = service.post("/v1/matches", json={"searches": searches})
    assert answer.status_code == 200
    results = answer.json()["results"]
    assert [one["status"] for one in results] == [200, 400, 404, 200, 400]
    alone = service.get("/v1/matches/bushing", params=WORN_BUSH).json()
    assert results[0]["match"]["candidates"] == alone["candidates"]
    assert results[1]["problem"]["errors"][0]["pointer"] == "#/searches/1/readings/bore"
    assert results[2]["problem"]["nearest"] == "bushing"
    assert len(results[3]["match"]["candidates"]) == 2
    assert {one["pointer"] for one in results[4]["problem"]["errors"]} >= {"#/searches/4/knd"}


def test_a_search_can_be_shared_and_cached(service: httpx.Client) -> None:
    first = service.get("/v1/matches/bushing", params=WORN_BUSH)
    again = service.get(
        "/v1/matches/bushing", params=WORN_BUSH, headers={"If-None-Match": first.headers["etag"]}
    )
    assert (again.status_code, again.content) == (304, b"")


def test_the_model_is_published_with_its_origins(service: httpx.Client) -> None:
    for summary in service.get("/v1/kinds").json()["items"]:
        kind = service.get(f"/v1/kinds/{summary['code']}").json()
        assert kind["model"] and kind["unlisted_prior_origin"]
        assert all(one["origin"] and one["place"] for one in kind["dimensions"])
        assert all(step["source"] for one in kind["instruments"] for step in one["permissible_error"])


def test_a_superseded_part_names_what_its_maker_supplies_instead(service: httpx.Client) -> None:
    """The seed's OM 3289 was replaced by OM 3294: seed_catalog/supersessions.csv."""
    old = service.get("/v1/parts", params={"maker": "ombrisk", "number": "OM 3289"}).json()["items"][0]
    dimensions = service.get(f"/v1/parts/{old['id']}").json()["dimensions"]
    query = {
        one["dimension"]: f"{(one['lower_mm'] + one['upper_mm']) / 2:.3f} mm"
        for one in dimensions
        if one["lower_mm"] is not None
    }
    answer = service.get(f"/v1/matches/{old['kind']}", params={**query, "condition": "new"}).json()
    found = next(one for one in answer["candidates"] if one["part"]["id"] == old["id"])
    assert found["superseded_by"]["number"] == "OM 3294"


def test_the_parts_of_a_size_share_its_probability_by_their_listings(service: httpx.Client) -> None:
    """Within a size a part's share is proportional to its listings + 1."""
    match = service.get("/v1/matches/bushing", params={**WORN_BUSH, "limit": "200"}).json()
    by_size: dict[str, list[float]] = {}
    for one in match["candidates"]:
        share = one["probability"] / (one["listings"] + 1)
        by_size.setdefault(one["part"]["size"], []).append(share)
    several = [shares for shares in by_size.values() if len(shares) > 1 and shares[0] > 1e-4]
    assert several
    for shares in several:
        assert max(shares) - min(shares) < 1e-8
