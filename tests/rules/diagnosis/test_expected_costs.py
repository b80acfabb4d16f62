"""What repair and replacement are expected to cost while it is not sure which fault it is; by hand."""

from api.diagnosis.expected_cost import PricedFault, PricedOption, expect_costs
from api.money.amounts import Money
from api.money.currencies import find_currency

USD = find_currency("USD")


def priced(fault: str, probability: float, **totals: int) -> PricedFault:
    return PricedFault(
        fault,
        probability,
        tuple(PricedOption(name, name, Money(minor, USD)) for name, minor in totals.items()),
    )


def test_totals_are_averaged_by_probability_over_the_priced_faults() -> None:
    """(0.5 x 10.00 + 0.25 x 40.00) / 0.75 = 20.00; the replacement costs the same whatever it is."""
    faults = [
        priced("contacts_worn", 0.5, repair=1000, new=15000),
        priced("brushes_worn", 0.25, repair=4000, new=15000),
    ]
    assert [(one.id, one.total.minor) for one in expect_costs(faults)] == [("repair", 2000), ("new", 15000)]


def test_an_option_that_not_every_fault_has_is_left_out() -> None:
    faults = [priced("contacts_worn", 0.5, repair=1000, used=5000), priced("brushes_worn", 0.5, repair=2000)]
    assert [one.id for one in expect_costs(faults)] == ["repair"]


def test_nothing_priced_is_nothing_expected() -> None:
    assert expect_costs([]) == ()
