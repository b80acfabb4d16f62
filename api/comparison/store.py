"""Queries of a comparison: what the catalogue supplies for one family, in a bounded number of them."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from datetime import date
from fractions import Fraction
from typing import Any

from sqlalchemy import Row, and_, case, func, or_, select
from sqlmodel import SQLModel

from api.columns import columns
from api.comparison.from_catalogue.family_supply import (
    FamilySupply,
    LabourHours,
    OfferedPart,
    OfferedStarter,
    ShopDefaults,
    SuppliedPosition,
    UsualFigure,
    UsualLife,
)
from api.comparison.grade_parts import grade_parts, why_not
from api.comparison.months.over_months import LifeInStarts
from api.comparison.tables import LabourTime, ShopTerms, UsageFigure, WearLife
from api.database import ReadSession
from api.money.amounts import Money
from api.money.currencies import Currency
from api.money.tax import TaxRates
from api.offers.store import terms_by_part, terms_by_starter
from api.starters.store import positions_of
from api.starters.tables import Listing, Starter
from api.wear_parts.standing import part_stands, starter_stands
from api.wear_parts.tables import Maker, Part

_labour = columns(LabourTime)
_listing = columns(Listing)
_maker = columns(Maker)
_part = columns(Part)
_starter = columns(Starter)
_terms = columns(ShopTerms)
_life = columns(WearLife)
_usage = columns(UsageFigure)

ANY_CONSTRUCTION = "any"
"""Code of the strip hours that hold where a construction has none of its own."""

MILLION = 1_000_000


def find_supply(
    reads: ReadSession,
    family: Row[Any],
    currency: Currency,
    as_of: date,
    *,
    parts_for: Collection[str] | None,
    with_starters: bool,
    over_months: bool = False,
) -> FamilySupply:
    """Return what the catalogue has for a family's row.

    Parts for some positions (none: for all), starters if asked for, lives and usual figures for a comparison
    over months.
    """
    positions = positions_of(reads, family.id)
    wanted = [
        row.id
        for row in positions
        if row.kind_code is not None and (parts_for is None or row.code in parts_for)
    ]
    hours = _hours(reads, family)
    parts = _offered_parts(reads, family, positions, wanted, as_of)
    return FamilySupply(
        family=family.code,
        as_of=as_of,
        access=hours.get(("access", family.access_class)),
        strip=hours.get(("strip", family.construction)) or hours.get(("strip", ANY_CONSTRUCTION)),
        shop=_shop(reads, currency),
        positions={
            row.code: SuppliedPosition(
                code=row.code,
                kind=row.kind_code,
                quantity=row.quantity,
                bench=hours.get(("position", row.code)),
                parts=tuple(parts.get(row.id, ())),
            )
            for row in positions
        },
        starters=_offered_starters(reads, family.id, as_of) if with_starters else (),
        lives=_lives(reads) if over_months else {},
        usage=_usual_figures(reads, currency) if over_months else {},
    )


def _hours(reads: ReadSession, family: Row[Any]) -> Mapping[tuple[str, str], LabourHours]:
    strip = and_(_labour.scope == "strip", _labour.code.in_((family.construction, ANY_CONSTRUCTION)))
    access = and_(_labour.scope == "access", _labour.code == family.access_class)
    rows = reads.rows(select(*_labour).where(or_(access, strip, _labour.scope == "position")))
    return {
        (row.scope, row.code): LabourHours(Fraction(row.hours_thousandths, 1000), row.origin) for row in rows
    }


def _shop(reads: ReadSession, currency: Currency) -> ShopDefaults | None:
    row = reads.first(select(*_terms).where(_terms.currency == currency.code))
    if row is None:
        return None
    return ShopDefaults(
        Money(row.rate_per_hour_minor, currency),
        Money(row.consumables_minor, currency),
        TaxRates(
            Fraction(row.tax_parts_millionths, MILLION),
            Fraction(row.tax_labour_millionths, MILLION),
            Fraction(row.tax_deposit_millionths, MILLION),
            bool(row.tax_included),
        ),
        row.origin,
    )


def _lives(reads: ReadSession) -> Mapping[tuple[str, str], UsualLife]:
    return {
        (row.scope, row.code): UsualLife(
            LifeInStarts(row.shape_thousandths / 1000, float(row.scale_starts)), row.origin
        )
        for row in reads.rows(select(*_life))
    }


def _usual_figures(reads: ReadSession, currency: Currency) -> Mapping[str, UsualFigure]:
    rows = reads.rows(select(*_usage).where(_usage.currency.in_(("", currency.code))))
    return {row.code: UsualFigure(Fraction(row.value_millionths, MILLION), row.origin) for row in rows}


def _offered_parts(
    reads: ReadSession,
    family: Row[Any],
    positions: Sequence[Row[Any]],
    position_ids: Sequence[str],
    as_of: date,
) -> Mapping[str, list[OfferedPart]]:
    """Return the parts on offer, by position: those listed for it, and all others of their sizes, graded."""
    if not position_ids:
        return {}
    listed = SQLModel.metadata.tables["part"].alias("listed").c
    of_part = (_part.id, _part.number, _part.size_id, _part.voltage, _part.material, _part.grade)
    rows = reads.rows(
        select(
            _listing.position_id,
            *of_part,
            _maker.name.label("maker"),
            func.max(case((_part.id == _listing.part_id, 1), else_=0)).label("listed"),
        )
        .join(listed.id.table, listed.id == _listing.part_id)
        .join(Part, _part.size_id == listed.size_id)
        .join(Maker, _maker.code == _part.maker_code)
        .where(
            _listing.position_id.in_(position_ids),
            _listing.withdrawn_on.is_(None),
            part_stands(listed),
            part_stands(),
            or_(_part.voltage.is_(None), _part.voltage == family.voltage),
        )
        .group_by(_listing.position_id, *of_part, _maker.name)
        .order_by(_listing.position_id, _maker.name, _part.number)
    )
    offers = terms_by_part(reads, {row.id for row in rows}, as_of)
    grades = grade_parts(reads, family, positions, rows)
    found: dict[str, list[OfferedPart]] = defaultdict(list)
    for row in rows:
        if row.id in offers:
            judged = grades[row.position_id, row.id]
            terms = tuple(offers[row.id])
            part = OfferedPart(row.maker, row.number, bool(row.listed), terms, judged.grade, why_not(judged))
            found[row.position_id].append(part)
    return found


def _offered_starters(reads: ReadSession, family_id: str, as_of: date) -> tuple[OfferedStarter, ...]:
    rows = reads.rows(
        select(_starter.id, _starter.number, _maker.name.label("maker"))
        .join(Maker, _maker.code == _starter.maker_code)
        .where(_starter.family_id == family_id, starter_stands(_starter))
        .order_by(_maker.name, _starter.number)
    )
    offers = terms_by_starter(reads, {row.id for row in rows}, as_of)
    return tuple(
        OfferedStarter(row.maker, row.number, tuple(offers[row.id])) for row in rows if row.id in offers
    )
