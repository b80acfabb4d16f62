"""A drive clutch for the other rotation is listed for a family, and cheapest: nobody is sold it."""

from collections.abc import Iterator

import pytest
from catalogue_writing import Writer, done, writing
from keyed_service import supplier

FAMILY, POSITION = "D12-04", "drive_clutch"


@pytest.fixture(scope="module")
def writer() -> Iterator[Writer]:
    with writing("sqlite") as made:
        yield made


def test_a_listed_part_that_does_not_fit_is_not_bought_and_that_is_told(writer: Writer) -> None:
    found = writer.read(f"/v1/families/{FAMILY}/interchange", position=POSITION)["positions"][0]["parts"]
    wrong = next(one["part"] for one in found if one["relation"] == "look_alike")
    size = writer.read(f"/v1/parts/{wrong['id']}")
    body = {"maker": size["maker"]["code"], "number": wrong["number"]}
    done(writer.post(f"/v1/families/{FAMILY}/positions/{POSITION}/listings", body, "catalogue"), 201)
    seller = done(writer.post("/v1/suppliers", supplier(), "prices"), 201)
    offer = {
        "supplier": seller["code"],
        "number": "CHEAP 1",
        "item": "part",
        "maker": body["maker"],
        "item_number": body["number"],
        "condition": "new",
        "price": "0.50",
        "currency": "USD",
        "warranty_months": 12,
        "lead_time_days": 1,
        "valid_from": "2026-01-01",
    }
    done(writer.post("/v1/offers", offer, "prices"), 201)
    found = writer.read(f"/v1/families/{FAMILY}/interchange", position=POSITION)["positions"][0]["parts"]
    judged = next(one for one in found if one["part"]["id"] == wrong["id"])
    assert (judged["relation"], judged["grade"]) == ("listed", "does_not_fit")
    asked = {
        "currency": "USD",
        "family": FAMILY,
        "positions": [{"position": POSITION, "failed": True}],
    }
    for more in ({}, {"keep_months": 24}):
        told = done(writer.client.post("/v1/comparisons", json={**asked, **more}))
        labels = [line["label"] for line in told["options"][0]["cost_now"]["lines"] if line["code"] == "part"]
        assert labels
        assert not any(wrong["number"] in label for label in labels)
        assumed = [one for one in told["assumptions"] if one["what"] == f"parts for {POSITION}"]
        assert any(wrong["number"] in one["value"] for one in assumed)
