"""Give a comparison of costs now its wire shape."""

from collections.abc import Iterable

from api.comparison.answers.answer_shapes import (
    AssumptionAnswer,
    ComparisonAnswer,
    CoreDepositAnswer,
    CostLineAnswer,
    CostNowAnswer,
    OptionAnswer,
)
from api.comparison.costs_now.compare import Comparison
from api.comparison.costs_now.cost_now import CoreDeposit, CostLine, Option
from api.comparison.costs_now.figures import Assumption
from api.money.amounts import Money, format_amount
from api.wire.shapes import MoneyAnswer


def comparison_answer(comparison: Comparison) -> ComparisonAnswer:
    """Return the answer of `POST /v1/comparisons`."""
    return ComparisonAnswer(
        currency=comparison.currency.code,
        tax_included=comparison.tax_included,
        keep_months=None,
        options=[option_answer(option) for option in comparison.options],
        recommended=comparison.recommended,
        reasons=list(comparison.reasons),
        worth_renewing=[],
        break_even={},
        sensitivity=[],
        assumptions=assumption_answers(comparison.assumptions),
    )


def assumption_answers(assumed: Iterable[Assumption]) -> list[AssumptionAnswer]:
    """Return assumptions in their wire shape."""
    return [AssumptionAnswer(what=each.what, value=each.value, origin=each.origin) for each in assumed]


def money_answer(money: Money) -> MoneyAnswer:
    """Return an amount in its wire shape."""
    return MoneyAnswer(amount=format_amount(money), currency=money.currency.code)


def option_answer(option: Option) -> OptionAnswer:
    """Return an option with its costs now, nothing said of later ones."""
    cost = option.cost_now
    return OptionAnswer(
        id=option.id,
        option=option.option,
        renewed=list(option.renewed),
        cost_now=CostNowAnswer(
            lines=[_line(line) for line in cost.lines],
            net=money_answer(cost.net),
            tax=money_answer(cost.tax),
            total=money_answer(cost.total),
        ),
        core_deposit=None if option.core_deposit is None else _deposit(option.core_deposit),
        pay_at_counter=money_answer(option.pay_at_counter),
        expected_later=None,
        expected_total=None,
        spread=None,
        probability_cheapest=None,
        repair_cheaper_probability=None,
    )


def _line(line: CostLine) -> CostLineAnswer:
    return CostLineAnswer(
        code=line.code,
        label=line.label,
        position=line.position,
        quantity=float(line.quantity),
        unit=line.unit,
        unit_price=money_answer(line.unit_price),
        net=money_answer(line.net),
        tax=money_answer(line.tax),
        gross=money_answer(line.gross),
    )


def _deposit(deposit: CoreDeposit) -> CoreDepositAnswer:
    return CoreDepositAnswer(
        paid=money_answer(deposit.paid),
        expected_refund=money_answer(deposit.expected_refund),
        not_refunded=money_answer(deposit.not_refunded),
        refund_chance=float(deposit.refund_chance),
    )
