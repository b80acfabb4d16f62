"""Give a comparison its wire shape."""

from api.comparison.compare import Comparison
from api.comparison.cost_now import CoreDeposit, CostLine, Option
from api.comparison.shapes import (
    AssumptionAnswer,
    ComparisonAnswer,
    CoreDepositAnswer,
    CostLineAnswer,
    CostNowAnswer,
    OptionAnswer,
)
from api.money.amounts import Money, format_amount
from api.wire.shapes import MoneyAnswer


def comparison_answer(comparison: Comparison) -> ComparisonAnswer:
    """Return the answer of `POST /v1/comparisons`."""
    return ComparisonAnswer(
        currency=comparison.currency.code,
        tax_included=comparison.tax_included,
        options=[_option(option) for option in comparison.options],
        recommended=comparison.recommended,
        reasons=list(comparison.reasons),
        assumptions=[
            AssumptionAnswer(what=each.what, value=each.value, origin=each.origin)
            for each in comparison.assumptions
        ],
    )


def _money(money: Money) -> MoneyAnswer:
    return MoneyAnswer(amount=format_amount(money), currency=money.currency.code)


def _option(option: Option) -> OptionAnswer:
    cost = option.cost_now
    return OptionAnswer(
        id=option.id,
        option=option.option,
        renewed=list(option.renewed),
        cost_now=CostNowAnswer(
            lines=[_line(line) for line in cost.lines],
            net=_money(cost.net),
            tax=_money(cost.tax),
            total=_money(cost.total),
        ),
        core_deposit=None if option.core_deposit is None else _deposit(option.core_deposit),
        pay_at_counter=_money(option.pay_at_counter),
    )


def _line(line: CostLine) -> CostLineAnswer:
    return CostLineAnswer(
        code=line.code,
        label=line.label,
        position=line.position,
        quantity=float(line.quantity),
        unit=line.unit,
        unit_price=_money(line.unit_price),
        net=_money(line.net),
        tax=_money(line.tax),
        gross=_money(line.gross),
    )


def _deposit(deposit: CoreDeposit) -> CoreDepositAnswer:
    return CoreDepositAnswer(
        paid=_money(deposit.paid),
        expected_refund=_money(deposit.expected_refund),
        not_refunded=_money(deposit.not_refunded),
        refund_chance=float(deposit.refund_chance),
    )
