"""Properties of amounts and tax that hold for every currency."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from api.money.amounts import Money, format_amount, parse_amount, round_half_away, sum_amounts
from api.money.currencies import CURRENCY_CODES, find_currency
from api.money.fractions import exact
from api.money.tax import tax_amounts

currencies = st.sampled_from(CURRENCY_CODES).map(find_currency)
minors = st.integers(0, 10**8)
rates = st.integers(0, 10**4).map(lambda parts: Fraction(parts, 10**4))


@given(st.integers(-(10**15), 10**15), currencies)
def test_amounts_survive_their_text(minor, currency) -> None:
    money = Money(minor, currency)
    if abs(minor) < 10 ** (12 + currency.minor_digits):
        assert parse_amount(format_amount(money), currency, below_zero=True) == money


@given(st.fractions())
def test_rounding_moves_by_half_at_most_and_is_symmetric(value) -> None:
    assert abs(round_half_away(value) - value) <= Fraction(1, 2)
    assert round_half_away(-value) == -round_half_away(value)


@given(st.lists(minors, min_size=1, max_size=12), currencies, rates, st.booleans())
def test_lines_add_up_to_the_tax_on_the_whole(amounts, currency, rate, included) -> None:
    stated = [Money(minor, currency) for minor in amounts]
    taxed = tax_amounts(stated, rate, included=included)
    whole = tax_amounts([sum_amounts(stated, currency)], rate, included=included)[0]
    assert sum_amounts((line.tax for line in taxed), currency) == whole.tax
    assert sum_amounts((line.gross for line in taxed), currency) == whole.gross
    for line in taxed:
        assert line.net + line.tax == line.gross
        assert line.tax.minor >= 0


@given(st.lists(minors, min_size=1, max_size=12), currencies, rates)
def test_each_share_is_within_one_minor_unit_of_its_own_tax(amounts, currency, rate) -> None:
    taxed = tax_amounts([Money(minor, currency) for minor in amounts], rate, included=False)
    for line in taxed:
        assert abs(line.tax.minor - line.net.minor * rate) <= 1


@given(st.lists(minors, min_size=1, max_size=12), currencies, rates)
def test_the_tax_in_a_gross_amount_is_the_tax_that_was_added(amounts, currency, rate) -> None:
    added = tax_amounts([Money(minor, currency) for minor in amounts], rate, included=False)
    assert tax_amounts([line.gross for line in added], rate, included=True) == added


@given(st.floats(0, 100))
def test_json_numbers_are_exact_and_come_back(number) -> None:
    assert float(exact(number)) == number
