"""The figures that a comparison of costs now stands on: exact, of one currency, complete. Pure."""

from collections.abc import Callable, Collection
from fractions import Fraction
from typing import Literal

import attrs

from api.errors import DomainError, FieldFault, shown
from api.money.amounts import Money
from api.money.currencies import Currency
from api.money.tax import TaxRates

Condition = Literal["new", "remanufactured", "used"]
"""What state a replacement starter is offered in."""


@attrs.frozen
class NoFailedPosition(DomainError):
    """A comparison names no failed position: there is nothing to repair or to replace."""

    positions: tuple[str, ...]

    def explain(self) -> str:
        """Return which positions were named, none of them failed."""
        named = ", ".join(self.positions) or "none"
        return f"No position has failed (named: {named}); expected one failed position at least."

    def fault(self, *path: str | int) -> FieldFault:
        """Return this as a fault of the list of positions at `path`."""
        named = shown(", ".join(self.positions))
        return FieldFault(path, named, "one position at least that has failed", "no_failed_position")


@attrs.frozen
class Assumption:
    """A value that the caller did not state, or a choice of the model: what, its value, its origin."""

    what: str
    value: str
    origin: str


@attrs.frozen
class Goods:
    """Something bought: `quantity` (1 or more) of a unit at a price each, as stated, before added tax."""

    label: str
    quantity: int
    unit: Literal["piece", "pack", "order"]
    unit_price: Money


@attrs.frozen
class Labour:
    """A workshop's time: its rate, hours to remove and refit the starter, hours to strip it once."""

    rate_per_hour: Money
    removal_and_refit_hours: Fraction
    strip_hours: Fraction


@attrs.frozen
class PositionFigures:
    """A position: whether it has failed, what renewing it takes in parts and in hours at the bench."""

    position: str
    failed: bool
    parts: tuple[Goods, ...]
    bench_hours: Fraction


@attrs.frozen(kw_only=True)
class Replacement:
    """A whole starter offered instead.

    `core_deposit` is paid with it and comes back with chance `refund_chance` (0 to 1) when the old
    unit is returned. `shipping` is what its order costs to ship, where the price does not hold that.
    """

    id: str
    condition: Condition
    price: Money
    core_deposit: Money
    refund_chance: Fraction
    label: str | None = None
    shipping: Goods | None = None


@attrs.frozen
class Basket:
    """What is bought together for some positions: goods, each for a position (or several: none), shipping."""

    goods: tuple[tuple[str | None, Goods], ...]
    shipping: tuple[Goods, ...] = ()


BasketOf = Callable[[frozenset[str]], Basket]
"""What to buy for a set of positions renewed together; more positions never cost less."""


@attrs.frozen(kw_only=True)
class ComparisonFigures:
    """Everything that the costs now are computed from.

    `positions` may hold sound ones too; `shipping` is the shipping of the parts for the failed ones.
    Where `basket_of` is given it buys for every position without stated `parts`, for each set of
    positions anew. `assumed` lists what the caller did not state.
    """

    currency: Currency
    labour: Labour
    consumables: Money
    tax: TaxRates
    positions: tuple[PositionFigures, ...]
    replacements: tuple[Replacement, ...] = ()
    shipping: tuple[Goods, ...] = ()
    assumed: tuple[Assumption, ...] = ()
    basket_of: BasketOf | None = None

    def bought_for(self, renewed: Collection[str]) -> Basket:
        """Return the basket for those of the renewed positions whose parts are not stated."""
        asked = frozenset(
            each.position for each in self.positions if each.position in renewed and not each.parts
        )
        return self.basket_of(asked) if self.basket_of is not None and asked else Basket(())

    @property
    def failed(self) -> tuple[PositionFigures, ...]:
        """Return the failed positions; raises `NoFailedPosition` when there is none."""
        failed = tuple(position for position in self.positions if position.failed)
        if not failed:
            raise NoFailedPosition(tuple(position.position for position in self.positions))
        return failed
