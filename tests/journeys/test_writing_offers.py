"""Whoever keeps prices writes offers: of one price one at most holds on a day."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS

TODAY = datetime.now(UTC).date().isoformat()


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


def entry(number: str, **changes: Any) -> dict[str, Any]:
    """An offer for a part that ruddlefold sells in packs of seven, which nobody else does."""
    return {
        "supplier": "ruddlefold",
        "number": number,
        "item": "part",
        "maker": "ombrisk",
        "item_number": "OM 3335",
        "condition": "new",
        "price": "0.77",
        "currency": "USD",
        "pack_size": 7,
        "minimum_quantity": 7,
        "core_deposit": "0.00",
        "warranty_months": 12,
        "lead_time_days": 2,
        "stock": 70,
        "valid_from": "2026-01-01",
        **changes,
    }


def part_of(writer: Writer, number: str = "OM 3335") -> str:
    return str(writer.read("/v1/parts", number=number)["items"][0]["id"])


def listed(writer: Writer, **query: str) -> set[str]:
    return {one["number"] for one in writer.read("/v1/offers", limit=1000, **query)["items"]}


def test_an_offer_is_created_read_replaced_changed_withdrawn_and_restored(writer: Writer) -> None:
    part = part_of(writer)
    created = writer.post("/v1/offers", entry("L1", pack_size=11), "prices")
    made = done(created, 201)
    path = created.headers["Location"]
    assert path == f"/v1/offers/{made['id']}"
    assert writer.read(path) == made
    assert writer.tag(path) == created.headers["ETag"]
    assert made["item"]["id"] == part
    assert made["price"] == {"amount": "0.77", "currency": "USD"}
    assert (made["withdrawn_on"], made["valid_until"], made["stock"]) == (None, None, 70)
    assert "L1" in listed(writer, part=part)

    replaced = done(writer.put(path, entry("L1", pack_size=11, price="0.66", stock=None), "prices"))
    assert (replaced["price"]["amount"], replaced["stock"]) == ("0.66", None)
    changed = writer.patch(path, {"stock": 3, "valid_until": "2099-01-01"}, "prices")
    assert done(changed) == {**replaced, "stock": 3, "valid_until": "2099-01-01"}
    assert writer.tag(path) == changed.headers["ETag"]

    withdrawn = done(writer.patch(path, {"withdrawn_on": TODAY}, "prices"))
    assert withdrawn["withdrawn_on"] == TODAY
    assert "L1" not in listed(writer, part=part)
    assert writer.read(path) == withdrawn
    restored = done(writer.patch(path, {"withdrawn_on": None}, "prices"))
    assert restored == done(changed)
    assert "L1" in listed(writer, part=part)


def test_the_best_offer_of_a_part_follows_a_change_at_once(writer: Writer) -> None:
    part = part_of(writer)
    before = writer.read(f"/v1/parts/{part}")["best_offer"]["number"]
    body = entry("L2", price="0.01", pack_size=1, minimum_quantity=1, condition="remanufactured")
    path = writer.post("/v1/offers", body, "prices").headers["Location"]
    assert writer.read(f"/v1/parts/{part}")["best_offer"]["number"] == "L2"
    done(writer.patch(path, {"withdrawn_on": TODAY}, "prices"))
    assert writer.read(f"/v1/parts/{part}")["best_offer"]["number"] == before


def test_every_fault_is_told_at_once(writer: Writer) -> None:
    body = entry(
        "L3",
        supplier="ruddlefolt",
        item_number="OM 0000",
        condition="old",
        price="0.00",
        core_deposit="0.001",
        warranty_months=241,
        stock="many",
        valid_from="2026-02-30",
        colour="red",
    )
    del body["lead_time_days"]
    problem = refused(writer.post("/v1/offers", body, "prices"), 400)
    assert pointers(problem) == {
        "#/supplier": "unknown_supplier",
        "#/item_number": "unknown_part",
        "#/condition": "literal_error",
        "#/price": "not_positive",
        "#/core_deposit": "too_many_decimals",
        "#/warranty_months": "less_than_equal",
        "#/stock": "int_type",
        "#/valid_from": "not_a_day",
        "#/colour": "unknown",
        "#/lead_time_days": "missing",
    }
    supplier = next(fault for fault in problem["errors"] if fault["pointer"] == "#/supplier")
    assert supplier["nearest"] == "ruddlefold"


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"currency": "EUR"}, {"#/currency": "other_currency"}),
        ({"valid_until": "2026-01-01"}, {"#/valid_until": "validity_reversed"}),
        ({"price": "0,77"}, {"#/price": "string_pattern_mismatch"}),
    ],
)
def test_a_rule_between_members_refuses(
    writer: Writer, changes: dict[str, str], fault: dict[str, str]
) -> None:
    assert pointers(refused(writer.post("/v1/offers", entry("L4", **changes), "prices"), 400)) == fault


def test_starters_are_sold_one_by_one(writer: Writer) -> None:
    starter = writer.read("/v1/starters", limit=1)["items"][0]
    body = entry("L5", item="starter", maker=starter["maker"]["code"], item_number=starter["number"])
    problem = refused(writer.post("/v1/offers", body, "prices"), 400)
    assert pointers(problem) == {"#/pack_size": "starters_in_pack"}
    made = done(writer.post("/v1/offers", {**body, "pack_size": 1, "condition": "used"}, "prices"), 201)
    assert made["item"]["id"] == starter["id"]
    assert "L5" in listed(writer, starter=starter["id"])


def test_another_key_or_none_may_not_write_prices(writer: Writer) -> None:
    refused(writer.post("/v1/offers", entry("L6"), None), 401)
    refused(writer.post("/v1/offers", entry("L6"), "catalogue"), 403)
    path = f"/v1/offers/{writer.read('/v1/offers', limit=1)['items'][0]['id']}"
    refused(writer.patch(path, {"stock": 1}, "catalogue"), 403)
    refused(writer.put(path, entry("L6"), "catalogue"), 403)


def test_one_price_holds_once_on_a_day(writer: Writer) -> None:
    first = writer.post("/v1/offers", entry("M1", valid_until="2026-06-01"), "prices").headers["Location"]
    clashing = refused(writer.post("/v1/offers", entry("M2", valid_from="2026-05-31"), "prices"), 409)
    assert "M1 of ruddlefold" in clashing["detail"]
    second = done(writer.post("/v1/offers", entry("M2", valid_from="2026-06-01"), "prices"), 201)
    path = f"/v1/offers/{second['id']}"

    assert "M2" in refused(writer.patch(first, {"valid_until": None}, "prices"), 409)["detail"]
    assert "M1" in refused(writer.patch(path, {"valid_from": "2026-01-01"}, "prices"), 409)["detail"]
    assert writer.read(path) == second
    done(writer.patch(path, {"condition": "used", "valid_from": "2026-01-01"}, "prices"))
    assert "M1" in refused(writer.patch(path, {"condition": "new"}, "prices"), 409)["detail"]

    done(writer.patch(path, {"withdrawn_on": TODAY}, "prices"))
    done(writer.patch(path, {"condition": "new"}, "prices"))
    assert "M1" in refused(writer.patch(path, {"withdrawn_on": None}, "prices"), 409)["detail"]
    done(writer.patch(first, {"withdrawn_on": TODAY}, "prices"))
    done(writer.patch(path, {"withdrawn_on": None}, "prices"))


def test_a_supplier_uses_a_number_once_and_never_renames_an_offer(writer: Writer) -> None:
    known = writer.read("/v1/offers", supplier="ruddlefold", limit=1)["items"][0]
    taken = refused(writer.post("/v1/offers", entry(known["number"]), "prices"), 409)
    assert known["number"] in taken["detail"]
    path = f"/v1/offers/{known['id']}"
    renamed = refused(writer.patch(path, {"number": "M9", "supplier": "quillhatch"}, "prices"), 400)
    assert pointers(renamed) == {"#/number": "never_changes", "#/supplier": "never_changes"}


def test_a_replacement_by_itself_changes_nothing(writer: Writer) -> None:
    created = writer.post("/v1/offers", entry("N1", pack_size=13), "prices")
    path, tag = created.headers["Location"], created.headers["ETag"]
    again = writer.put(path, entry("N1", pack_size=13), "prices", tag)
    assert (again.status_code, again.headers["ETag"]) == (200, tag)
    assert writer.patch(path, {}, "prices", tag).headers["ETag"] == tag
    done(writer.patch(path, {"stock": 1}, "prices", tag))
    refused(writer.patch(path, {"stock": 2}, "prices", tag), 412)


def test_what_is_only_validated_is_not_kept(writer: Writer) -> None:
    tried = writer.post("/v1/offers", entry("N2", pack_size=17), "prices", validate_only="true")
    assert done(tried)["number"] == "N2"
    assert "Location" not in tried.headers
    assert "N2" not in listed(writer, supplier="ruddlefold")


def test_a_new_offer_of_what_is_withdrawn_is_refused_and_an_old_one_stays_readable(writer: Writer) -> None:
    supplier = {
        "code": "dunmarrow",
        "name": "Dunmarrow Stores",
        "place": "Dunmarrow",
        "currency": "USD",
        "shipping": "4.50",
    }
    done(writer.post("/v1/suppliers", supplier, "prices"), 201)
    path = writer.post("/v1/offers", entry("W1", supplier="dunmarrow"), "prices").headers["Location"]
    assert "W1" in listed(writer, supplier="dunmarrow")
    done(writer.patch("/v1/suppliers/dunmarrow", {"withdrawn_on": TODAY}, "prices"))
    assert listed(writer, supplier="dunmarrow") == set()
    suppliers = writer.read("/v1/suppliers", limit=1000)
    assert "dunmarrow" not in {one["code"] for one in suppliers["items"]}
    assert suppliers["total"] == len(suppliers["items"])
    assert writer.read("/v1/suppliers/dunmarrow")["withdrawn_on"] == TODAY
    assert writer.read(path)["number"] == "W1"
    problem = refused(writer.post("/v1/offers", entry("W2", supplier="dunmarrow"), "prices"), 400)
    assert pointers(problem) == {"#/supplier": "withdrawn_supplier"}
    assert done(writer.patch(path, {"stock": 9}, "prices"))["stock"] == 9


def test_nothing_is_withdrawn_from_a_day_to_come(writer: Writer) -> None:
    """What is withdrawn is gone at once, so that a later day would not be told truly."""
    tomorrow = (date.fromisoformat(TODAY) + timedelta(days=1)).isoformat()
    offer = writer.post("/v1/offers", entry("F1", pack_size=23), "prices").headers["Location"]
    supplier = dict.fromkeys(("code", "name", "place"), "fernholt")
    created = writer.post(
        "/v1/suppliers",
        {**supplier, "currency": "USD", "shipping": "4.50", "withdrawn_on": tomorrow},
        "prices",
    )
    refusals = [created]
    for path, scope in ((offer, "prices"), (f"/v1/parts/{part_of(writer)}", "catalogue")):
        refusals.append(writer.patch(path, {"withdrawn_on": tomorrow}, scope))
        assert writer.read(path)["withdrawn_on"] is None
    for refusal in refusals:
        problem = refused(refusal, 400)
        assert pointers(problem) == {"#/withdrawn_on": "future_day"}
        assert TODAY in problem["errors"][0]["expected"]
    assert "F1" in listed(writer, supplier="ruddlefold")


def test_offers_of_a_withdrawn_part_are_gone_until_it_is_restored(writer: Writer) -> None:
    part = part_of(writer, "OM 3294")
    path = f"/v1/parts/{part}"
    offer = writer.post("/v1/offers", entry("P1", item_number="OM 3294"), "prices").headers["Location"]
    done(writer.patch(path, {"withdrawn_on": TODAY}, "catalogue"))
    assert listed(writer, part=part) == set()
    assert "P1" not in listed(writer, supplier="ruddlefold")
    assert writer.read(path)["best_offer"] is None
    assert writer.read(offer)["item"]["id"] == part
    assert done(writer.patch(offer, {"stock": 8}, "prices"))["stock"] == 8
    new = refused(writer.post("/v1/offers", entry("P2", item_number="OM 3294"), "prices"), 400)
    assert pointers(new) == {"#/item_number": "withdrawn_part"}
    moved = writer.post("/v1/offers", entry("P3", pack_size=19), "prices").headers["Location"]
    to_it = refused(writer.patch(moved, {"item_number": "OM 3294"}, "prices"), 400)
    assert pointers(to_it) == {"#/item_number": "withdrawn_part"}
    done(writer.patch(path, {"withdrawn_on": None}, "catalogue"))
    assert "P1" in listed(writer, part=part)


def test_what_a_maker_withdraws_is_offered_no_more(writer: Writer) -> None:
    starter = writer.read("/v1/starters", limit=1)["items"][0]
    maker = starter["maker"]["code"]
    sold = {"item": "starter", "maker": maker, "item_number": starter["number"], "pack_size": 1}
    done(writer.post("/v1/offers", entry("P4", **sold), "prices"), 201)
    assert "P4" in listed(writer, starter=starter["id"])
    done(writer.patch(f"/v1/makers/{maker}", {"withdrawn_on": TODAY}, "catalogue"))
    assert listed(writer, starter=starter["id"]) == set()
    problem = refused(writer.post("/v1/offers", entry("P5", **sold), "prices"), 400)
    assert pointers(problem) == {"#/item_number": "withdrawn_starter"}
    done(writer.patch(f"/v1/makers/{maker}", {"withdrawn_on": None}, "catalogue"))
    assert "P4" in listed(writer, starter=starter["id"])


@pytest.mark.parametrize("offer_id", ["1", "00000000-0000-7000-8000-000000000000"])
def test_an_unknown_offer_is_not_found(writer: Writer, offer_id: str) -> None:
    path = f"/v1/offers/{offer_id}"
    refused(writer.client.get(path), 404)
    refused(writer.patch(path, {"stock": 1}, "prices", "*"), 404)
    refused(writer.put(path, entry("X1"), "prices", "*"), 404)
