"""Give a comparison over months its wire shape."""

import re
from fractions import Fraction

import msgspec

from api.comparison.answers.answer_shapes import (
    BreakEvenAnswer,
    ComparisonAnswer,
    OptionAnswer,
    SpreadAnswer,
    SwingAnswer,
    WorthRenewingAnswer,
)
from api.comparison.answers.present import assumption_answers, money_answer, option_answer
from api.comparison.compare_kept import KeptComparison
from api.comparison.histories.simulation import SimulatedOption
from api.comparison.months.break_evens import BreakEven
from api.comparison.months.compare_months import OptionOverMonths, WorthRenewing
from api.comparison.months.sensitivity import Swing
from api.money.amounts import Money, round_half_away
from api.money.currencies import Currency
from api.wire.shapes import MoneyAnswer

MONTHS_DECIMALS = 2
"""Break-even months are told to a hundredth: their interpolation is no better (our judgement)."""

_PLACE = re.compile(r"(positions|replacements)\[(\d+)\]")


def comparison_over_months_answer(kept: KeptComparison) -> ComparisonAnswer:
    """Return the answer of `POST /v1/comparisons` over the months that the starter is kept."""
    compared = kept.compared
    currency = compared.currency
    simulated = {each.id: each for each in kept.simulated.options}
    names = {
        "positions": [each.position for each in compared.worth_renewing],
        "replacements": [each.option.id for each in compared.options[1:]],
    }
    return ComparisonAnswer(
        currency=currency.code,
        tax_included=compared.figures.tax.included,
        keep_months=compared.months.keep_months,
        options=[_option(each, simulated[each.option.id], currency) for each in compared.options],
        recommended=compared.recommended.option.id,
        reasons=list(kept.reasons),
        worth_renewing=[_worth(each) for each in compared.worth_renewing],
        break_even={name: _break_even(each, currency) for name, each in compared.break_even.items()},
        sensitivity=[_swing(each, names, currency) for each in compared.sensitivity],
        assumptions=assumption_answers(kept.assumptions),
    )


def _rounded(minor: float, currency: Currency) -> MoneyAnswer:
    return money_answer(Money(round_half_away(Fraction(minor)), currency))


def _option(each: OptionOverMonths, drawn: SimulatedOption, currency: Currency) -> OptionAnswer:
    return msgspec.structs.replace(
        option_answer(each.option),
        expected_later=money_answer(each.expected_later),
        expected_total=money_answer(each.expected_total),
        spread=SpreadAnswer(
            p10=_rounded(drawn.p10, currency),
            p50=_rounded(drawn.p50, currency),
            p90=_rounded(drawn.p90, currency),
            standard_error=_rounded(drawn.standard_error, currency),
        ),
        probability_cheapest=drawn.probability_cheapest,
        repair_cheaper_probability=drawn.repair_cheaper_probability,
    )


def _worth(each: WorthRenewing) -> WorthRenewingAnswer:
    return WorthRenewingAnswer(
        position=each.position,
        renewed=each.renewed,
        why=each.why,
        costs_now=money_answer(each.costs_now),
        saves_later=None if each.saves_later is None else money_answer(each.saves_later),
        together_with=list(each.together_with),
    )


def _break_even(each: BreakEven, currency: Currency) -> BreakEvenAnswer:
    crossings = each.keep_months
    return BreakEvenAnswer(
        keep_months=[round(crossing.months, MONTHS_DECIMALS) for crossing in crossings] or None,
        repair_cheaper_before_first=crossings[0].repair_cheaper_before if crossings else None,
        labour_rate=None if each.labour_rate is None else _rounded(each.labour_rate, currency),
        replacement_price=None
        if each.replacement_price is None
        else _rounded(each.replacement_price, currency),
        reasons=dict(each.none_because),
    )


def _swing(each: Swing, names: dict[str, list[str]], currency: Currency) -> SwingAnswer:
    place = _PLACE.match(each.name)
    of = names[place[1]][int(place[2])] if place else None
    value, low, high = (
        _rounded(number, currency) if each.amount else number for number in (each.value, each.low, each.high)
    )
    return SwingAnswer(
        input=each.name,
        of=of,
        value=value,
        low=low,
        high=high,
        low_effect=_rounded(each.low_effect, currency),
        high_effect=_rounded(each.high_effect, currency),
        note=each.note,
    )
