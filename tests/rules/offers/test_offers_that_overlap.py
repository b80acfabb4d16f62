"""Two offers of one price do not hold on the same day: `valid_from` <= day < `valid_until`.

The rule is our own (a buyer could not tell which price counts); the days below are worked by hand.
"""

from datetime import date, timedelta
from itertools import permutations

import attrs
import pytest

from api.offers.entries import OfferEntry
from api.offers.find_overlaps import find_overlaps
from api.wear_parts.entries import ItemKey

PART = ItemKey("part", "alpha", "AB-100")
OFFER = OfferEntry(
    supplier="north",
    number="Q1",
    item=PART,
    condition="new",
    price_minor=205,
    currency="USD",
    pack_size=10,
    minimum_quantity=10,
    core_deposit_minor=0,
    warranty_months=12,
    lead_time_days=1,
    stock=None,
    valid_from="2026-03-01",
    valid_until="2026-06-01",
)


def other(valid_from: str, valid_until: str | None, **changes: object) -> OfferEntry:
    return attrs.evolve(OFFER, number="Q2", valid_from=valid_from, valid_until=valid_until, **changes)


def numbers(*offers: OfferEntry) -> list[tuple[str, str]]:
    return [(later.number, earlier.number) for later, earlier in find_overlaps(offers)]


@pytest.mark.parametrize(
    ("valid_from", "valid_until", "clash"),
    [
        ("2026-01-01", "2026-03-01", []),
        ("2026-01-01", "2026-03-02", [("Q1", "Q2")]),
        ("2026-01-01", None, [("Q1", "Q2")]),
        ("2026-03-01", "2026-06-01", [("Q2", "Q1")]),
        ("2026-04-01", "2026-04-02", [("Q2", "Q1")]),
        ("2026-05-31", None, [("Q2", "Q1")]),
        ("2026-06-01", None, []),
        ("2027-01-01", "2027-02-01", []),
    ],
)
def test_the_first_day_counts_and_the_last_one_does_not(
    valid_from: str, valid_until: str | None, clash: list[tuple[str, str]]
) -> None:
    assert numbers(OFFER, other(valid_from, valid_until)) == clash
    assert numbers(other(valid_from, valid_until), OFFER) == clash


@pytest.mark.parametrize(
    "changes",
    [
        {"supplier": "south"},
        {"item": ItemKey("starter", "alpha", "AB-100")},
        {"item": ItemKey("part", "beta", "AB-100")},
        {"condition": "used"},
        {"pack_size": 1},
    ],
)
def test_what_is_not_the_same_price_may_hold_at_once(changes: dict[str, object]) -> None:
    assert numbers(OFFER, other("2026-04-01", None, **changes)) == []


@pytest.mark.parametrize("changes", [{"price_minor": 5}, {"minimum_quantity": 50}, {"stock": 3}])
def test_another_price_or_minimum_does_not_make_it_another_offer(changes: dict[str, object]) -> None:
    assert numbers(OFFER, other("2026-04-01", None, **changes)) == [("Q2", "Q1")]


def test_every_later_offer_is_told_once_beside_the_one_that_holds_longest() -> None:
    offers = (
        attrs.evolve(OFFER, number="A", valid_from="2026-01-01", valid_until="2026-02-01"),
        attrs.evolve(OFFER, number="B", valid_from="2026-01-15", valid_until=None),
        attrs.evolve(OFFER, number="C", valid_from="2026-01-20", valid_until="2026-01-25"),
        attrs.evolve(OFFER, number="D", valid_from="2030-01-01", valid_until=None),
    )
    for order in permutations(offers):
        assert numbers(*order) == [("B", "A"), ("C", "B"), ("D", "B")]


def test_an_offer_clashes_as_counting_its_days_one_by_one_says() -> None:
    """Every pair of spans within five days, judged by the days that lie in both."""
    first = date(2026, 2, 27)
    days = [(first + timedelta(days=step)).isoformat() for step in range(6)]
    spans = [(start, end) for start in days for end in (*days, None) if end is None or start < end]

    def lies_in(span: tuple[str, str | None]) -> set[str]:
        return {day for day in days if span[0] <= day and (span[1] is None or day < span[1])}

    for one in spans:
        for two in spans:
            shared = lies_in(one) & lies_in(two)
            kept = attrs.evolve(OFFER, valid_from=one[0], valid_until=one[1])
            assert bool(numbers(kept, other(*two))) is bool(shared), (one, two)
