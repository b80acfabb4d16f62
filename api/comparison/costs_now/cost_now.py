"""What repairing and what each replacement costs now, line by line, equal to the minor unit. Pure.

Repair, renewing the failed positions and whichever others are chosen: their parts (with shipping) +
consumables + (bench hours + strip hours + removal-and-refit hours) x rate. Replacement: price (with
shipping) + consumables + removal-and-refit hours x rate + the part of the core deposit that is not
expected back.
Tax falls at the parts rate on goods, at the labour rate on labour, at the deposit rate on what of the
deposit is not refunded.

Parts are exact; labour is one line, its hours added before it is rounded; each tax rate is rounded once
on its sum (`api.money.tax`). So the total equals its lines, and the formula above as well.
"""

from collections.abc import Collection
from fractions import Fraction
from typing import Literal

import attrs

from api.comparison.costs_now.figures import ComparisonFigures, Condition, Goods, Replacement
from api.money.amounts import Money, sum_amounts
from api.money.currencies import Currency
from api.money.fractions import number_text
from api.money.tax import Taxed, TaxRates, tax_amounts

REPAIR = "repair"
"""The id of the repair among the options."""

LineCode = Literal["part", "replacement", "shipping", "consumables", "labour", "core_deposit_not_refunded"]
OptionKind = Literal["repair", "new", "remanufactured", "used"]


@attrs.frozen(kw_only=True)
class CostLine:
    """One line of a cost: what it is, how much of it, without tax, its tax, with tax.

    `position` names the position a part is for. `unit_price` is as stated: with its tax where tax is
    included. `net + tax == gross`.
    """

    code: LineCode
    label: str
    position: str | None = None
    quantity: Fraction
    unit: Literal["piece", "pack", "order", "job", "hour"]
    unit_price: Money
    net: Money
    tax: Money
    gross: Money


@attrs.frozen
class CostNow:
    """A cost now: its lines, and their sums without tax, of tax and with tax (`net + tax == total`)."""

    lines: tuple[CostLine, ...]
    net: Money
    tax: Money
    total: Money


@attrs.frozen
class CoreDeposit:
    """A core deposit apart from the cost, with its tax: `paid == expected_refund + not_refunded`.

    Paid at the counter and expected back when the old unit is returned; only what is not expected back
    (the deposit x (1 - refund chance)) counts in the cost.
    """

    paid: Money
    expected_refund: Money
    not_refunded: Money
    refund_chance: Fraction


@attrs.frozen
class Option:
    """One thing to do: repair or a replacement, its cost now, and what to bring to the counter."""

    id: str
    option: OptionKind
    renewed: tuple[str, ...]
    cost_now: CostNow
    core_deposit: CoreDeposit | None
    pay_at_counter: Money


@attrs.frozen
class _Entry:
    code: LineCode
    label: str
    quantity: Fraction
    unit: Literal["piece", "pack", "order", "job", "hour"]
    unit_price: Money
    stated: Money
    position: str | None = None


def cost_of_repair(figures: ComparisonFigures, also: Collection[str] = ()) -> Option:
    """Return the repair that renews every failed position, and `also` other ones.

    Raises `NoFailedPosition`.
    """
    must = figures.failed
    renewed = tuple(each for each in figures.positions if each in must or each.position in also)
    names = tuple(each.position for each in renewed)
    basket = figures.bought_for(names)
    entries = [_bought("part", goods, each.position) for each in renewed for goods in each.parts]
    entries += [_bought("part", goods, position) for position, goods in basket.goods]
    entries += [_bought("shipping", goods) for goods in (*figures.shipping, *basket.shipping)]
    entries += _consumables(figures.consumables)
    bench = sum((each.bench_hours for each in renewed), start=Fraction(0))
    labour = figures.labour
    entries += _labour(
        labour.rate_per_hour,
        {
            "removal and refit": labour.removal_and_refit_hours,
            "strip": labour.strip_hours,
            "bench": bench,
        },
    )
    cost = _cost(entries, figures.tax, figures.currency)
    return Option(REPAIR, "repair", names, cost, None, cost.total)


def cost_of_replacement(replacement: Replacement, figures: ComparisonFigures) -> Option:
    """Return the fitting of a replacement, its core deposit apart."""
    condition: Condition = replacement.condition
    label = replacement.label or f"Replacement starter, {condition}"
    entries = [_bought("replacement", Goods(label, 1, "piece", replacement.price))]
    if replacement.shipping is not None:
        entries.append(_bought("shipping", replacement.shipping))
    entries += _consumables(figures.consumables)
    labour = figures.labour
    entries += _labour(labour.rate_per_hour, {"removal and refit": labour.removal_and_refit_hours})
    kept_share = 1 - replacement.refund_chance
    kept = replacement.core_deposit.times(kept_share)
    has_deposit = replacement.core_deposit.minor > 0
    if has_deposit:
        chance = number_text(replacement.refund_chance)
        text = f"Core deposit not expected back (chance of refund {chance})"
        entries.append(_Entry("core_deposit_not_refunded", text, Fraction(1), "job", kept, kept))
    cost = _cost(entries, figures.tax, figures.currency)
    deposit = None
    pay_at_counter = cost.total
    if has_deposit:
        rates = figures.tax
        paid = tax_amounts([replacement.core_deposit], rates.deposit, included=rates.included)[0].gross
        lost = cost.lines[-1].gross
        deposit = CoreDeposit(paid, paid - lost, lost, replacement.refund_chance)
        pay_at_counter = cost.total + deposit.expected_refund
    return Option(replacement.id, condition, (), cost, deposit, pay_at_counter)


def _bought(code: LineCode, goods: Goods, position: str | None = None) -> _Entry:
    price = goods.unit_price
    return _Entry(
        code, goods.label, Fraction(goods.quantity), goods.unit, price, price * goods.quantity, position
    )


def _consumables(amount: Money) -> list[_Entry]:
    if amount.minor == 0:
        return []
    return [_Entry("consumables", "Consumables", Fraction(1), "job", amount, amount)]


def _labour(rate: Money, hours_by_step: dict[str, Fraction]) -> list[_Entry]:
    steps = {step: hours for step, hours in hours_by_step.items() if hours}
    hours = sum(steps.values(), start=Fraction(0))
    if not hours:
        return []
    listed = ", ".join(f"{step} {number_text(part)} h" for step, part in steps.items())
    return [_Entry("labour", f"Labour: {listed}", hours, "hour", rate, rate.times(hours))]


def _cost(entries: list[_Entry], rates: TaxRates, currency: Currency) -> CostNow:
    taxed: dict[int, Taxed] = {}
    for rate, codes in (
        (rates.parts, ("part", "replacement", "shipping", "consumables")),
        (rates.labour, ("labour",)),
        (rates.deposit, ("core_deposit_not_refunded",)),
    ):
        places = [place for place, entry in enumerate(entries) if entry.code in codes]
        amounts = [entries[place].stated for place in places]
        taxed.update(zip(places, tax_amounts(amounts, rate, included=rates.included), strict=True))
    lines = tuple(
        CostLine(
            code=entry.code,
            label=entry.label,
            position=entry.position,
            quantity=entry.quantity,
            unit=entry.unit,
            unit_price=entry.unit_price,
            net=taxed[place].net,
            tax=taxed[place].tax,
            gross=taxed[place].gross,
        )
        for place, entry in enumerate(entries)
    )
    return CostNow(
        lines,
        sum_amounts((line.net for line in lines), currency),
        sum_amounts((line.tax for line in lines), currency),
        sum_amounts((line.gross for line in lines), currency),
    )
