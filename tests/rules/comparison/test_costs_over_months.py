"""Costs over the months by hand: exponential lives, whose expected failures are known exactly.

A life of shape 1 has no age: it fails at the constant rate 1 / scale. Up to the horizon H that makes
H / scale failures, and with the continuous discount rate r (1 - exp(-r H)) / (r scale) of them.
"""

import math
from fractions import Fraction

import pytest
from months_recomputed import (
    figures,
    lasting,
    months,
    position,
    rates,
    repair_total,
    replacement_total,
    starter,
    usd,
    worn,
)

from api.comparison.costs_now.figures import NoFailedPosition
from api.comparison.months.compare_months import compare_over_months
from api.comparison.months.failure_process import FailureProcess, expected_cost, monthly_rate
from api.comparison.months.over_months import (
    AgeUnknown,
    KnownAge,
    LifeInStarts,
    RemainderWear,
    WearShare,
    merge_groups,
)
from api.errors import InvalidInput
from api.wear_life.renewal import NewLife
from api.wear_life.weibull import WeibullLife

TAX = rates("0.05", "0.10", "0.20")
LABOUR = ("60.00", "1.2", "0.3")
CONTACT = position("battery_side_contact", "10.00", "0.5", failed=True)


def by_id(compared) -> dict[str, tuple[str, str, str]]:
    return {
        each.option.id: tuple(
            str(amount.minor / 100)
            for amount in (each.option.cost_now.total, each.expected_later, each.expected_total)
        )
        for each in compared.options
    }


def contact_over(**more):
    wear = {"battery_side_contact": worn(1, 1200, **{"warranty": 0, "covers": False} | more.pop("wear", {}))}
    return months(wear, {"rm": lasting(1, 2400, **more.pop("lasts", {}))}, keep=12, incident="50.00", **more)


def stated(tax=TAX):
    return figures(
        [CONTACT], [starter("rm", "100.00", "40.00", "0.75")], labour=LABOUR, consumables="2.00", tax=tax
    )


def test_each_failure_costs_incident_part_and_all_labour_with_tax() -> None:
    # Now: parts 12.00 x 1.05 = 12.60; 2.0 h x 60.00 x 1.10 = 132.00; together 144.60.
    # 1,200 starts at 100 a month are 12 months: one failure, 50.00 + 10.00 x 1.05 + 132.00 = 192.50.
    # Replacement now: 102.00 x 1.05 = 107.10; 1.2 h: 79.20; deposit 40.00 x 0.25 x 1.20 = 12.00; 198.30.
    # Half a failure: 50.00 + 100.00 x 1.05 + 79.20 + 12.00 = 246.20 without consumables; 123.10.
    compared = compare_over_months(stated(), contact_over())
    assert by_id(compared) == {"repair": ("144.6", "192.5", "337.1"), "rm": ("198.3", "123.1", "321.4")}
    assert compared.recommended.option.id == "rm"


def test_included_tax_is_not_added_again() -> None:
    # Now 12.00 + 120.00 = 132.00; a failure 50.00 + 10.00 + 120.00 = 180.00. Replacement: 102.00 + 72.00 +
    # 10.00 = 184.00; half of 50.00 + 100.00 + 72.00 + 10.00 = 232.00 is 116.00.
    compared = compare_over_months(stated(rates("0.05", "0.10", "0.20", included=True)), contact_over())
    assert by_id(compared) == {"repair": ("132.0", "180.0", "312.0"), "rm": ("184.0", "116.0", "300.0")}


def test_covered_failures_cost_the_incident_and_the_labour_unless_covered() -> None:
    # In 6 of 12 months half of the failures: 0.5 x (50.00 + 132.00) + 0.5 x 192.50 = 187.25.
    # The replacement's whole time is covered: 0.5 x (50.00 + 79.20) = 64.60.
    compared = compare_over_months(stated(), contact_over(wear={"warranty": 6}, lasts={"warranty": 12}))
    assert [later for _, later, _ in by_id(compared).values()] == ["187.25", "64.6"]
    # With the labour: 0.5 x 50.00 + 0.5 x 192.50 = 121.25, and 0.5 x 50.00 = 25.00.
    covered = {"warranty": 6, "covers": True}, {"warranty": 24, "covers": True}
    compared = compare_over_months(stated(), contact_over(wear=covered[0], lasts=covered[1]))
    assert [later for _, later, _ in by_id(compared).values()] == ["121.25", "25.0"]


def test_a_part_that_stays_has_no_warranty() -> None:
    # The brushes stay in place: 1 failure of 30.00, nothing covered.
    shop = figures([CONTACT, position("brush_set", "30.00")])
    over = months({"battery_side_contact": worn(1, 1e9), "brush_set": worn(1, 1200, warranty=12)}, keep=12)
    compared = compare_over_months(shop, over)
    assert compared.options[0].option.renewed == ("battery_side_contact",)
    # Renewed they would cost 30.00 and fail free of charge: 30.00 now saves 30.00 later, a tie; so they stay.
    assert by_id(compared)["repair"] == ("10.0", "30.0", "40.0")
    assert (
        str(compared.worth_renewing[1].costs_now)
        == str(compared.worth_renewing[1].saves_later)
        == "30.00 USD"
    )


def test_the_remainder_is_met_by_the_cheapest_replacement_with_its_fitting() -> None:
    # Half a failure of the remainder; "rm" comes to 105.00 + 79.20 + 12.00 = 196.20, "used" to 63.00 + 79.20,
    # so to 142.20; with the incident 192.20: 96.10 more than the 192.50 of the contact.
    shop = figures(
        [CONTACT],
        [starter("rm", "100.00", "40.00", "0.75"), starter("used", "60.00")],
        labour=LABOUR,
        consumables="2.00",
        tax=TAX,
    )
    over = months(
        {"battery_side_contact": worn(1, 1200)},
        {"rm": lasting(1, 2400), "used": lasting(1, 600)},
        keep=12,
        incident="50.00",
        remainder=RemainderWear(LifeInStarts(1, 2400), AgeUnknown()),
    )
    assert by_id(compare_over_months(shop, over))["repair"][1] == "288.6"


def test_discounting_follows_the_closed_form_of_exponential_lives() -> None:
    # Closed form lambda (1 - exp(-r H)) / r: lambda 0.2, r 0.05, H 10 give 1.57387736.
    assert expected_cost(
        FailureProcess(name="x", life=WeibullLife(1, 5), first=NewLife(), cost=1.0), 10, 0.05
    ) == pytest.approx(1.57387736, abs=5e-9)
    # The same through a yearly rate: (1 + d) ^ (1 / 12) = exp(0.05).
    yearly = math.exp(0.6) - 1
    assert monthly_rate(yearly) == pytest.approx(0.05, rel=1e-14)
    shop = figures([position("brush_set", "10000.00", failed=True)])
    over = months({"brush_set": worn(1, 500)}, keep=10, discount=yearly)
    assert str(compare_over_months(shop, over).options[0].expected_later) == "15738.77 USD"


def test_a_warranty_splits_discounted_failures_at_its_end() -> None:
    # Failures to 4 months cost 1, later ones 3: 3 x count(10) - 2 x count(4).
    process = FailureProcess(
        name="x", life=WeibullLife(1, 5), first=NewLife(), cost=3.0, covered_cost=1.0, covered_until=4.0
    )
    counts = [0.2 * -math.expm1(-0.05 * until) / 0.05 for until in (10, 4)]
    assert expected_cost(process, 10, 0.05) == pytest.approx(3 * counts[0] - 2 * counts[1], rel=1e-9)
    assert expected_cost(process, 3, 0.05) == pytest.approx(0.2 * -math.expm1(-0.15) / 0.05, rel=1e-9)


def test_a_wear_share_is_an_age_and_from_1_on_a_failure() -> None:
    shop = figures([CONTACT, position("brush_set", "14.00", "0.5")], labour=LABOUR)
    wear = {"battery_side_contact": worn(2, 9000), "brush_set": worn(2, 6000, WearShare(0.5))}
    over = months(wear, incident="20.00")
    # The mean of shape 2 is 0.8862269255 scales (Gamma(1.5) from tables of the gamma function).
    aged = months(wear | {"brush_set": worn(2, 6000, KnownAge(0.5 * 0.8862269255 * 6000))}, incident="20.00")
    totals = [compare_over_months(shop, each).options[0].later for each in (over, aged)]
    assert totals[0] == pytest.approx(totals[1], rel=1e-8)
    worn_out = months(wear | {"brush_set": worn(2, 6000, WearShare(1.0))}, incident="20.00")
    compared = compare_over_months(shop, worn_out)
    assert compared.options[0].option.renewed == ("battery_side_contact", "brush_set")
    assert [each.why for each in compared.worth_renewing] == ["failed", "failed"]
    assert compared.worth_renewing[1].saves_later is None


def test_every_option_equals_its_definition_recomputed() -> None:
    shop = figures(
        [CONTACT, position("brush_set", "14.00", "0.5"), position("drive_end_bushing", "3.50", "0.3")],
        [starter("rm", "145.00", "40.00", "0.9"), starter("new", "310.00")],
        labour=LABOUR,
        consumables="1.50",
        tax=TAX,
    )
    over = months(
        {
            "battery_side_contact": worn(2.5, 9000, AgeUnknown(), 12),
            "brush_set": worn(3, 12000, WearShare(0.7), 6, True),
            "drive_end_bushing": worn(2, 15000, AgeUnknown()),
        },
        {"rm": lasting(1.5, 9000, 12), "new": lasting(2, 20000, 24, True)},
        keep=48,
        starts=120,
        discount=0.06,
        incident="80.00",
        remainder=RemainderWear(LifeInStarts(2, 30000), KnownAge(8000)),
    )
    compared = compare_over_months(shop, over)
    repair, *replacements = compared.options
    expected = repair_total(shop, over, repair.option.renewed)
    assert repair.option.cost_now.total.minor + repair.later == pytest.approx(expected, abs=2)
    for each in replacements:
        expected = replacement_total(shop, over, each.option.id)
        assert each.option.cost_now.total.minor + each.later == pytest.approx(expected, abs=2)


def test_a_renewed_position_starts_new_whatever_its_age_was() -> None:
    shop = figures([CONTACT])
    ages = [KnownAge(0), KnownAge(5000), WearShare(0.9), AgeUnknown()]
    totals = {
        compare_over_months(shop, months({"battery_side_contact": worn(2.5, 9000, age)})).options[0].later
        for age in ages
    }
    assert len(totals) == 1


def test_what_cannot_be_compared_is_named_at_once() -> None:
    over = months(
        {"battery_side_contact": worn(2, 9000)},
        keep=0,
        starts=0,
        remainder=RemainderWear(LifeInStarts(2, 9000), WearShare(1)),
        together=(("battery_side_contact", "contact_disk"),),
    )
    with pytest.raises(InvalidInput) as error:
        compare_over_months(figures([CONTACT]), over)
    assert {"/".join(map(str, fault.path)): fault.code for fault in error.value.faults} == {
        "remainder/wear_share": "remainder_failed",
        "replacements": "no_replacement",
        "renew_together/0/1": "unknown_position",
        "keep_months": "out_of_range",
        "starts_per_month": "out_of_range",
    }
    sound = figures([position("brush_set", "1.00")])
    with pytest.raises(NoFailedPosition):
        compare_over_months(sound, months({"brush_set": worn(2, 9000)}))


def test_groups_that_share_a_position_are_one() -> None:
    assert merge_groups("abcdef", ["ab", "de", "bc", "xf"]) == (("a", "b", "c"), ("d", "e"), ("f",))
    assert merge_groups("ab", []) == (("a",), ("b",))


def test_hours_and_rates_are_exact_fractions_until_the_end() -> None:
    # A third of an hour at 60.00 is 20.00 to the cent, three times over.
    shop = figures([position("brush_set", "0", "1/3", failed=True)], labour=("60.00", "1/3", "1/3"))
    compared = compare_over_months(shop, months({"brush_set": worn(1, 2400)}))
    assert by_id(compared)["repair"] == ("60.0", "60.0", "120.0")
    assert compared.options[0].option.cost_now.total == usd("60.00")
    assert Fraction(compared.options[0].later).limit_denominator(1000) == 6000
