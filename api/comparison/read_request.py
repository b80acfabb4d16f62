"""Turn the request of a comparison into stated figures: every fault named, every default listed."""

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import TypeVar

from api.comparison.cost_now import REPAIR
from api.comparison.figures import Assumption, Goods, Replacement
from api.comparison.shapes import (
    ComparisonByFamily,
    ComparisonByFigures,
    PositionOfFamilyRequest,
    PositionRequest,
    ReplacementRequest,
    TaxRequest,
)
from api.comparison.stated import StatedFigures, StatedPosition
from api.errors import FieldFault, InvalidInput
from api.money.amounts import AmountRefused, Money, parse_amount
from api.money.currencies import Currency, UnknownCurrency, find_currency
from api.money.fractions import exact, number_text, parse_fraction
from api.money.tax import TaxRates

NOT_STATED = "not stated in the request; its default"
"""Origin of a default of the request."""

Value = TypeVar("Value")


def read_comparison(request: ComparisonByFigures | ComparisonByFamily) -> StatedFigures:
    """Return what a request states.

    Raises `InvalidInput` naming an unknown currency, every amount with more decimals than the currency
    has, every position and replacement id given twice, and an id kept for the repair.
    """
    reader = _Reader(request.currency)
    labour = request.labour
    hours = _optional(exact)
    stated = StatedFigures(
        currency=reader.currency,
        family=request.family if isinstance(request, ComparisonByFamily) else None,
        rate_per_hour=reader.amount(labour.rate_per_hour, "labour", "rate_per_hour") if labour else None,
        removal_and_refit_hours=hours(labour.removal_and_refit_hours) if labour else None,
        strip_hours=hours(labour.strip_hours) if labour else None,
        consumables=reader.amount(request.consumables, "consumables"),
        tax=_rates(request.tax) if request.tax else None,
        positions=reader.positions(request.positions),
        replacements=None if request.replacements is None else reader.replacements(request.replacements),
        assumed=_defaults(request),
    )
    if reader.faults:
        raise InvalidInput.of(reader.faults)
    return stated


class _Reader:
    """Reads amounts and names, keeping every fault."""

    def __init__(self, currency: str) -> None:
        self.faults: list[FieldFault] = []
        self.currency = Currency(currency, 4)  # stands in, so that the rest is still read
        try:
            self.currency = find_currency(currency)
        except UnknownCurrency as unknown:
            self.faults.append(unknown.fault("currency"))

    def amount(self, text: str | None, *path: str | int) -> Money | None:
        if text is None:
            return None
        try:
            return parse_amount(text, self.currency)
        except AmountRefused as refused:
            self.faults.append(refused.fault(*path))
            return None

    def positions(
        self, requests: Sequence[PositionRequest | PositionOfFamilyRequest]
    ) -> tuple[StatedPosition, ...]:
        read: list[StatedPosition] = []
        for place, each in enumerate(requests):
            if any(each.position == other.position for other in read):
                self._repeated(each.position, "positions", place, "position")
            price = self.amount(each.part_cost, "positions", place, "part_cost")
            label = f"Part: {each.position.replace('_', ' ').strip() or each.position}"
            parts = None if price is None else (Goods(label, 1, "piece", price),)
            read.append(StatedPosition(each.position, each.failed, parts, _optional(exact)(each.bench_hours)))
        return tuple(read)

    def replacements(self, requests: Sequence[ReplacementRequest]) -> tuple[Replacement, ...]:
        given: set[str] = {REPAIR}
        for place, each in enumerate(requests):
            if each.id in given:
                self._repeated(each.id, "replacements", place, "id")
            given.update([each.id] if each.id else [])
        read = []
        nothing = Money.zero(self.currency)
        for place, each in enumerate(requests):
            name = each.id or _free_name(each.condition, place + 1, given)
            given.add(name)
            price = self.amount(each.price, "replacements", place, "price") or nothing
            deposit = self.amount(each.core_deposit, "replacements", place, "core_deposit") or nothing
            read.append(
                Replacement(
                    id=name,
                    condition=each.condition,
                    price=price,
                    core_deposit=deposit,
                    refund_chance=exact(each.refund_chance),
                )
            )
        return tuple(read)

    def _repeated(self, value: str | None, *path: str | int) -> None:
        expected = f"a name used once; {REPAIR!r} is kept for the repair"
        self.faults.append(FieldFault(path, value or "", expected, "repeated"))


def _optional(read: Callable[[float], Value]) -> Callable[[float | None], Value | None]:
    return lambda number: None if number is None else read(number)


def _free_name(condition: str, first: int, taken: set[str]) -> str:
    number = first
    while f"{condition}_{number}" in taken:
        number += 1
    return f"{condition}_{number}"


def _rates(request: TaxRequest) -> TaxRates:
    return TaxRates(
        parse_fraction(request.parts),
        parse_fraction(request.labour),
        parse_fraction(request.deposit),
        request.included,
    )


def _defaults(request: ComparisonByFigures | ComparisonByFamily) -> tuple[Assumption, ...]:
    """List the defaults that stood in; what a family's catalogue entry supplies is listed by its reader."""
    listed = []
    if isinstance(request, ComparisonByFigures) and "strip_hours" not in request.labour.model_fields_set:
        listed.append(Assumption("labour.strip_hours", "0", NOT_STATED))
    if request.tax is not None and "included" not in request.tax.model_fields_set:
        listed.append(Assumption("tax.included", "false", NOT_STATED))
    for place, each in enumerate(request.replacements or ()):
        if "core_deposit" not in each.model_fields_set:
            listed.append(Assumption(f"replacements[{place}].core_deposit", "0", NOT_STATED))
        if "refund_chance" not in each.model_fields_set:
            chance = number_text(Fraction(1))
            listed.append(Assumption(f"replacements[{place}].refund_chance", chance, NOT_STATED))
    return tuple(listed)
