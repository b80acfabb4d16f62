"""What a comparison over months is stated with, beside the costs now: lives, ages, warranty. Pure."""

from collections.abc import Iterable, Mapping

import attrs

from api.money.amounts import Money
from api.wear_life.ages import counts_as_failed as worn_through

LEAST_KEEP_MONTHS, MOST_KEEP_MONTHS = 1.0, 240.0
"""The horizons that can be asked for, in months."""

REMAINDER = "remainder"
"""The name of what no wear part renews: armature, field, coils."""


@attrs.frozen
class LifeInStarts:
    """A Weibull life: its shape (0.5 to 10) and its scale in starts (above 0)."""

    shape: float
    scale_starts: float


@attrs.frozen
class KnownAge:
    """An age counted in starts, 0 or more."""

    starts: float


@attrs.frozen
class WearShare:
    """An age as a share of the mean life, 0 or more; a position at 1 or more counts as failed."""

    share: float


@attrs.frozen
class AgeUnknown:
    """An age nobody knows: that of a piece met at any moment of a long row of renewals."""


Age = KnownAge | WearShare | AgeUnknown


@attrs.frozen(kw_only=True)
class PositionWear:
    """How a position wears, its age today, and the warranty (months from today) of a part bought today."""

    life: LifeInStarts
    age: Age
    warranty_months: float = 0.0
    warranty_covers_labour: bool = False


@attrs.frozen
class RemainderWear:
    """How the remainder wears, and its age today (a wear share below 1: it has not failed)."""

    life: LifeInStarts
    age: Age


@attrs.frozen(kw_only=True)
class ReplacementWear:
    """How a replacement wears from new, and its warranty in months from today."""

    life: LifeInStarts
    warranty_months: float = 0.0
    warranty_covers_labour: bool = False


@attrs.frozen(kw_only=True)
class OverMonths:
    """What a comparison over months needs beside the costs now.

    `keep_months` is 1 to 240; `discount_rate_per_year` 0 to 1; `incident_cost` is untaxed. `positions`
    and `replacements` name every position and replacement of the comparison. Groups of
    `renew_together` are renewed whole or not at all.
    """

    keep_months: float
    starts_per_month: float
    discount_rate_per_year: float
    incident_cost: Money
    positions: Mapping[str, PositionWear]
    replacements: Mapping[str, ReplacementWear]
    remainder: RemainderWear | None = None
    renew_together: tuple[tuple[str, ...], ...] = ()


def counts_as_failed(failed: bool, age: Age) -> bool:
    """Return whether a position has failed: as stated, or by a wear share of 1 or more."""
    return failed or (isinstance(age, WearShare) and worn_through(age.share))


def merge_groups(names: Iterable[str], groups: Iterable[Iterable[str]]) -> tuple[tuple[str, ...], ...]:
    """Return the units that are renewed whole, every name in exactly one, in the order of the names.

    Groups that share a name are one unit: whoever renews one of it renews all (our reading of "together").
    Names that a group has and `names` has not are left out.
    """
    unit_of = {name: {name} for name in names}
    for group in groups:
        known = [name for name in group if name in unit_of]
        merged = set().union(*(unit_of[name] for name in known))
        unit_of.update(dict.fromkeys(merged, merged))
    units: dict[int, list[str]] = {}
    for name, unit in unit_of.items():
        units.setdefault(id(unit), []).append(name)
    return tuple(tuple(unit) for unit in units.values())
