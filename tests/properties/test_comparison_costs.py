"""Properties of the costs now, in every currency."""

from fractions import Fraction

import attrs
from hypothesis import given
from hypothesis import strategies as st

from api.comparison.costs_now.compare import compare_now
from api.comparison.costs_now.cost_now import cost_of_repair
from api.comparison.costs_now.figures import ComparisonFigures, Goods, Labour, PositionFigures, Replacement
from api.money.amounts import Money, sum_amounts
from api.money.currencies import CURRENCY_CODES, find_currency
from api.money.fractions import exact
from api.money.tax import TaxRates

rates = st.integers(0, 10_000).map(lambda parts: Fraction(parts, 10_000))
hours = st.floats(0, 100).map(exact)
minors = st.integers(0, 10**7)


@st.composite
def comparisons(draw) -> ComparisonFigures:
    currency = find_currency(draw(st.sampled_from(CURRENCY_CODES)))
    money = minors.map(lambda minor: Money(minor, currency))
    failures = draw(st.lists(st.booleans(), min_size=1, max_size=6).filter(any))
    positions = tuple(
        PositionFigures(
            f"position_{place}",
            failed,
            (Goods("part", draw(st.integers(1, 5)), "pack", draw(money)),),
            draw(hours),
        )
        for place, failed in enumerate(failures)
    )
    replacements = tuple(
        Replacement(
            id=f"r{place}",
            condition=draw(st.sampled_from(["new", "remanufactured", "used"])),
            price=draw(money),
            core_deposit=draw(money),
            refund_chance=draw(rates),
        )
        for place in range(draw(st.integers(0, 3)))
    )
    shipping = tuple(Goods("shipping", 1, "order", draw(money)) for _ in range(draw(st.integers(0, 2))))
    return ComparisonFigures(
        currency=currency,
        labour=Labour(draw(money), draw(hours), draw(hours)),
        consumables=draw(money),
        tax=TaxRates(draw(rates), draw(rates), draw(rates), draw(st.booleans())),
        positions=positions,
        replacements=replacements,
        shipping=shipping,
    )


@given(comparisons())
def test_totals_equal_their_lines_to_the_minor_unit(figures) -> None:
    for option in compare_now(figures).options:
        cost = option.cost_now
        for total, column in ((cost.net, "net"), (cost.tax, "tax"), (cost.total, "gross")):
            assert total == sum_amounts((getattr(line, column) for line in cost.lines), figures.currency)
        assert cost.net + cost.tax == cost.total
        if option.core_deposit is not None:
            deposit = option.core_deposit
            assert deposit.paid == deposit.expected_refund + deposit.not_refunded
            assert deposit.expected_refund.minor >= 0
            assert option.pay_at_counter == cost.total + deposit.expected_refund


@given(comparisons())
def test_the_repair_equals_the_stated_formula(figures) -> None:
    """Recompute the total from its definition, with the sums rounded once each."""
    failed = [each for each in figures.positions if each.failed]
    goods = sum(part.unit_price.minor * part.quantity for each in failed for part in each.parts)
    goods += figures.consumables.minor + sum(each.unit_price.minor for each in figures.shipping)
    labour = figures.labour
    time = sum(each.bench_hours for each in failed) + labour.strip_hours + labour.removal_and_refit_hours
    work = figures.labour.rate_per_hour.minor * time
    total = cost_of_repair(figures).cost_now.total.minor
    if figures.tax.included:
        assert abs(total - (goods + work)) <= Fraction(1, 2)
    else:
        expected = goods * (1 + figures.tax.parts) + work * (1 + figures.tax.labour)
        # Half a unit each for labour, its tax (on labour already rounded: at most as much again), parts tax.
        assert abs(total - expected) <= 2


@given(comparisons(), st.data())
def test_one_more_failed_position_never_lowers_the_repair(figures, data) -> None:
    place = data.draw(st.integers(0, len(figures.positions) - 1))
    more = list(figures.positions)
    more[place] = attrs.evolve(more[place], failed=True)
    worse = attrs.evolve(figures, positions=tuple(more))
    assert cost_of_repair(figures).cost_now.total <= cost_of_repair(worse).cost_now.total


@given(comparisons())
def test_the_recommended_option_costs_least(figures) -> None:
    compared = compare_now(figures)
    totals = {option.id: option.cost_now.total.minor for option in compared.options}
    assert totals[compared.recommended] == min(totals.values())
    if totals["repair"] == min(totals.values()):
        assert compared.recommended == "repair"


@given(comparisons())
def test_prices_with_the_added_tax_inside_give_the_same_total(figures) -> None:
    """State the goods with their tax: the parts' net, tax and gross come out the same as when added."""
    added = attrs.evolve(
        figures,
        tax=attrs.evolve(figures.tax, included=False),
        labour=attrs.evolve(figures.labour, rate_per_hour=Money(0, figures.currency)),
        consumables=Money(0, figures.currency),
        shipping=(),
    )
    first = cost_of_repair(added).cost_now
    gross = iter(line.gross for line in first.lines if line.code == "part")
    restated = tuple(
        attrs.evolve(each, parts=(Goods("part", 1, "pack", next(gross)),)) if each.failed else each
        for each in added.positions
    )
    included = attrs.evolve(added, positions=restated, tax=attrs.evolve(added.tax, included=True))
    second = cost_of_repair(included).cost_now
    assert (second.net, second.tax, second.total) == (first.net, first.tax, first.total)
