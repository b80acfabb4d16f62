"""A comparison over months as plain numbers, what each event of it costs, and what fails how. Pure.

Amounts are in minor units as stated; `tax_*` are the factors that bring the tax in (1 where stated
amounts contain it). Nothing is rounded here: what is shown as a cost now is rounded by `cost_now`.

A position's failure costs the incident (untaxed), its part, and the hours at the bench, for the strip
and for removal and refit. A replacement's failure costs the incident and the same replacement again:
price with its shipping, removal and refit, and what of the deposit is not refunded. The remainder's
failure costs the incident and the cheapest replacement offered, counted in the same way. A failure
that a warranty covers costs the incident, and the labour unless that is covered too.
"""

from functools import cached_property

import attrs

from api.comparison.costs_now.figures import Basket, ComparisonFigures, Replacement
from api.comparison.months.failure_process import FailureProcess, monthly_rate
from api.comparison.months.over_months import (
    REMAINDER,
    Age,
    KnownAge,
    LifeInStarts,
    OverMonths,
    WearShare,
    counts_as_failed,
    merge_groups,
)
from api.wear_life.renewal import AgedLife, FirstLife, NewLife, UnknownAge
from api.wear_life.weibull import WeibullLife


@attrs.frozen(kw_only=True, slots=False, cache_hash=True)
class SharedTerms:
    """What every option has in common; `basket_factor` scales all prices of baskets."""

    starts_per_month: float
    discount_rate_per_year: float
    incident: float
    consumables: float
    shipping: float
    rate_per_hour: float
    removal_and_refit_hours: float
    strip_hours: float
    tax_parts: float
    tax_labour: float
    tax_deposit: float
    basket_factor: float = 1.0

    @cached_property
    def rate(self) -> float:
        """Return the continuous discount rate per month."""
        return monthly_rate(self.discount_rate_per_year)

    def labour(self, hours: float) -> float:
        """Return what hours of labour cost with tax."""
        return hours * self.rate_per_hour * self.tax_labour


@attrs.frozen(kw_only=True, cache_hash=True)
class PositionTerms:
    """A position: `part` as stated, or `basket_part`, what a basket for it alone costs with shipping."""

    position: str
    failed: bool
    part: float
    basket_part: float | None
    bench_hours: float
    life: LifeInStarts
    age: Age
    warranty_months: float
    warranty_covers_labour: bool

    @property
    def counts_as_failed(self) -> bool:
        """Return whether it has failed, as stated or by its wear share."""
        return counts_as_failed(self.failed, self.age)


@attrs.frozen(cache_hash=True)
class RemainderTerms:
    """The remainder: its life and age."""

    life: LifeInStarts
    age: Age


@attrs.frozen(kw_only=True, cache_hash=True)
class ReplacementTerms:
    """A replacement; `price` as stated, `shipping` of its order beside it."""

    id: str
    price: float
    shipping: float
    core_deposit: float
    refund_chance: float
    life: LifeInStarts
    warranty_months: float
    warranty_covers_labour: bool


@attrs.frozen(kw_only=True)
class MonthsTerms:
    """A comparison over months in plain numbers; `units` hold the places of positions renewed as one."""

    keep_months: float
    shared: SharedTerms
    positions: tuple[PositionTerms, ...]
    units: tuple[tuple[int, ...], ...]
    replacements: tuple[ReplacementTerms, ...]
    remainder: RemainderTerms | None


def terms_of(figures: ComparisonFigures, months: OverMonths) -> MonthsTerms:
    """Return the figures of a comparison, with what it states over months, as plain numbers."""
    names = [each.position for each in figures.positions]
    places = {name: place for place, name in enumerate(names)}
    return MonthsTerms(
        keep_months=months.keep_months,
        shared=_shared(figures, months),
        positions=tuple(_position(figures, months, place) for place in range(len(names))),
        units=tuple(
            tuple(places[name] for name in unit) for unit in merge_groups(names, months.renew_together)
        ),
        replacements=tuple(_replacement(each, months) for each in figures.replacements),
        remainder=None
        if months.remainder is None
        else RemainderTerms(months.remainder.life, months.remainder.age),
    )


def basket_price(basket: Basket) -> float:
    """Return the price of a basket with its shipping, as stated."""
    bought = (*(goods for _, goods in basket.goods), *basket.shipping)
    return float(sum(goods.unit_price.minor * goods.quantity for goods in bought))


def renewing_now(shared: SharedTerms, position: PositionTerms) -> float:
    """Return what renewing a position adds to a repair today: its stated part and its bench hours."""
    return position.part * shared.tax_parts + shared.labour(position.bench_hours)


def opening_now(shared: SharedTerms) -> float:
    """Return what a repair costs today whatever it renews: consumables, strip, removal and refit."""
    hours = shared.strip_hours + shared.removal_and_refit_hours
    return (shared.consumables + shared.shipping) * shared.tax_parts + shared.labour(hours)


def fitting_again(shared: SharedTerms, replacement: ReplacementTerms) -> float:
    """Return what a replacement costs with its fitting: price, labour, deposit not refunded; with tax."""
    kept = replacement.core_deposit * (1 - replacement.refund_chance)
    goods = (replacement.price + replacement.shipping) * shared.tax_parts
    return goods + shared.labour(shared.removal_and_refit_hours) + kept * shared.tax_deposit


def replacing_now(shared: SharedTerms, replacement: ReplacementTerms) -> float:
    """Return what a replacement costs today: the same, and the consumables."""
    return fitting_again(shared, replacement) + shared.consumables * shared.tax_parts


def position_process(shared: SharedTerms, position: PositionTerms, *, renewed: bool) -> FailureProcess:
    """Return the failures of a position that is renewed today, or of the piece that stays in place."""
    life = _life(position.life, shared)
    part = position.part + shared.basket_factor * (position.basket_part or 0.0)
    labour = shared.labour(position.bench_hours + shared.strip_hours + shared.removal_and_refit_hours)
    return FailureProcess(
        name=position.position,
        life=life,
        first=NewLife() if renewed else _first(position.age, life, shared),
        cost=shared.incident + part * shared.tax_parts + labour,
        covered_cost=shared.incident + (0.0 if position.warranty_covers_labour else labour),
        covered_until=position.warranty_months if renewed else 0.0,
    )


def replacement_process(shared: SharedTerms, replacement: ReplacementTerms) -> FailureProcess:
    """Return the failures of a replacement fitted today and of those fitted after it."""
    labour = shared.labour(shared.removal_and_refit_hours)
    return FailureProcess(
        name=replacement.id,
        life=_life(replacement.life, shared),
        first=NewLife(),
        cost=shared.incident + fitting_again(shared, replacement),
        covered_cost=shared.incident + (0.0 if replacement.warranty_covers_labour else labour),
        covered_until=replacement.warranty_months,
    )


def remainder_process(
    shared: SharedTerms, remainder: RemainderTerms, replacements: tuple[ReplacementTerms, ...]
) -> FailureProcess:
    """Return the failures of the remainder, each met by the cheapest of the replacements (one at least)."""
    life = _life(remainder.life, shared)
    cheapest = min(fitting_again(shared, each) for each in replacements)
    return FailureProcess(
        name=REMAINDER,
        life=life,
        first=_first(remainder.age, life, shared),
        cost=shared.incident + cheapest,
    )


def _life(life: LifeInStarts, shared: SharedTerms) -> WeibullLife:
    return WeibullLife(life.shape, life.scale_starts / shared.starts_per_month)


def _first(age: Age, life: WeibullLife, shared: SharedTerms) -> FirstLife:
    if isinstance(age, KnownAge):
        months = age.starts / shared.starts_per_month
    elif isinstance(age, WearShare):
        months = age.share * life.mean
    else:
        return UnknownAge()
    return AgedLife(months) if months > 0 else NewLife()


def _shared(figures: ComparisonFigures, months: OverMonths) -> SharedTerms:
    labour, tax = figures.labour, figures.tax
    parts, work, deposit = (
        1.0 if tax.included else float(1 + rate) for rate in (tax.parts, tax.labour, tax.deposit)
    )
    return SharedTerms(
        starts_per_month=months.starts_per_month,
        discount_rate_per_year=months.discount_rate_per_year,
        incident=float(months.incident_cost.minor),
        consumables=float(figures.consumables.minor),
        shipping=float(sum(each.unit_price.minor * each.quantity for each in figures.shipping)),
        rate_per_hour=float(labour.rate_per_hour.minor),
        removal_and_refit_hours=float(labour.removal_and_refit_hours),
        strip_hours=float(labour.strip_hours),
        tax_parts=parts,
        tax_labour=work,
        tax_deposit=deposit,
    )


def _position(figures: ComparisonFigures, months: OverMonths, place: int) -> PositionTerms:
    each = figures.positions[place]
    wear = months.positions[each.position]
    alone = None
    if figures.basket_of is not None and not each.parts:
        alone = basket_price(figures.bought_for((each.position,)))
    return PositionTerms(
        position=each.position,
        failed=each.failed,
        part=float(sum(goods.unit_price.minor * goods.quantity for goods in each.parts)),
        basket_part=alone,
        bench_hours=float(each.bench_hours),
        life=wear.life,
        age=wear.age,
        warranty_months=wear.warranty_months,
        warranty_covers_labour=wear.warranty_covers_labour,
    )


def _replacement(each: Replacement, months: OverMonths) -> ReplacementTerms:
    wear = months.replacements[each.id]
    shipping = 0 if each.shipping is None else each.shipping.unit_price.minor * each.shipping.quantity
    return ReplacementTerms(
        id=each.id,
        price=float(each.price.minor),
        shipping=float(shipping),
        core_deposit=float(each.core_deposit.minor),
        refund_chance=float(each.refund_chance),
        life=wear.life,
        warranty_months=wear.warranty_months,
        warranty_covers_labour=wear.warranty_covers_labour,
    )
