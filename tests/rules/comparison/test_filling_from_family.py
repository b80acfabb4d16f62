"""What the catalogue fills of a comparison, what it must not, and what it says is wanting."""

from datetime import date
from fractions import Fraction

import attrs
import pytest

from api.comparison.costs_now.compare import compare_now
from api.comparison.from_catalogue.family_supply import (
    FamilySupply,
    LabourHours,
    OfferedPart,
    OfferedStarter,
    ShopDefaults,
    SuppliedPosition,
)
from api.comparison.from_catalogue.from_family import fill_from_family
from api.comparison.requests.stated import StatedFigures, StatedPosition, complete_figures
from api.errors import InvalidInput
from api.fit.judging.reasons import Grade
from api.money.amounts import Money, format_amount
from api.money.currencies import find_currency
from api.money.tax import TaxRates
from api.offers.offer_terms import OfferTerms, Shipping

USD = find_currency("USD")
DAY = date(2026, 11, 25)
NO_TAX = TaxRates(Fraction(0), Fraction(0), Fraction(0))
SHOP = ShopDefaults(Money(6000, USD), Money(400, USD), NO_TAX, "the shop's own")
HALF_HOUR = LabourHours(Fraction(1, 2), "our judgement")


def offer(number: str, price: int, supplier: str = "near", ships: int = 0, **more) -> OfferTerms:
    currency = more.pop("currency", USD)
    return OfferTerms(
        offer_id=number,
        item="an item",
        supplier_code=supplier,
        supplier_name=supplier.capitalize(),
        condition=more.pop("condition", "new"),
        price=Money(price, currency),
        core_deposit=Money(more.pop("deposit", 0), currency),
        valid_from=date(2026, 1, 1),
        shipping=Shipping(Money(ships, currency)),
        **more,
    )


def part(number: str, *offers: OfferTerms, listed: bool = True) -> OfferedPart:
    return OfferedPart("Someone", number, listed, offers)


def position(code: str, *parts: OfferedPart, quantity: int = 1, kind: str | None = "bushing"):
    return SuppliedPosition(code=code, kind=kind, quantity=quantity, bench=HALF_HOUR, parts=parts)


def supply(*positions: SuppliedPosition, shop: ShopDefaults | None = SHOP, starters=()) -> FamilySupply:
    return FamilySupply(
        family="F-1",
        as_of=DAY,
        access=HALF_HOUR,
        strip=HALF_HOUR,
        shop=shop,
        positions={each.code: each for each in positions},
        starters=starters,
    )


def stated(*failed: str, sound: tuple[str, ...] = (), **more) -> StatedFigures:
    positions = [StatedPosition(code, True) for code in failed]
    positions += [StatedPosition(code, False) for code in sound]
    return StatedFigures(currency=USD, family="F-1", positions=tuple(positions), **more)


def part_lines(asked: StatedFigures, given: FamilySupply) -> list[tuple[str, str]]:
    repair = compare_now(complete_figures(fill_from_family(asked, given))).options[0]
    lines = [line for line in repair.cost_now.lines if line.code in ("part", "shipping")]
    return [(line.label, format_amount(line.net)) for line in lines]


def faults(asked: StatedFigures, given: FamilySupply) -> dict[str, str]:
    with pytest.raises(InvalidInput) as refused:
        complete_figures(fill_from_family(asked, given))
    return {"/".join(map(str, fault.path)): fault.code for fault in refused.value.faults}


def assumed(asked: StatedFigures, given: FamilySupply) -> dict[str, str]:
    return {each.what: each.value for each in fill_from_family(asked, given).assumed}


def test_the_order_weighs_shipping_and_names_maker_number_and_supplier() -> None:
    # Two at 1.00 from far with 5.00 of shipping cost 7.00; at 3.00 each without shipping 6.00.
    bushes = [
        position(code, part("A 1", offer(code, 100, "far", 500)), part("B 2", offer(code + "'", 300)))
        for code in ("drive_end_bushing", "commutator_end_bushing")
    ]
    assert part_lines(stated("drive_end_bushing", "commutator_end_bushing"), supply(*bushes)) == [
        ("Someone B 2 for drive end bushing, from Near", "3.00"),
        ("Someone B 2 for commutator end bushing, from Near", "3.00"),
    ]
    assert part_lines(stated("drive_end_bushing"), supply(bushes[0])) == [
        ("Someone B 2 for drive end bushing, from Near", "3.00")
    ]


def test_packs_and_least_quantities_are_paid_whole() -> None:
    # Three needed in pairs at 4.50: two packs, 9.00, four pieces.
    given = supply(position("planet_gears", part("A 1", offer("1", 450, pack_size=2)), quantity=3))
    assert part_lines(stated("planet_gears"), given) == [
        ("Someone A 1 for planet gears, from Near, packs of 2 (3 of 4 pieces needed)", "9.00")
    ]


def test_used_parts_and_parts_with_a_deposit_are_left_out() -> None:
    worn, deposit = offer("1", 50, condition="used"), offer("2", 60, deposit=500)
    given = supply(position("brush_set", part("A 1", worn, deposit), part("B 2", offer("3", 900))))
    assert [net for _, net in part_lines(stated("brush_set"), given)] == ["9.00"]
    assert faults(stated("brush_set"), supply(position("brush_set", part("A 1", worn, deposit)))) == {
        "positions/0/part_cost": "missing"
    }


def test_listed_parts_come_first_and_parts_of_their_size_where_none_can_be_had() -> None:
    other = part("B 2", offer("2", 100), listed=False)
    listed = supply(position("brush_set", part("A 1", offer("1", 900)), other))
    assert [net for _, net in part_lines(stated("brush_set"), listed)] == ["9.00"]
    sold_out = supply(position("brush_set", part("A 1", offer("1", 900, stock=0)), other))
    assert [net for _, net in part_lines(stated("brush_set"), sold_out)] == ["1.00"]


def test_one_offer_is_not_asked_for_more_than_it_has() -> None:
    last = offer("last one", 100, stock=1)
    bushes = [
        position(code, part("A 1", last, offer("more", 400)))
        for code in ("drive_end_bushing", "commutator_end_bushing")
    ]
    asked = stated("drive_end_bushing", "commutator_end_bushing")
    assert sorted(net for _, net in part_lines(asked, supply(*bushes))) == ["1.00", "4.00"]


def test_where_listed_parts_run_out_the_last_position_takes_one_of_their_size() -> None:
    last = offer("last one", 100, stock=1)
    parts = part("A 1", last), part("B 2", offer("other", 50), listed=False)
    bushes = [position(code, *parts) for code in ("drive_end_bushing", "commutator_end_bushing")]
    asked = stated("drive_end_bushing", "commutator_end_bushing")
    lines = part_lines(asked, supply(*bushes))
    assert lines == [
        ("Someone A 1 for drive end bushing, from Near", "1.00"),
        ("Someone B 2 for commutator end bushing, from Near", "0.50"),
    ]
    only = [position(code, part("A 1", last)) for code in ("drive_end_bushing", "commutator_end_bushing")]
    assert faults(asked, supply(*only)) == {"positions/1/part_cost": "missing"}


def test_a_pack_that_serves_two_positions_stands_once_and_says_so() -> None:
    # A pair at 4.50, or single ones at 2.40 each.
    pair = part("A 1", offer("pair", 450, pack_size=2), offer("single", 240))
    codes = ("battery_side_contact", "motor_side_contact")
    given = supply(*(position(code, pair, kind="contact") for code in codes))
    label = "Someone A 1 for battery side contact and motor side contact, from Near, packs of 2"
    assert part_lines(stated(*codes), given) == [(label, "4.50")]
    told = assumed(stated(*codes), given)
    assert told["part_cost of battery_side_contact"] == "1 at 4.50 USD: Someone A 1"
    assert (
        told["part_cost of motor_side_contact"] == "in what is bought for battery_side_contact: Someone A 1"
    )


def test_the_next_cheapest_suppliers_are_told_with_the_difference() -> None:
    # 3.00 post free, against 1.00 and 5.00 of shipping.
    near, far = offer("1", 300), offer("2", 100, "far", 500)
    given = supply(position("brush_set", part("A 1", near, far)))
    assert (
        assumed(stated("brush_set"), given)["next cheapest suppliers"] == "6.00 USD from Far: 3.00 USD more"
    )
    assert "next cheapest suppliers" not in assumed(
        stated("brush_set"), supply(position("brush_set", part("A 1", near)))
    )


@pytest.mark.parametrize(
    ("offers", "why"),
    [
        ((), "no offer in USD or another currency"),
        ((offer("1", 900, condition="used"),), "used parts"),
        ((offer("1", 900, currency=find_currency("EUR")),), "no offer in USD that holds on 2026-11-25, only"),
        ((offer("1", 900, stock=1),), "too few pieces in stock"),
    ],
)
def test_why_nothing_can_be_bought_is_said(offers: tuple[OfferTerms, ...], why: str) -> None:
    given = supply(position("brush_set", part("A 1", *offers), quantity=2))
    with pytest.raises(InvalidInput) as refused:
        complete_figures(fill_from_family(stated("brush_set"), given))
    assert why in refused.value.faults[0].expected


def test_what_is_stated_stays_and_brings_no_assumption() -> None:
    asked = stated("brush_set", rate_per_hour=Money(9000, USD), strip_hours=Fraction(0), tax=NO_TAX)
    told = assumed(asked, supply(position("brush_set", part("A 1", offer("1", 900)))))
    assert "labour.rate_per_hour" not in told
    assert "labour.strip_hours" not in told
    assert told["labour.removal_and_refit_hours"] == "0.5"


def test_sound_positions_bring_no_assumption() -> None:
    given = supply(position("brush_set", part("A 1", offer("1", 900))), position("drive_end_bushing"))
    told = assumed(stated("brush_set", sound=("drive_end_bushing",)), given)
    assert not [what for what in told if "drive_end_bushing" in what]


def test_for_each_condition_the_starter_that_comes_cheapest_with_shipping() -> None:
    # Delivered: 110.00 + 15.00 = 125.00 against 120.00; the dearer price comes cheaper.
    starters = (
        OfferedStarter("One", "S 1", (offer("1", 11000, "far", 1500, condition="remanufactured"),)),
        OfferedStarter("Two", "S 2", (offer("2", 12000, condition="remanufactured", deposit=2500),)),
        OfferedStarter("Two", "S 3", (offer("3", 20000),)),
    )
    given = supply(position("brush_set", part("A 1", offer("1", 900))), starters=starters)
    found = fill_from_family(stated("brush_set"), given).replacements
    assert found is not None
    assert [(each.id, each.price.minor, each.core_deposit.minor) for each in found] == [
        ("new_1", 20000, 0),
        ("remanufactured_1", 12000, 2500),
    ]
    assert found[1].label == "Two S 2, remanufactured, from Near"
    assert found[1].refund_chance == 1
    assert "refund_chance of remanufactured_1" in assumed(stated("brush_set"), given)


def test_replacements_stated_as_none_stay_none() -> None:
    given = supply(
        position("brush_set", part("A 1", offer("1", 900))),
        starters=(OfferedStarter("One", "S 1", (offer("1", 11000),)),),
    )
    assert fill_from_family(stated("brush_set", replacements=()), given).replacements == ()


def test_offers_in_another_currency_are_never_taken() -> None:
    euro = find_currency("EUR")
    given = supply(
        position("brush_set", part("A 1", offer("1", 900, currency=euro))),
        starters=(OfferedStarter("One", "S 1", (offer("1", 11000, currency=euro),)),),
    )
    assert faults(stated("brush_set"), given) == {"positions/0/part_cost": "missing"}
    assert assumed(stated("brush_set"), given)["replacements"] == "none on offer in USD"


def test_everything_that_is_wanting_is_named_at_once() -> None:
    given = supply(position("brush_set"), position("plunger", kind=None), shop=None)
    assert faults(stated("brush_set", "plunger", "flywheel"), given) == {
        "positions/2/position": "unknown_position",
        "positions/0/part_cost": "missing",
        "positions/1/part_cost": "missing",
        "labour/rate_per_hour": "missing",
        "consumables": "missing",
        "tax": "missing",
    }
    assert faults(stated(sound=("flywheel",)), given)["positions"] == "no_failed_position"


@pytest.mark.parametrize(
    "priced",
    [
        {},
        {"rate_per_hour": Money(1, USD), "consumables": Money(1, USD)},
        {"consumables": Money(1, USD), "replacements": ()},
    ],
)
def test_stated_taxes_are_not_mixed_with_amounts_that_treat_tax_otherwise(priced) -> None:
    included = attrs.evolve(NO_TAX, included=True)
    given = supply(position("brush_set", part("A 1", offer("1", 900))))
    assert faults(stated("brush_set", tax=included, **priced), given) == {"tax/included": "mixed_taxes"}


def test_taxes_are_free_where_every_amount_is_stated() -> None:
    included = attrs.evolve(NO_TAX, included=True)
    asked = stated(
        "plunger", tax=included, rate_per_hour=Money(1, USD), consumables=Money(1, USD), replacements=()
    )
    bought = attrs.evolve(asked.positions[0], parts=())
    given = supply(position("plunger", kind=None))
    assert not fill_from_family(attrs.evolve(asked, positions=(bought,)), given).wanting


def test_without_terms_of_the_currency_the_prices_are_said_to_be_taken_like_the_stated_amounts() -> None:
    asked = stated("brush_set", tax=NO_TAX, rate_per_hour=Money(1, USD), consumables=Money(1, USD))
    given = supply(position("brush_set", part("A 1", offer("1", 900))), shop=None)
    assert "do not hold the tax" in assumed(asked, given)["prices of offers"]


@pytest.mark.parametrize(
    ("failed", "hinted"),
    [
        (("battery_side_contact",), True),
        (("motor_side_contact",), True),
        (("battery_side_contact", "motor_side_contact"), False),
        (("contact_disc",), False),
    ],
)
def test_one_contact_alone_brings_a_hint(failed: tuple[str, ...], hinted: bool) -> None:
    # Common practice, no source: the two contacts are renewed as a pair.
    codes = ("battery_side_contact", "motor_side_contact", "contact_disc")
    given = supply(*(position(code, part(code, offer(code, 250)), kind="contact") for code in codes))
    assert ("contacts" in assumed(stated(*failed), given)) is hinted


def graded(number: str, price: int, grade: Grade, *, listed: bool = True) -> OfferedPart:
    why = "teeth: 10, but the family has 9" if grade == "does_not_fit" else ""
    return OfferedPart("Someone", number, listed, (offer(number, price),), grade, why)


def test_a_part_that_does_not_fit_is_not_bought_whoever_lists_it_and_that_is_told() -> None:
    given = supply(position("drive_clutch", graded("A 1", 100, "does_not_fit"), graded("B 2", 900, "fits")))
    assert part_lines(stated("drive_clutch"), given) == [("Someone B 2 for drive clutch, from Near", "9.00")]
    told = {each.what: each for each in fill_from_family(stated("drive_clutch"), given).assumed}
    assert told["parts for drive_clutch"].value == "left out: Someone A 1 does not fit"
    assert told["parts for drive_clutch"].origin.endswith("teeth: 10, but the family has 9")
    assert told["part_cost of drive_clutch"].origin.endswith("listed by its maker")


def test_where_no_part_fits_its_cost_is_wanting() -> None:
    given = supply(position("drive_clutch", graded("A 1", 100, "does_not_fit")))
    assert faults(stated("drive_clutch"), given) == {"positions/0/part_cost": "missing"}


@pytest.mark.parametrize(
    ("grade", "said"), [("unknown", "cannot tell whether it fits"), ("fits_with_rework", "with rework")]
)
def test_a_part_of_an_open_grade_is_bought_and_its_origin_says_so(grade: Grade, said: str) -> None:
    given = supply(position("drive_clutch", graded("A 1", 100, grade)))
    told = {each.what: each for each in fill_from_family(stated("drive_clutch"), given).assumed}
    assert said in told["part_cost of drive_clutch"].origin
