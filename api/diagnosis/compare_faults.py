"""Passes a diagnosis on to comparisons: one for each fault that a position's part mends, and their mean.

All faults are priced from one state of the catalogue, read once.
"""

from collections.abc import Sequence
from typing import Any

import attrs
from sqlalchemy import Row

from api.comparison.costs_now.compare import compare_now
from api.comparison.from_catalogue.family_supply import FamilySupply
from api.comparison.from_catalogue.from_family import fill_from_family
from api.comparison.from_catalogue.months_from_family import fill_months_from_family
from api.comparison.months.compare_months import compare_over_months
from api.comparison.requests.read_request import read_comparison
from api.comparison.requests.shapes import ComparisonRequest
from api.comparison.requests.stated import (
    StatedFigures,
    complete_figures,
    complete_over_months,
    open_warranties,
)
from api.comparison.settle_warranty import settle_warranties
from api.comparison.short_lives import StatedLives, refuse_short_lives
from api.comparison.store import find_supply
from api.database import ReadSession
from api.diagnosis.answer_shapes import ForComparisonAnswer
from api.diagnosis.expected_cost import PricedFault, PricedOption
from api.diagnosis.request_shapes import CompareRequest
from api.errors import FieldFault, InvalidInput
from api.offers.days import today
from api.wire.inputs import read_value

MOST_PRICED, LEAST_PROBABILITY = 8, 0.01
"""So many faults are priced at most, and none that is less probable (our judgement)."""


@attrs.frozen
class NotPriced:
    """A fault that no comparison was made for, and why."""

    fault: str
    why: str


def compare_faults(
    reads: ReadSession, family: Row[Any], asked: CompareRequest, faults: Sequence[ForComparisonAnswer]
) -> tuple[tuple[PricedFault, ...], tuple[NotPriced, ...]]:
    """Return what each option costs under each fault, the likeliest first, and which faults have no price.

    Raises `InvalidInput` with paths beneath `("compare",)` for what is wrong with the request itself.
    """
    priced: list[PricedFault] = []
    without: list[NotPriced] = []
    supply: FamilySupply | None = None
    for one in faults:
        if one.needs_part_cost:
            without.append(NotPriced(one.fault, f"the cost of {', '.join(one.needs_part_cost)} is not known"))
        elif len(priced) == MOST_PRICED or one.probability < LEAST_PROBABILITY:
            without.append(NotPriced(one.fault, "less probable than those that were priced"))
        else:
            try:
                stated = _stated(family.code, asked, one)
                supply = supply or _supply(reads, family, stated)
                priced.append(PricedFault(one.fault, one.probability, _options(stated, supply)))
            except InvalidInput as refused:
                without.append(NotPriced(one.fault, _why(refused)))
    return tuple(priced), tuple(without)


def _why(refused: InvalidInput) -> str:
    """Return why a fault has no price; what is wrong with the request itself is raised with its place."""
    own = [fault for fault in refused.faults if not _of_positions(fault)]
    if own:
        raise InvalidInput.of([fault.beneath("compare") for fault in own]) from None
    return "; ".join(sorted({fault.expected for fault in refused.faults}))


def _of_positions(fault: FieldFault) -> bool:
    return bool(fault.path) and fault.path[0] == "positions"


def _stated(family: str, asked: CompareRequest, fault: ForComparisonAnswer) -> StatedFigures:
    positions = [{"position": one.position, "failed": one.failed} for one in fault.positions]
    body = {**asked.model_dump(exclude_none=True), "family": family, "positions": positions}
    return read_comparison(read_value(body, ComparisonRequest).root)


def _supply(reads: ReadSession, family: Row[Any], stated: StatedFigures) -> FamilySupply:
    months = stated.months is not None
    return find_supply(
        reads, family, stated.currency, today(), parts_for=None, with_starters=True, over_months=months
    )


def _options(stated: StatedFigures, supply: FamilySupply) -> tuple[PricedOption, ...]:
    months = stated.months
    if months is None:
        compared = compare_now(complete_figures(fill_from_family(stated, supply)))
        return tuple(PricedOption(one.id, one.option, one.cost_now.total) for one in compared.options)
    lives = StatedLives.of(stated, months)
    stated, months, baskets = fill_months_from_family(stated, months, supply)
    warranties = open_warranties(stated, months)
    figures, over_months = complete_over_months(stated, months)
    refuse_short_lives(over_months, lives)
    over_months = settle_warranties(figures, over_months, baskets, warranties)
    kept = compare_over_months(figures, over_months)
    return tuple(PricedOption(one.option.id, one.option.option, one.expected_total) for one in kept.options)
