"""What a caller states over the months, gaps and all, and how it becomes complete. Pure.

`None` marks what was left out. A use case fills the gaps from the catalogue; what then is still missing is
named, never guessed.
"""

from collections.abc import Collection, Mapping, Sequence
from typing import Protocol, TypeVar

import attrs

from api.comparison.costs_now.figures import Replacement
from api.comparison.months.over_months import (
    Age,
    AgeUnknown,
    LifeInStarts,
    OverMonths,
    PositionWear,
    RemainderWear,
    ReplacementWear,
)
from api.money.amounts import Money

Value = TypeVar("Value")


class Need(Protocol):
    """Takes a value, a stand-in and the value's path."""

    def __call__(self, value: Value | None, stand_in: Value, *path: str | int) -> Value:
        """Return the value; where there is none, note that it is missing and return the stand-in."""


ANY_LIFE = LifeInStarts(1.0, 1.0)
"""Stands in for a missing life while faults are collected."""


@attrs.frozen(kw_only=True)
class StatedWear:
    """How a position, the remainder or a replacement wears; `age` of a replacement is not asked for."""

    life: LifeInStarts | None = None
    age: Age | None = None
    warranty_months: float | None = None
    warranty_covers_labour: bool = False


@attrs.frozen(kw_only=True)
class StatedMonths:
    """A comparison over months as stated; positions by name, replacements by id."""

    keep_months: float
    starts_per_month: float | None = None
    discount_rate_per_year: float | None = None
    incident_cost: Money | None = None
    positions: Mapping[str, StatedWear]
    replacements: Mapping[str, StatedWear]
    remainder: StatedWear | None = None
    renew_together: tuple[tuple[str, ...], ...] | None = None

    def of_position(self, name: str) -> StatedWear:
        """Return what is stated of a position, nothing where it is not named."""
        return self.positions.get(name, StatedWear())

    def of_replacement(self, name: str) -> StatedWear:
        """Return what is stated of a replacement, nothing where it is not named."""
        return self.replacements.get(name, StatedWear())


def complete_months(
    stated: StatedMonths,
    positions: Sequence[tuple[int, str]],
    replacements: Sequence[Replacement],
    nothing: Money,
    need: Need,
) -> OverMonths:
    """Return what a comparison over months needs, for these positions (with their places) and replacements.

    An age that is not stated is unknown. `need` is told of everything that is missing. Groups keep the
    names of the given positions only.
    """
    names = {name for _, name in positions}
    return OverMonths(
        keep_months=stated.keep_months,
        starts_per_month=need(stated.starts_per_month, 1.0, "starts_per_month"),
        discount_rate_per_year=need(stated.discount_rate_per_year, 0.0, "discount_rate_per_year"),
        incident_cost=need(stated.incident_cost, nothing, "incident_cost"),
        positions={
            name: _position(stated.of_position(name), need, "positions", place) for place, name in positions
        },
        replacements={
            each.id: _replacement(stated.of_replacement(each.id), need, "replacements", place)
            for place, each in enumerate(replacements)
        },
        remainder=None if stated.remainder is None else _remainder(stated.remainder, need),
        renew_together=_known(stated.renew_together or (), names),
    )


def _known(groups: tuple[tuple[str, ...], ...], names: Collection[str]) -> tuple[tuple[str, ...], ...]:
    kept = (tuple(name for name in group if name in names) for group in groups)
    return tuple(group for group in kept if group)


def _position(wear: StatedWear, need: Need, *path: str | int) -> PositionWear:
    return PositionWear(
        life=need(wear.life, ANY_LIFE, *path, "life"),
        age=wear.age or AgeUnknown(),
        warranty_months=wear.warranty_months or 0.0,
        warranty_covers_labour=wear.warranty_covers_labour,
    )


def _remainder(wear: StatedWear, need: Need) -> RemainderWear:
    return RemainderWear(need(wear.life, ANY_LIFE, "remainder", "life"), wear.age or AgeUnknown())


def _replacement(wear: StatedWear, need: Need, *path: str | int) -> ReplacementWear:
    return ReplacementWear(
        life=need(wear.life, ANY_LIFE, *path, "life"),
        warranty_months=wear.warranty_months or 0.0,
        warranty_covers_labour=wear.warranty_covers_labour,
    )
