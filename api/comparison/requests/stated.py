"""What a caller states of a comparison, gaps and all, and how it becomes complete figures. Pure.

Without a family every figure must be stated. With one, a use case fills the gaps from the catalogue
(adding an `Assumption` for each) and then completes the figures here all the same: what neither the
caller nor the catalogue gives is named, all at once, never guessed.
"""

from collections.abc import Mapping
from fractions import Fraction
from typing import TypeVar

import attrs

from api.comparison.costs_now.figures import (
    Assumption,
    BasketOf,
    ComparisonFigures,
    Goods,
    Labour,
    NoFailedPosition,
    PositionFigures,
    Replacement,
)
from api.comparison.months.over_months import OverMonths
from api.comparison.requests.stated_months import StatedMonths, complete_months
from api.errors import FieldFault, InvalidInput
from api.money.amounts import Money
from api.money.currencies import Currency
from api.money.tax import TaxRates

Value = TypeVar("Value")


@attrs.frozen
class StatedPosition:
    """A position as stated: its parts and bench hours may be missing."""

    position: str
    failed: bool
    parts: tuple[Goods, ...] | None = None
    bench_hours: Fraction | None = None


@attrs.frozen(kw_only=True)
class StatedFigures:
    """A comparison as stated; `None` marks what was left out. `replacements` left out is not an empty list.

    `removal_and_refit_hours` and `strip_hours` are exact hours. `shipping` is filled with the parts.
    `wanting` names what stands against filling a gap: what the catalogue has not, and what cannot be.
    Over `months`, `basket_of` buys for every position whose `parts` are there and empty;
    `offered_warranty_months` is by the id of replacements that were taken from offers.
    """

    currency: Currency
    family: str | None = None
    rate_per_hour: Money | None = None
    removal_and_refit_hours: Fraction | None = None
    strip_hours: Fraction | None = None
    consumables: Money | None = None
    tax: TaxRates | None = None
    positions: tuple[StatedPosition, ...]
    replacements: tuple[Replacement, ...] | None = None
    shipping: tuple[Goods, ...] = ()
    assumed: tuple[Assumption, ...] = ()
    wanting: tuple[FieldFault, ...] = ()
    months: StatedMonths | None = None
    basket_of: BasketOf | None = None
    offered_warranty_months: Mapping[str, int] = attrs.field(factory=dict)


def complete_figures(stated: StatedFigures) -> ComparisonFigures:
    """Return the figures that a comparison needs; a sound position's parts and hours may be missing.

    Raises `InvalidInput` naming everything that is missing or `wanting`, a failed position among it.
    """
    gaps = _Gaps(stated)
    figures = _figures(stated, gaps)
    gaps.refuse_if_any()
    return figures


def complete_over_months(stated: StatedFigures, months: StatedMonths) -> tuple[ComparisonFigures, OverMonths]:
    """Return the figures, and what a comparison over months needs beside them. Raises the same."""
    gaps = _Gaps(stated)
    figures = _figures(stated, gaps)
    taken = {each.position for each in figures.positions}
    places = [(place, each.position) for place, each in enumerate(stated.positions) if each.position in taken]
    nothing = Money.zero(stated.currency)
    over_months = complete_months(months, places, figures.replacements, nothing, gaps.need)
    gaps.refuse_if_any()
    return figures, over_months


def open_warranties(stated: StatedFigures, months: StatedMonths) -> frozenset[str]:
    """Return the positions that baskets buy for and no warranty is stated of."""
    return frozenset(
        each.position
        for each in stated.positions
        if each.parts == () and months.of_position(each.position).warranty_months is None
    )


def _figures(stated: StatedFigures, gaps: "_Gaps") -> ComparisonFigures:
    if not any(position.failed for position in stated.positions):
        nothing_failed = NoFailedPosition(tuple(position.position for position in stated.positions))
        gaps.faults.append(nothing_failed.fault("positions"))
    labour = Labour(
        gaps.need(stated.rate_per_hour, Money.zero(stated.currency), "labour", "rate_per_hour"),
        gaps.need(stated.removal_and_refit_hours, Fraction(0), "labour", "removal_and_refit_hours"),
        gaps.need(stated.strip_hours, Fraction(0), "labour", "strip_hours"),
    )
    consumables = gaps.need(stated.consumables, Money.zero(stated.currency), "consumables")
    no_tax = TaxRates(Fraction(0), Fraction(0), Fraction(0))
    tax = gaps.need(stated.tax, no_tax, "tax")
    positions = []
    for place, each in enumerate(stated.positions):
        parts, hours = each.parts, each.bench_hours
        if each.failed and not gaps.names("positions", place, "position"):
            parts = gaps.need(parts, (), "positions", place, "part_cost")
            hours = gaps.need(hours, Fraction(0), "positions", place, "bench_hours")
        if parts is not None and hours is not None:
            positions.append(PositionFigures(each.position, each.failed, parts, hours))
    return ComparisonFigures(
        currency=stated.currency,
        labour=labour,
        consumables=consumables,
        tax=tax,
        positions=tuple(positions),
        replacements=stated.replacements or (),
        shipping=stated.shipping,
        assumed=stated.assumed,
        basket_of=stated.basket_of,
    )


class _Gaps:
    """Collects what is missing, so that all of it is named at once."""

    def __init__(self, stated: StatedFigures) -> None:
        self.faults = list(stated.wanting)
        self._expected = (
            "a value: none is stated and no family is named whose catalogue entry could supply it"
            if stated.family is None
            else "a value: none is stated and the catalogue has none that is current for this family"
        )

    def names(self, *path: str | int) -> bool:
        return any(fault.path == path for fault in self.faults)

    def need(self, value: Value | None, stand_in: Value, *path: str | int) -> Value:
        if value is not None:
            return value
        if not self.names(*path):
            self.faults.append(FieldFault(path, "", self._expected, "missing"))
        return stand_in

    def refuse_if_any(self) -> None:
        if self.faults:
            raise InvalidInput.of(self.faults)
