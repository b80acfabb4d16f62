"""Turn the request of a comparison into stated figures, every default listed."""

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import partial
from typing import TypeVar

from api.comparison.costs_now.cost_now import REPAIR
from api.comparison.costs_now.figures import Assumption, Goods, Replacement
from api.comparison.requests.read_months import NOT_STATED, defaults_over_months, has_failed, read_months
from api.comparison.requests.request_members import (
    PositionOfFamilyRequest,
    PositionRequest,
    ReplacementRequest,
    TaxRequest,
)
from api.comparison.requests.shapes import ByFamily, ComparisonByFigures, OverMonthsRequest
from api.comparison.requests.stated import StatedFigures, StatedPosition
from api.money.amounts import parse_amount
from api.money.currencies import Currency, find_currency
from api.money.fractions import exact, number_text, parse_fraction
from api.money.tax import TaxRates

AnyRequest = ComparisonByFigures | ByFamily | OverMonthsRequest
Given = TypeVar("Given")
Value = TypeVar("Value")


def read_comparison(request: AnyRequest) -> StatedFigures:
    """Return what a request states; what its contradictions are has been refused when it was read."""
    currency = find_currency(request.currency)
    labour = request.labour
    hours = _optional(exact)
    amount = _optional(partial(parse_amount, currency=currency))
    replacements = None if request.replacements is None else _replacements(request.replacements, currency)
    months = None
    if isinstance(request, OverMonthsRequest):
        months = read_months(request, amount(request.incident_cost), replacements or ())
    return StatedFigures(
        currency=currency,
        family=request.family if isinstance(request, ByFamily) else None,
        rate_per_hour=amount(labour.rate_per_hour) if labour else None,
        removal_and_refit_hours=hours(labour.removal_and_refit_hours) if labour else None,
        strip_hours=hours(labour.strip_hours) if labour else None,
        consumables=amount(request.consumables),
        tax=_rates(request.tax) if request.tax else None,
        positions=tuple(_position(each, currency) for each in request.positions),
        replacements=replacements,
        assumed=_defaults(request),
        months=months,
    )


def _position(request: PositionRequest | PositionOfFamilyRequest, currency: Currency) -> StatedPosition:
    parts = None
    if request.part_cost is not None:
        label = f"Part: {request.position.replace('_', ' ').strip() or request.position}"
        parts = (Goods(label, 1, "piece", parse_amount(request.part_cost, currency)),)
    hours = _optional(exact)(request.bench_hours)
    return StatedPosition(request.position, has_failed(request), parts, hours)


def _replacements(requests: Sequence[ReplacementRequest], currency: Currency) -> tuple[Replacement, ...]:
    taken = {REPAIR, *(each.id for each in requests if each.id)}
    read = []
    for place, each in enumerate(requests):
        name = each.id or _free_name(each.condition, place + 1, taken)
        taken.add(name)
        read.append(
            Replacement(
                id=name,
                condition=each.condition,
                price=parse_amount(each.price, currency),
                core_deposit=parse_amount(each.core_deposit, currency),
                refund_chance=exact(each.refund_chance),
            )
        )
    return tuple(read)


def _optional(read: Callable[[Given], Value]) -> Callable[[Given | None], Value | None]:
    return lambda given: None if given is None else read(given)


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


def _defaults(request: AnyRequest) -> tuple[Assumption, ...]:
    """List the defaults that stood in; what a family's catalogue entry supplies is listed by its reader."""
    listed = []
    if (
        request.labour
        and not isinstance(request, ByFamily)
        and "strip_hours" not in request.labour.model_fields_set
    ):
        listed.append(Assumption("labour.strip_hours", "0", NOT_STATED))
    if request.tax is not None and "included" not in request.tax.model_fields_set:
        listed.append(Assumption("tax.included", "false", NOT_STATED))
    for place, each in enumerate(request.replacements or ()):
        if "core_deposit" not in each.model_fields_set:
            listed.append(Assumption(f"replacements[{place}].core_deposit", "0", NOT_STATED))
        if "refund_chance" not in each.model_fields_set:
            chance = number_text(Fraction(1))
            listed.append(Assumption(f"replacements[{place}].refund_chance", chance, NOT_STATED))
    if isinstance(request, OverMonthsRequest):
        listed += defaults_over_months(request)
    return tuple(listed)
