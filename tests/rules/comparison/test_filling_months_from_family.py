"""What the catalogue fills of a comparison over months, what it leaves out, and what it tells of both."""

from fractions import Fraction
from typing import Any

import attrs
import pytest
from offers_of_parts import TODAY, USD, offer

from api.comparison.compare_kept import Bought, KeptComparison, compare_kept
from api.comparison.from_catalogue.family_supply import (
    FamilySupply,
    LabourHours,
    OfferedPart,
    OfferedStarter,
    ShopDefaults,
    SuppliedPosition,
    UsualFigure,
    UsualLife,
)
from api.comparison.from_catalogue.months_from_family import fill_months_from_family
from api.comparison.months.over_months import AgeUnknown, KnownAge, LifeInStarts, WearShare
from api.comparison.requests.stated import (
    StatedFigures,
    StatedPosition,
    complete_over_months,
    open_warranties,
)
from api.comparison.requests.stated_months import StatedMonths, StatedWear
from api.comparison.settle_warranty import settle_warranties
from api.comparison.short_lives import StatedLives
from api.errors import InvalidInput
from api.money.amounts import Money
from api.money.tax import TaxRates
from api.offers.offer_terms import OfferTerms, Shipping

HOUR = LabourHours(Fraction(1, 2), "our judgement")
FREE = Shipping(Money(0, USD))
NO_TAX = TaxRates(Fraction(0), Fraction(0), Fraction(0))
SHOP = ShopDefaults(Money(6000, USD), Money(400, USD), NO_TAX, "the shop's own")
LIVES = {
    ("position", "battery_side_contact"): 45000.0,
    ("position", "motor_side_contact"): 45000.0,
    ("position", "contact_disc"): 60000.0,
    ("position", "brush_set"): 55000.0,
    ("position", "drive_end_bushing"): 70000.0,
    ("position", "plunger"): 90000.0,
    ("remainder", "any"): 150000.0,
    ("replacement", "new"): 25000.0,
    ("replacement", "used"): 9000.0,
}
USAGE = {
    "starts_per_month": UsualFigure(Fraction(100), "usage"),
    "discount_rate_per_year": UsualFigure(Fraction(1, 20), "usage"),
    "incident_cost": UsualFigure(Fraction(60), "usage"),
}


def position(code: str, *offers: OfferTerms, kind: str | None = "contact", **more: Any) -> SuppliedPosition:
    parts = (OfferedPart("Someone", f"N {code}", True, offers),) if offers else ()
    return SuppliedPosition(
        **{"code": code, "kind": kind, "quantity": 1, "bench": HOUR, "parts": parts, **more}
    )


def near(code: str, price: int, **terms: Any) -> OfferTerms:
    terms = {"shipping": FREE, "warranty_months": 6, **terms}
    return offer(price, "near", item=code, offer_id=f"near {code}", **terms)


CONTACTS = [
    position(code, near(code, price))
    for code, price in (("battery_side_contact", 240), ("motor_side_contact", 235), ("contact_disc", 255))
]
BRUSHES = position("brush_set", near("brush_set", 1200), kind="brush_set")
STARTER = OfferedStarter("Someone", "S 1", (near("starter", 15000, warranty_months=24),))


def supply(*positions: SuppliedPosition, **more: Any) -> FamilySupply:
    given: dict[str, Any] = {
        "family": "F-1",
        "as_of": TODAY,
        "access": HOUR,
        "strip": HOUR,
        "shop": SHOP,
        "positions": {each.code: each for each in positions},
        "starters": (STARTER,),
        "lives": {key: UsualLife(LifeInStarts(2.0, scale), "lives") for key, scale in LIVES.items()},
        "usage": USAGE,
    }
    return FamilySupply(**{**given, **more})


def months(**more: Any) -> StatedMonths:
    return StatedMonths(**{"keep_months": 36.0, "positions": {}, "replacements": {}, **more})


def stated(*failed: str, sound: tuple[str, ...] = (), **more: Any) -> StatedFigures:
    positions = [StatedPosition(code, code not in sound) for code in (*failed, *sound)]
    return StatedFigures(currency=USD, family="F-1", positions=tuple(positions), **more)


def named(figures: StatedFigures, over: StatedMonths) -> StatedMonths:
    """Return the months with the positions that the request names, as its reader does."""
    told = {each.position: StatedWear() for each in figures.positions} | dict(over.positions)
    return attrs.evolve(over, positions=told)


def kept(figures: StatedFigures, over: StatedMonths, given: FamilySupply) -> KeptComparison:
    over = named(figures, over)
    lives = StatedLives.of(figures, over)
    filled, worn, baskets = fill_months_from_family(figures, over, given)
    complete, complete_months = complete_over_months(filled, worn)
    bought = Bought(baskets, open_warranties(filled, worn))
    return compare_kept(complete, complete_months, lives, bought, histories=200)


def assumed(found: KeptComparison) -> dict[str, str]:
    return {each.what: each.value for each in found.assumptions}


def test_the_other_positions_come_in_as_sound_and_of_unknown_age() -> None:
    found = kept(stated("battery_side_contact"), months(), supply(*CONTACTS, BRUSHES))
    worth = {each.position: each.why for each in found.compared.worth_renewing}
    assert worth == {
        "battery_side_contact": "failed",
        "motor_side_contact": "with_failed",
        "contact_disc": "with_failed",
        "brush_set": "does_not_pay",
    }
    told = assumed(found)
    assert told["position brush_set"] == "not failed, of unknown age"
    assert told["life of brush_set"] == "Weibull of shape 2 and scale 55000 starts"
    assert told["starts_per_month"] == "100"
    assert told["incident_cost"] == "60.00 USD"
    assert told["warranty of new_1"].startswith("24 months")
    assert told["part_cost of contact_disc"] == "1 at 2.55 USD: Someone N contact_disc"
    assert told["later part_cost of brush_set"] == "12.00 USD, bought alone with its shipping"
    assert found.compared.months.remainder is not None
    ages = {each.age for each in found.compared.months.positions.values()}
    assert ages == {AgeUnknown()}


@pytest.mark.parametrize(
    ("left_out", "why"),
    [
        (position("plunger", kind=None), "no kind of wear part covers it"),
        (position("planet_gears", near("planet_gears", 500)), "the catalogue has no life for it"),
        (
            position("drive_end_bushing", near("x", 500), bench=None),
            "the catalogue has no bench hours for it",
        ),
        (position("drive_end_bushing"), "the catalogue has no offer in USD or another currency"),
    ],
)
def test_what_cannot_be_supplied_is_left_out_and_told(left_out: SuppliedPosition, why: str) -> None:
    found = kept(stated("brush_set"), months(), supply(BRUSHES, left_out))
    assert [each.position for each in found.compared.worth_renewing] == ["brush_set"]
    assert assumed(found)[f"position {left_out.code}"].startswith(f"left out: {why}")


def test_a_sound_position_that_is_named_and_cannot_be_supplied_is_left_out_too() -> None:
    asked = stated("brush_set", sound=("plunger",))
    over = months(renew_together=(("brush_set", "plunger"),))
    found = kept(asked, over, supply(BRUSHES, position("plunger", kind=None)))
    assert [each.position for each in found.compared.worth_renewing] == ["brush_set"]
    assert found.compared.months.renew_together == (("brush_set",),)


def test_a_stated_price_brings_in_a_position_that_offers_cannot_supply() -> None:
    price = attrs.evolve(stated("plunger").positions[0], failed=False, parts=())
    asked = stated("brush_set", sound=("plunger",))
    goods = kept(stated("brush_set"), months(), supply(BRUSHES)).compared.figures.bought_for(("brush_set",))
    priced = attrs.evolve(price, parts=(goods.goods[0][1],))
    asked = attrs.evolve(asked, positions=(asked.positions[0], priced))
    found = kept(asked, months(), supply(BRUSHES, position("plunger", kind=None)))
    assert assumed(found)["bench_hours of plunger"] == "0.5"
    assert assumed(found)["age of plunger"] == "unknown"


def test_what_is_stated_of_wear_stands() -> None:
    wear = StatedWear(life=LifeInStarts(3.0, 30000.0), age=KnownAge(500.0), warranty_months=9.0)
    over = months(
        positions={"brush_set": wear},
        starts_per_month=250.0,
        discount_rate_per_year=0.0,
        incident_cost=Money(1, USD),
        remainder=StatedWear(age=WearShare(0.5)),
    )
    found = kept(stated("brush_set"), over, supply(BRUSHES))
    brush_set = found.compared.months.positions["brush_set"]
    assert (brush_set.life, brush_set.age, brush_set.warranty_months) == (wear.life, wear.age, 9.0)
    assert found.compared.months.starts_per_month == 250.0
    assert not {"life of brush_set", "age of remainder", "warranty of brush_set"} & assumed(found).keys()
    assert found.compared.months.remainder is not None
    assert found.compared.months.remainder.age == WearShare(0.5)


def test_without_replacements_the_remainder_is_left_out() -> None:
    found = kept(stated("brush_set"), months(), supply(BRUSHES, starters=()))
    assert found.compared.months.remainder is None
    assert assumed(found)["remainder"] == "left out: no replacement is there to meet its failure"
    no_life = {key: life for key, life in supply().lives.items() if key[0] != "remainder"}
    found = kept(stated("brush_set"), months(), supply(BRUSHES, lives=no_life))
    assert assumed(found)["remainder"] == "left out: the catalogue has no life for it"


def test_what_neither_the_caller_nor_the_catalogue_gives_is_named_at_once() -> None:
    asked = stated("brush_set", sound=("contact_disc",))
    over = months(renew_together=(("brush_set", "brush_sett"),), remainder=StatedWear())
    with pytest.raises(InvalidInput) as refused:
        kept(asked, over, supply(BRUSHES, *CONTACTS, lives={}, usage={}))
    assert {"/".join(map(str, fault.path)): fault.code for fault in refused.value.faults} == {
        "renew_together/0/1": "unknown_position",
        "starts_per_month": "missing",
        "discount_rate_per_year": "missing",
        "incident_cost": "missing",
        "positions/0/life": "missing",
        "positions/1/life": "missing",
        "replacements/0/life": "missing",
        "remainder/life": "missing",
    }


def test_no_more_sets_are_priced_than_64_those_that_last_longest_stay_out() -> None:
    codes = [f"place_{letter}" for letter in "abcdefgh"]
    lives = {
        ("position", code): UsualLife(LifeInStarts(2.0, 50000.0 + place), "lives")
        for place, code in enumerate(codes)
    }
    lives |= supply().lives
    given = supply(BRUSHES, *(position(code, near(code, 300)) for code in codes), lives=lives)
    found = kept(stated("brush_set"), months(), given)
    assert [each.position for each in found.compared.worth_renewing] == ["brush_set", *codes[:6]]
    assert assumed(found)["position place_h"].startswith("left out: more than 64 sets")


def test_more_sound_positions_than_can_be_weighed_are_refused_when_named() -> None:
    codes = tuple(f"place_{letter}" for letter in "abcdefghi")
    lives = {("position", code): UsualLife(LifeInStarts(2.0, 50000.0), "lives") for code in codes}
    lives |= supply().lives
    given = supply(BRUSHES, *(position(code, near(code, 300)) for code in codes), lives=lives)
    with pytest.raises(InvalidInput) as refused:
        kept(stated("brush_set", sound=codes), months(), given)
    assert [(fault.path, fault.code) for fault in refused.value.faults] == [(("positions",), "too_many_sets")]


FAR = Shipping(Money(300, USD))


def far(code: str, price: int) -> OfferTerms:
    return offer(price, "far", item=code, offer_id=f"far {code}", shipping=FAR, warranty_months=24)


def test_the_warranty_is_that_of_the_offer_which_the_basket_takes_in_the_end() -> None:
    """Brushes alone: 5.00 near by, 3.00 + 3.00 from afar; beside bushes from afar 3.00 more, not 5.00."""
    brushes = position("brush_set", near("brush_set", 500), far("brush_set", 300))
    bushes = position("drive_end_bushing", far("drive_end_bushing", 200), kind="bushing")
    alone = kept(stated("brush_set"), months(), supply(brushes))
    assert alone.compared.months.positions["brush_set"].warranty_months == 6.0
    both = kept(stated("brush_set", "drive_end_bushing"), months(), supply(brushes, bushes))
    assert both.compared.months.positions["brush_set"].warranty_months == 24.0
    assert assumed(both)["warranty of brush_set"] == "24 months, labour not covered"
    lines = both.compared.options[0].option.cost_now.lines
    assert [line.gross.minor for line in lines if line.code in ("part", "shipping")] == [300, 200, 300]


def test_warranties_that_do_not_agree_are_taken_at_their_shortest() -> None:
    brushes = position("brush_set", near("brush_set", 500), far("brush_set", 300))
    bushes = position("drive_end_bushing", far("drive_end_bushing", 200), kind="bushing")
    asked = stated("brush_set", "drive_end_bushing")
    over = named(asked, months())
    filled, worn, baskets = fill_months_from_family(asked, over, supply(brushes, bushes))
    complete, complete_months = complete_over_months(filled, worn)
    names = open_warranties(filled, worn)
    settled = settle_warranties(complete, complete_months, baskets, names, most_rounds=1)
    assert settled.positions["brush_set"].warranty_months == 6.0
    assert settled.positions["drive_end_bushing"].warranty_months == 24.0
    assert settle_warranties(complete, complete_months, baskets, ()) is complete_months


def test_all_lives_together_must_be_few_enough_to_draw() -> None:
    """The months hold 180 mean lives of each of 12 pieces: 2,160, and 2,000 are drawn at most."""
    codes = tuple(f"place_{letter}" for letter in "abcdefghijkl")
    wear = StatedWear(life=LifeInStarts(1.0, 20.0), age=KnownAge(1.0))
    goods = kept(stated("brush_set"), months(), supply(BRUSHES)).compared.figures.bought_for(("brush_set",))
    positions = tuple(
        StatedPosition(code, code == codes[0], (goods.goods[0][1],), Fraction(0)) for code in codes
    )
    figures = StatedFigures(currency=USD, family="F-1", positions=positions)
    given = supply(*(position(code) for code in codes))
    over = months(positions=dict.fromkeys(codes, wear))
    with pytest.raises(InvalidInput) as refused:
        kept(figures, over, given)
    assert [(fault.path, fault.code) for fault in refused.value.faults] == [
        (("keep_months",), "too_many_failures")
    ]


def test_the_cheapest_basket_of_other_suppliers_is_told_beside_the_best_set() -> None:
    # By hand: near by 5.00 + 1.00, from afar 2.00 + 0.50 + 3.00 shipping = 5.50; both of both cost more.
    brushes = position("brush_set", near("brush_set", 500), far("brush_set", 200))
    bushes = position(
        "drive_end_bushing",
        near("drive_end_bushing", 100),
        far("drive_end_bushing", 50),
        kind="bushing",
    )
    found = kept(stated("brush_set", "drive_end_bushing"), months(), supply(brushes, bushes))
    assert assumed(found)["next cheapest suppliers"] == "6.00 USD from Supplier near: 0.50 USD more"
