"""What is recommended over the months, in which words, on which assumptions."""

import attrs
import pytest
from months_recomputed import figures, lasting, months, position, rates, starter, worn

from api.comparison.costs_now.figures import Assumption
from api.comparison.months.compare_months import compare_over_months
from api.comparison.months.explain_months import (
    LIMIT_OF_EXPECTATIONS,
    MOST_UNITS_LEFT,
    assumptions_over_months,
    explain_over_months,
)
from api.comparison.months.over_months import AgeUnknown, LifeInStarts, RemainderWear, WearShare

LABOUR = ("0", "0", "0")
"""Both would be done by the owner: the figures of the fact below are those of parts and starters."""

PAIR = ("battery_side_contact", "motor_side_contact")
REST = ("brush_set", "drive_end_bushing", "commutator_end_bushing")


def family(rest_share: float, remainder_share: float, keep: float):
    """A pair of contacts for 5.00 has failed; a remanufactured starter is 145.00. 100 starts a month."""
    shop = figures(
        [
            *(position(name, "2.50", failed=True) for name in PAIR),
            *(position(name, price) for name, price in zip(REST, ("14.00", "3.50", "3.50"), strict=True)),
        ],
        [starter("rm", "145.00")],
        labour=LABOUR,
    )
    wear = {name: worn(2.5, 9000) for name in PAIR}
    wear |= {name: worn(3, 12000, WearShare(rest_share)) for name in REST}
    over = months(
        wear,
        {"rm": lasting(2, 15000, 12)},
        keep=keep,
        incident="60.00",
        remainder=RemainderWear(LifeInStarts(4, 30000), WearShare(remainder_share)),
        together=(PAIR,),
    )
    return compare_over_months(shop, over)


@pytest.mark.parametrize("rest_share", [0.1, 0.5, 0.9])
def test_where_the_vehicle_is_soon_given_up_the_cheap_repair_wins(rest_share: float) -> None:
    # Common practice, no source.
    compared = family(rest_share, rest_share, keep=6)
    assert compared.recommended.option.id == "repair"
    assert "Repairing is" in explain_over_months(compared)[0]


@pytest.mark.parametrize("keep", [12, 24, 48])
def test_a_pair_of_contacts_beats_a_replacement_unless_the_rest_is_nearly_spent(keep: float) -> None:
    # Common practice, no source: some five units for the pair against a hundred and more.
    assert family(0.3, 0.3, keep).recommended.option.id == "repair"


def test_where_the_rest_is_nearly_spent_the_replacement_wins() -> None:
    # Common practice, no source. What is nearly spent is what wear parts do not renew.
    compared = family(0.95, 0.99, keep=120)
    assert compared.recommended.option.id == "rm"
    found = compared.break_even["rm"].keep_months
    assert found[0].repair_cheaper_before


def test_reasons_carry_the_figures() -> None:
    # Shape 1, no discount: in 24 months the disc fails 2.4 times, the replacement 0.6 times.
    # Repair: 10.00 + 2 h x 60.00 = 130.00 now and 2.4 x 130.00 = 312.00 later, 442.00.
    # Replacement: 250.00 + 60.00 + 40.00 x 0.25 = 320.00 now, 0.6 x 320.00 = 192.00 later, 512.00.
    # At H months 130 + 13 H = 320 + 8 H: 38.0 months. At a price P: 1.6 (P + 70) = 442, P = 206.25.
    shop = figures(
        [position("contact_disc", "10.00", "0.5", failed=True), position("brush_set", "14.00", "0.5")],
        [starter("rm", "250.00", "40.00", "0.75")],
        labour=("60.00", "1.0", "0.5"),
    )
    over = months({"contact_disc": worn(1, 1000), "brush_set": worn(1, 1e12)}, {"rm": lasting(1, 4000)})
    reasons = explain_over_months(compare_over_months(shop, over))
    assert reasons == (
        "Over 24 months repairing (renewing contact disc) is expected to cost 442.00 USD: 130.00 USD now and "
        "312.00 USD later; the best replacement, remanufactured (rm), 512.00 USD: 320.00 USD now and "
        "192.00 USD later. Repairing is 70.00 USD cheaper.",
        "Renewing brush set as well does not pay: 44.00 USD more now saves nothing later.",
        "At 38.0 months both would cost the same: kept for less, repairing comes cheaper; kept for longer, "
        "remanufactured (rm).",
        "At a price of 206.25 USD for rm both would cost the same.",
        # 1.6 x 50.00 = 80.00 by the price, more than by anything else: 2.4 x 130 / 0.8 - 312 = 78.00.
        "The difference hangs most on replacements[0].price: 20% less or more of it moves the difference by "
        "up to 80.00 USD.",
        LIMIT_OF_EXPECTATIONS,
    )


def test_the_deposit_of_a_recommended_replacement_is_told() -> None:
    shop = figures(
        [position("contact_disc", "400.00", failed=True)], [starter("rm", "250.00", "40.00", "0.75")]
    )
    over = months({"contact_disc": worn(1, 90000)}, {"rm": lasting(1, 90000)})
    compared = compare_over_months(shop, over)
    assert compared.recommended.option.id == "rm"
    assert (
        "290.00 USD with its core deposit of 40.00 USD, of which 30.00 USD"
        in explain_over_months(compared)[1]
    )


def test_a_tie_goes_to_the_lower_cost_now() -> None:
    # 24 months of shape 1: 10.00 and one failure of 30.00 against 40.00 that never fails.
    shop = figures(
        [position("contact_disc", "10.00", failed=True)], [starter("rm", "30.00"), starter("dear", "40.00")]
    )
    over = months(
        {"contact_disc": worn(1, 2400)}, {"rm": lasting(1, 1e15), "dear": lasting(1, 1e15)}, incident="10.00"
    )
    compared = compare_over_months(shop, over)
    assert [each.expected_total.minor for each in compared.options] == [3000, 3000, 4000]
    assert compared.recommended.option.id == "repair"
    assert "Both cost the same" in explain_over_months(compared)[0]


def test_without_a_replacement_only_the_repair_is_told() -> None:
    shop = figures([position("contact_disc", "10.00", failed=True)])
    reasons = explain_over_months(compare_over_months(shop, months({"contact_disc": worn(1, 2400)})))
    assert reasons == (
        "Over 24 months repairing (renewing contact disc) is expected to cost 20.00 USD: 10.00 USD now and "
        "10.00 USD later; no replacement was given to compare.",
        LIMIT_OF_EXPECTATIONS,
    )


def test_renewals_that_pay_are_all_told_and_of_the_others_the_nearest() -> None:
    names = [f"bushing_{letter}" for letter in "abcdef"]
    shop = figures(
        [position("contact_disc", "4.00", failed=True), *(position(name, "5.00", "0.1") for name in names)],
        labour=("60.00", "1.0", "0.5"),
    )
    shares = [0.9, 0.01, 0.02, 0.03, 0.04, 0.9]
    wear = {name: worn(5, 6000, WearShare(share)) for name, share in zip(names, shares, strict=True)}
    reasons = explain_over_months(
        compare_over_months(shop, months(wear | {"contact_disc": worn(2, 9000)}, together=(names[2:4],)))
    )
    assert sum("pays: 11.00 USD more now saves" in reason for reason in reasons) == 2
    left = [reason for reason in reasons if "does not pay" in reason]
    assert len(left) == MOST_UNITS_LEFT
    assert any("bushing c and bushing d" in reason for reason in left)


def test_assumptions_name_what_the_model_takes_for_granted() -> None:
    given = Assumption("starts_per_month", "100", "the catalogue")
    shop = figures(
        [position("contact_disc", "10.00", failed=True), position("brush_set", "14.00")],
        [starter("rm", "250.00", "40.00", "0.75")],
        tax=rates("0.05", "0.05", "0.05"),
    )
    wear = {"contact_disc": worn(1, 2400, AgeUnknown()), "brush_set": worn(2, 9000, WearShare(0.5))}
    over = months(wear, {"rm": lasting(1, 9000)}, together=(("contact_disc", "brush_set"),))
    told = assumptions_over_months(compare_over_months(attrs.evolve(shop, assumed=(given,)), over))
    assert told[0] == given
    texts = {each.what: each.value for each in told}
    assert texts["age"] == "wear share times the mean life: brush set; at 1 or more it counts as failed"
    assert {"later failures", "change of mind", "warranty", "prices", "renew_together", "rounding"} <= set(
        texts
    )
    assert "later costs" not in texts
