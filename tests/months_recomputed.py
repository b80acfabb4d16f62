"""A comparison over months recomputed from its definition, set by set, for the tests to compare with.

Written from the statement of the model alone: it shares the figures and the renewal counts with the service
(which have tests of their own), and the counts of exponential lives not even those. Amounts are in minor
units, not rounded.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import chain, combinations
from math import exp, gamma, log

import numpy as np

from api.comparison.costs_now.figures import (
    Basket,
    ComparisonFigures,
    Goods,
    Labour,
    PositionFigures,
    Replacement,
)
from api.comparison.months.over_months import (
    Age,
    AgeUnknown,
    KnownAge,
    LifeInStarts,
    OverMonths,
    PositionWear,
    RemainderWear,
    ReplacementWear,
    WearShare,
)
from api.money.amounts import Money
from api.money.currencies import find_currency
from api.money.tax import TaxRates
from api.wear_life.renewal import AgedLife, NewLife, UnknownAge, discounted_renewals
from api.wear_life.weibull import WeibullLife

USD = find_currency("USD")
NEW = KnownAge(0)


def usd(text: str) -> Money:
    return Money(int(Fraction(text) * 100), USD)


def rates(parts: str = "0", labour: str = "0", deposit: str = "0", *, included: bool = False) -> TaxRates:
    return TaxRates(Fraction(parts), Fraction(labour), Fraction(deposit), included)


def worn(
    shape: float, scale: float, age: Age = NEW, warranty: float = 0, covers: bool = False
) -> PositionWear:
    life = LifeInStarts(shape, scale)
    return PositionWear(life=life, age=age, warranty_months=warranty, warranty_covers_labour=covers)


def lasting(shape: float, scale: float, warranty: float = 0, covers: bool = False) -> ReplacementWear:
    life = LifeInStarts(shape, scale)
    return ReplacementWear(life=life, warranty_months=warranty, warranty_covers_labour=covers)


def position(name: str, part: str | None, bench: str = "0", *, failed: bool = False) -> PositionFigures:
    parts = () if part is None else (Goods(name, 1, "piece", usd(part)),)
    return PositionFigures(name, failed, parts, Fraction(bench))


def starter(name: str, price: str, deposit: str = "0", chance: str = "1") -> Replacement:
    return Replacement(
        id=name,
        condition="remanufactured",
        price=usd(price),
        core_deposit=usd(deposit),
        refund_chance=Fraction(chance),
    )


def figures(
    positions: Iterable[PositionFigures],
    replacements: Iterable[Replacement] = (),
    *,
    labour: tuple[str, str, str] = ("0", "0", "0"),
    consumables: str = "0",
    tax: TaxRates | None = None,
    basket_of=None,
) -> ComparisonFigures:
    rate, removal, strip = labour
    return ComparisonFigures(
        currency=USD,
        labour=Labour(usd(rate), Fraction(removal), Fraction(strip)),
        consumables=usd(consumables),
        tax=rates() if tax is None else tax,
        positions=tuple(positions),
        replacements=tuple(replacements),
        basket_of=basket_of,
    )


def months(
    positions: dict[str, PositionWear],
    replacements: dict[str, ReplacementWear] | None = None,
    *,
    keep: float = 24,
    starts: float = 100,
    discount: float = 0,
    incident: str = "0",
    remainder: RemainderWear | None = None,
    together: tuple[tuple[str, ...], ...] = (),
) -> OverMonths:
    return OverMonths(
        keep_months=keep,
        starts_per_month=starts,
        discount_rate_per_year=discount,
        incident_cost=usd(incident),
        positions=positions,
        replacements=replacements or {},
        remainder=remainder,
        renew_together=together,
    )


def count(life: LifeInStarts, age: Age, over: OverMonths, until: float) -> float:
    """Return the expected discounted number of failures; exponential lives in closed form."""
    rate = log(1 + over.discount_rate_per_year) / 12
    scale = life.scale_starts / over.starts_per_month
    if life.shape == 1:
        return until / scale if rate == 0 else (1 - exp(-rate * until)) / (rate * scale)
    weibull = WeibullLife(life.shape, scale)
    if isinstance(age, AgeUnknown):
        first: NewLife | AgedLife | UnknownAge = UnknownAge()
    elif isinstance(age, KnownAge):
        first = AgedLife(age.starts / over.starts_per_month)
    else:
        first = AgedLife(age.share * scale * gamma(1 + 1 / life.shape))
    return float(discounted_renewals(weibull, first, np.array([until]), rate)[0])


def taxed(
    stated: ComparisonFigures, parts: Fraction | int, work: Fraction | int, kept: Fraction | int = 0
) -> float:
    tax = stated.tax
    if tax.included:
        return float(parts + work + kept)
    return float(parts * (1 + tax.parts) + work * (1 + tax.labour) + kept * (1 + tax.deposit))


def replacement_again(stated: ComparisonFigures, each: Replacement) -> float:
    labour = stated.labour
    work = labour.removal_and_refit_hours * labour.rate_per_hour.minor
    return taxed(stated, each.price.minor, work, each.core_deposit.minor * (1 - each.refund_chance))


def replacement_total(stated: ComparisonFigures, over: OverMonths, name: str) -> float:
    each = next(each for each in stated.replacements if each.id == name)
    wear = over.replacements[name]
    again = replacement_again(stated, each)
    work = stated.labour.removal_and_refit_hours * stated.labour.rate_per_hour.minor
    every = count(wear.life, NEW, over, over.keep_months)
    free = count(wear.life, NEW, over, min(over.keep_months, wear.warranty_months))
    incident = over.incident_cost.minor
    covered = incident + (0 if wear.warranty_covers_labour else taxed(stated, 0, work))
    now = again + taxed(stated, stated.consumables.minor, 0)
    return now + (every - free) * (incident + again) + free * covered


def repair_now(stated: ComparisonFigures, renewed: Iterable[str]) -> float:
    labour = stated.labour
    chosen = [each for each in stated.positions if each.position in set(renewed)]
    bought = price_of(stated.bought_for([each.position for each in chosen]))
    parts = bought + stated.consumables.minor + sum(part_price(each) for each in chosen)
    hours = labour.strip_hours + labour.removal_and_refit_hours + sum(each.bench_hours for each in chosen)
    return taxed(stated, parts, hours * labour.rate_per_hour.minor)


def repair_total(stated: ComparisonFigures, over: OverMonths, renewed: Iterable[str]) -> float:
    renewed = set(renewed)
    labour = stated.labour
    incident = over.incident_cost.minor
    total = repair_now(stated, renewed)
    for each in stated.positions:
        wear = over.positions[each.position]
        hours = each.bench_hours + labour.strip_hours + labour.removal_and_refit_hours
        work = hours * labour.rate_per_hour.minor
        part = part_price(each) + price_of(stated.bought_for([each.position]))
        cost = incident + taxed(stated, part, work)
        fresh = each.position in renewed
        age = NEW if fresh else wear.age
        every = count(wear.life, age, over, over.keep_months)
        covered_until = min(over.keep_months, wear.warranty_months) if fresh else 0
        free = count(wear.life, age, over, covered_until) if covered_until else 0.0
        covered = incident + (0 if wear.warranty_covers_labour else taxed(stated, 0, work))
        total += (every - free) * cost + free * covered
    if over.remainder is not None:
        met = min(replacement_again(stated, each) for each in stated.replacements)
        number = count(over.remainder.life, over.remainder.age, over, over.keep_months)
        total += number * (incident + met)
    return total


def allowed_sets(stated: ComparisonFigures, over: OverMonths) -> Iterator[set[str]]:
    """Yield every set that holds the failed positions and no torn group, smaller ones first."""
    names = [each.position for each in stated.positions]
    must = {
        each.position
        for each in stated.positions
        if each.failed or (isinstance(age := over.positions[each.position].age, WearShare) and age.share >= 1)
    }
    for chosen in chain.from_iterable(combinations(names, size) for size in range(len(names) + 1)):
        some = set(chosen)
        if must <= some and all(set(group) <= some or not set(group) & some for group in over.renew_together):
            yield some


def best_set(stated: ComparisonFigures, over: OverMonths) -> tuple[float, set[str]]:
    """Return the least total of the repair and the first set that has it."""
    return min(
        ((repair_total(stated, over, some), some) for some in allowed_sets(stated, over)),
        key=lambda one: one[0],
    )


def part_price(each: PositionFigures) -> int:
    return sum(goods.unit_price.minor * goods.quantity for goods in each.parts)


def price_of(basket: Basket) -> int:
    return sum(goods.unit_price.minor * goods.quantity for _, goods in basket.goods) + sum(
        goods.unit_price.minor for goods in basket.shipping
    )
