"""Every number a comparison over months is stated with: its name, its value, how to put another in its place.

Names are those of the request, places in lists counted from 0. Pure.
"""

from collections.abc import Callable, Iterator
from typing import Any, cast

import attrs

from api.comparison.costs_now.figures import ComparisonFigures
from api.comparison.months.months_terms import MonthsTerms
from api.comparison.months.over_months import LEAST_KEEP_MONTHS, MOST_KEEP_MONTHS, Age, KnownAge, WearShare
from api.wear_life.weibull import GREATEST_SHAPE, LEAST_SHAPE

MOST_HOURS = 100.0
"""Most hours of one kind of labour that a comparison takes."""

OFFERED_PARTS = "parts bought from offers"
"""The name under which all prices of baskets are moved together."""

Change = Callable[[MonthsTerms, float], MonthsTerms]


@attrs.frozen(kw_only=True)
class Input:
    """A stated number: its name in the request, its value, its bounds, and how to change it.

    `value` is in the request's own unit, amounts in minor units (`amount`); `change` returns the terms with
    another value. From `fails_at` on a position counts as failed.
    """

    name: str
    value: float
    change: Change
    least: float = 0.0
    most: float = float("inf")
    amount: bool = False
    fails_at: float | None = None


def inputs_of(figures: ComparisonFigures, terms: MonthsTerms) -> tuple[Input, ...]:
    """Return the numbers of a comparison that are not zero, in the order of the request."""
    found = [*_of_all(figures, terms)]
    for place in range(len(terms.positions)):
        found += _of_position(terms, place)
    found += _of_remainder(terms)
    for place in range(len(terms.replacements)):
        found += _of_replacement(terms, place)
    return tuple(each for each in found if each.value != 0)


def _of_all(figures: ComparisonFigures, terms: MonthsTerms) -> Iterator[Input]:
    shared = terms.shared

    def keep(changed: MonthsTerms, value: float) -> MonthsTerms:
        return attrs.evolve(changed, keep_months=value)

    yield Input(
        name="keep_months",
        value=terms.keep_months,
        change=keep,
        least=LEAST_KEEP_MONTHS,
        most=MOST_KEEP_MONTHS,
    )
    yield Input(name="starts_per_month", value=shared.starts_per_month, change=_in_shared("starts_per_month"))
    yield Input(
        name="discount_rate_per_year",
        value=shared.discount_rate_per_year,
        change=_in_shared("discount_rate_per_year"),
        most=1.0,
    )
    yield Input(
        name="labour.rate_per_hour",
        value=shared.rate_per_hour,
        change=_in_shared("rate_per_hour"),
        amount=True,
    )
    for field in ("removal_and_refit_hours", "strip_hours"):
        yield Input(
            name=f"labour.{field}", value=getattr(shared, field), change=_in_shared(field), most=MOST_HOURS
        )
    yield Input(name="incident_cost", value=shared.incident, change=_in_shared("incident"), amount=True)
    yield Input(name="consumables", value=shared.consumables, change=_in_shared("consumables"), amount=True)
    if not figures.tax.included:
        for field in ("parts", "labour", "deposit"):
            rate = float(getattr(figures.tax, field))
            yield Input(name=f"tax.{field}", value=rate, change=_tax(f"tax_{field}"), most=1.0)
    if any(each.basket_part is not None for each in terms.positions):
        yield Input(name=OFFERED_PARTS, value=1.0, change=_in_shared("basket_factor"))


def _of_position(terms: MonthsTerms, place: int) -> Iterator[Input]:
    each = terms.positions[place]
    name = f"positions[{place}]"

    def change(field: str) -> Change:
        return lambda changed, value: attrs.evolve(
            changed, positions=_with(changed.positions, place, field, value)
        )

    if each.basket_part is None:
        yield Input(name=f"{name}.part_cost", value=each.part, change=change("part"), amount=True)
    yield Input(
        name=f"{name}.bench_hours", value=each.bench_hours, change=change("bench_hours"), most=MOST_HOURS
    )
    yield from _of_wear(name, each, change)
    yield Input(name=f"{name}.warranty_months", value=each.warranty_months, change=change("warranty_months"))


def _of_remainder(terms: MonthsTerms) -> Iterator[Input]:
    remainder = terms.remainder
    if remainder is None:
        return

    def change(field: str) -> Any:
        return lambda changed, value: attrs.evolve(
            changed, remainder=attrs.evolve(cast(Any, remainder), **{field: value})
        )

    yield from _of_wear("remainder", remainder, change)


def _of_replacement(terms: MonthsTerms, place: int) -> Iterator[Input]:
    each = terms.replacements[place]
    name = f"replacements[{place}]"

    def change(field: str) -> Change:
        return lambda changed, value: attrs.evolve(
            changed, replacements=_with(changed.replacements, place, field, value)
        )

    yield Input(name=f"{name}.price", value=each.price, change=change("price"), amount=True)
    yield Input(
        name=f"{name}.core_deposit", value=each.core_deposit, change=change("core_deposit"), amount=True
    )
    yield Input(
        name=f"{name}.refund_chance", value=each.refund_chance, change=change("refund_chance"), most=1.0
    )
    yield Input(name=f"{name}.warranty_months", value=each.warranty_months, change=change("warranty_months"))
    yield from _of_wear(name, each, change)


def _of_wear(name: str, wearing: Any, change: Callable[[str], Any]) -> Iterator[Input]:
    """Yield the shape, the scale and, where it has one that counts, the age of whatever wears."""
    life = wearing.life

    def in_life(field: str) -> Change:
        return lambda changed, value: change("life")(changed, attrs.evolve(life, **{field: value}))

    yield Input(
        name=f"{name}.life.shape",
        value=life.shape,
        change=in_life("shape"),
        least=LEAST_SHAPE,
        most=GREATEST_SHAPE,
    )
    yield Input(name=f"{name}.life.scale_starts", value=life.scale_starts, change=in_life("scale_starts"))
    age: Age | None = getattr(wearing, "age", None)
    fails = hasattr(wearing, "failed")
    if age is None or (fails and wearing.counts_as_failed):
        return
    if isinstance(age, KnownAge):
        yield Input(
            name=f"{name}.age_starts",
            value=age.starts,
            change=lambda changed, value: change("age")(changed, KnownAge(value)),
        )
    elif isinstance(age, WearShare):
        yield Input(
            name=f"{name}.wear_share",
            value=age.share,
            change=lambda changed, value: change("age")(changed, WearShare(value)),
            most=float("inf") if fails else 1.0,
            fails_at=1.0 if fails else None,
        )


def _in_shared(field: str) -> Change:
    return lambda terms, value: attrs.evolve(terms, shared=attrs.evolve(terms.shared, **{field: value}))


def _tax(field: str) -> Change:
    return lambda terms, rate: _in_shared(field)(terms, 1 + rate)


def _with(items: tuple[Any, ...], place: int, field: str, value: Any) -> tuple[Any, ...]:
    return (*items[:place], attrs.evolve(items[place], **{field: value}), *items[place + 1 :])
