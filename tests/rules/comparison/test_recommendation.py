"""Which option is recommended, and the reasons with their figures."""

from fractions import Fraction

from api.comparison.costs_now.compare import Comparison, compare_now
from api.comparison.costs_now.figures import (
    Assumption,
    ComparisonFigures,
    Goods,
    Labour,
    PositionFigures,
    Replacement,
)
from api.comparison.costs_now.recommend import LIMIT_OF_THE_ADVICE
from api.money.amounts import Money
from api.money.currencies import find_currency
from api.money.tax import TaxRates

USD = find_currency("USD")


def starter(name: str, price: int, deposit: int = 0, chance: str = "1") -> Replacement:
    return Replacement(
        id=name,
        condition="remanufactured",
        price=Money(price, USD),
        core_deposit=Money(deposit, USD),
        refund_chance=Fraction(chance),
    )


def compare(part: int, *replacements: Replacement, assumed: tuple[Assumption, ...] = ()) -> Comparison:
    """Compare without labour or tax: a repair costs its part, a replacement its price and lost deposit."""
    parts = (Goods("Pair of contacts", 1, "piece", Money(part, USD)),)
    return compare_now(
        ComparisonFigures(
            currency=USD,
            labour=Labour(Money(0, USD), Fraction(0), Fraction(0)),
            consumables=Money(0, USD),
            tax=TaxRates(Fraction(0), Fraction(0), Fraction(0)),
            positions=(PositionFigures("battery_side_contact", True, parts, Fraction(0)),),
            replacements=replacements,
            assumed=assumed,
        )
    )


def test_a_pair_of_contacts_beats_a_replacement() -> None:
    # Common practice, no source: some five units for both contacts, a hundred and more for a starter.
    compared = compare(500, starter("rm", 14500))
    assert compared.recommended == "repair"
    assert compared.reasons[0] == (
        "Repairing (renewing battery side contact) costs 5.00 USD now; the cheapest replacement, "
        "remanufactured (rm), costs 145.00 USD. Repairing is 140.00 USD cheaper."
    )
    assert compared.reasons[-1] == LIMIT_OF_THE_ADVICE
    assert [option.id for option in compared.options] == ["repair", "rm"]


def test_the_cheapest_replacement_wins_where_repair_costs_more() -> None:
    compared = compare(20000, starter("dear", 18000), starter("cheap", 15000))
    assert compared.recommended == "cheap"
    assert "Replacing is 50.00 USD cheaper." in compared.reasons[0]


def test_ties_go_to_the_repair_then_to_the_first_replacement() -> None:
    compared = compare(15000, starter("rm", 15000))
    assert compared.recommended == "repair"
    assert "Both cost the same" in compared.reasons[0]
    assert compare(20000, starter("a", 15000), starter("b", 15000)).recommended == "a"


def test_a_deposit_that_must_be_paid_first_is_told() -> None:
    # 150.00 + 40.00 x 0.25 = 160.00 now; 190.00 at the counter, 30.00 expected back; repair 170.00.
    compared = compare(17000, starter("rm", 15000, 4000, "0.75"))
    assert compared.recommended == "rm"
    assert compared.reasons[1] == (
        "At the counter remanufactured (rm) takes 190.00 USD with its core deposit of 40.00 USD, "
        "of which 30.00 USD is expected back for the old unit."
    )
    assert compared.reasons[2].startswith("Until the deposit comes back")
    assert len(compare(25000, starter("rm", 15000, 4000)).reasons) == 3
    assert "tax on core deposits" in {each.what for each in compared.assumptions}


def test_without_replacements_only_the_repair_is_told() -> None:
    compared = compare(500)
    assert compared.recommended == "repair"
    assert "no replacement was given" in compared.reasons[0]


def test_what_was_assumed_by_the_caller_comes_first() -> None:
    given = Assumption("labour.rate_per_hour", "60.00 USD", "the catalogue")
    compared = compare(500, assumed=(given,))
    assert compared.assumptions[0] == given
    assert {each.what for each in compared.assumptions[1:]} == {"later costs", "rounding"}
