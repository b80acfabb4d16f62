"""Queries of suppliers and offers."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from datetime import date
from functools import cache, lru_cache
from typing import Any, Literal

from sqlalchemy import ColumnElement, Row, Select, and_, bindparam, func, literal, or_, select, tuple_

from api.columns import columns
from api.database import ReadSession
from api.money.amounts import Money
from api.money.currencies import find_currency
from api.offers.entries import OfferEntry
from api.offers.offer_terms import OfferTerms, Shipping
from api.offers.tables import Offer, Supplier
from api.starters.tables import Starter
from api.wear_parts.entries import ItemKey
from api.wear_parts.keys import split_key
from api.wear_parts.standing import item_stands
from api.wear_parts.tables import Maker, Part

_maker = columns(Maker)
_offer = columns(Offer)
_part = columns(Part)
_starter = columns(Starter)
_supplier = columns(Supplier)


def holds_on(day: date) -> ColumnElement[bool]:
    """Return the condition that an offer, its supplier and its item stand and that it holds on a day."""
    return _holds_on(literal(day.isoformat()))


def _holds_on(day: ColumnElement[str]) -> ColumnElement[bool]:
    return and_(
        _offer.valid_from <= day,
        or_(_offer.valid_until.is_(None), _offer.valid_until > day),
        _offer.withdrawn_on.is_(None),
        _supplier.withdrawn_on.is_(None),
        item_stands(_offer),
    )


def list_suppliers(reads: ReadSession, after: str | None, limit: int) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` suppliers that are not withdrawn in order of code, and how many there are."""
    standing = _supplier.withdrawn_on.is_(None)
    total = reads.number(select(func.count()).select_from(Supplier).where(standing))
    statement = select(*_supplier).where(standing).order_by(_supplier.code).limit(limit)
    if after is not None:
        statement = statement.where(_supplier.code > after)
    return reads.rows(statement), total


def find_supplier(reads: ReadSession, code: str) -> Row[Any] | None:
    """Return a supplier's row, or nothing."""
    return reads.first(select(*_supplier).where(_supplier.code == code))


def supplier_codes(reads: ReadSession) -> list[str]:
    """Return the codes of all suppliers."""
    return [row.code for row in reads.rows(select(_supplier.code).order_by(_supplier.code))]


def item_exists(reads: ReadSession, *, part_id: str | None = None, starter_id: str | None = None) -> bool:
    """Tell whether a part or a starter of this id is known."""
    wanted = _part.id == part_id if part_id else _starter.id == starter_id
    return reads.first(select(1).where(wanted)) is not None


def _offers() -> Select[Any]:
    return (
        select(
            *_offer,
            _supplier.code.label("supplier_code"),
            func.coalesce(_part.number, _starter.number).label("item_number"),
            func.coalesce(_part.description, _starter.description).label("item_description"),
            _maker.code.label("item_maker_code"),
            _maker.name.label("item_maker"),
        )
        .select_from(Offer)
        .join(Supplier, _supplier.id == _offer.supplier_id)
        .outerjoin(Part, _part.id == _offer.part_id)
        .outerjoin(Starter, _starter.id == _offer.starter_id)
        .join(Maker, _maker.code == func.coalesce(_part.maker_code, _starter.maker_code))
    )


def find_offer(reads: ReadSession, offer_id: str) -> Row[Any] | None:
    """Return an offer's row as `list_offers` does, withdrawn or not, or nothing."""
    return reads.first(_offers().where(_offer.id == offer_id))


def list_offers(
    reads: ReadSession,
    day: date,
    *,
    supplier: str | None = None,
    part_id: str | None = None,
    starter_id: str | None = None,
    condition: str | None = None,
    after: str | None = None,
    limit: int,
) -> tuple[Sequence[Row[Any]], int]:
    """Return up to `limit` offers that hold on a day, in order of supplier and number, and their count."""
    conditions = [holds_on(day)]
    for column, value in (
        (_supplier.code, supplier),
        (_offer.part_id, part_id),
        (_offer.starter_id, starter_id),
        (_offer.condition, condition),
    ):
        if value is not None:
            conditions.append(column == value)
    counted = select(func.count()).select_from(Offer).join(Supplier, _supplier.id == _offer.supplier_id)
    total = reads.number(counted.where(*conditions))
    statement = _offers().where(*conditions).order_by(_supplier.code, _offer.number).limit(limit)
    if after is not None:
        statement = statement.where(tuple_(_supplier.code, _offer.number) > split_key(after))
    return reads.rows(statement), total


def terms_by_part(reads: ReadSession, part_ids: Collection[str], day: date) -> dict[str, list[OfferTerms]]:
    """Return the offers of parts that hold on a day, by part id; the part's id is the terms' item."""
    return _terms(reads, "part_id", part_ids, day)


def terms_by_starter(
    reads: ReadSession, starter_ids: Collection[str], day: date
) -> dict[str, list[OfferTerms]]:
    """Return the offers of starters that hold on a day, by starter id."""
    return _terms(reads, "starter_id", starter_ids, day)


def _terms(
    reads: ReadSession, item: Literal["part_id", "starter_id"], ids: Collection[str], day: date
) -> dict[str, list[OfferTerms]]:
    found: dict[str, list[OfferTerms]] = defaultdict(list)
    if not ids:
        return found
    for row in reads.rows(_terms_of(item), {"ids": list(ids), "day": day.isoformat()}):
        found[row[0]].append(offer_terms(row))
    return found


@cache
def _terms_of(item: Literal["part_id", "starter_id"]) -> Select[Any]:
    """Build the query once: building it takes far longer than running it. `offer_terms` takes its rows."""
    return (
        select(
            _offer[item].label("item_id"),
            _offer.number,
            _supplier.code,
            _supplier.name,
            _offer.condition,
            _offer.currency,
            _offer.price_minor,
            _offer.core_deposit_minor,
            _offer.pack_size,
            _offer.minimum_quantity,
            _offer.warranty_months,
            _offer.lead_time_days,
            _offer.stock,
            _offer.valid_from,
            _offer.valid_until,
            _supplier.currency.label("shipping_currency"),
            _supplier.shipping_minor,
            _supplier.free_shipping_from_minor,
        )
        .join(Supplier, _supplier.id == _offer.supplier_id)
        .where(_offer[item].in_(bindparam("ids", expanding=True)), _holds_on(bindparam("day")))
        .order_by(_supplier.code, _offer.number)
    )


def offer_terms(row: Row[Any]) -> OfferTerms:
    """Return the terms of an offer's row; the supplier's number of the offer is its id."""
    own: tuple[Any, ...] = tuple(row)
    item, number, supplier_code, supplier_name, condition, currency_code, price_minor, deposit_minor = own[:8]
    pack_size, minimum_quantity, warranty_months, lead_time_days, stock, valid_from, valid_until = own[8:15]
    currency = find_currency(currency_code)
    return OfferTerms(
        offer_id=number,
        item=item,
        supplier_code=supplier_code,
        supplier_name=supplier_name,
        condition=condition,
        price=Money(price_minor, currency),
        core_deposit=Money(deposit_minor, currency),
        pack_size=pack_size,
        minimum_quantity=minimum_quantity,
        warranty_months=warranty_months,
        lead_time_days=lead_time_days,
        stock=stock,
        valid_from=date.fromisoformat(valid_from),
        valid_until=None if valid_until is None else date.fromisoformat(valid_until),
        shipping=_shipping(*own[15:]),
    )


@lru_cache(maxsize=1024)
def _shipping(currency_code: str, minor: int, free_from_minor: int | None) -> Shipping:
    """Keep the values that every offer of a supplier shares."""
    currency = find_currency(currency_code)
    free_from = None if free_from_minor is None else Money(free_from_minor, currency)
    return Shipping(Money(minor, currency), free_from)


def kept_entry(row: Row[Any], supplier: str, item: ItemKey) -> OfferEntry:
    """Return a stored offer of a supplier for an item as the entry that it was kept from."""
    return OfferEntry(
        supplier=supplier,
        number=row.number,
        item=item,
        condition=row.condition,
        price_minor=row.price_minor,
        currency=row.currency,
        pack_size=row.pack_size,
        minimum_quantity=row.minimum_quantity,
        core_deposit_minor=row.core_deposit_minor,
        warranty_months=row.warranty_months,
        lead_time_days=row.lead_time_days,
        stock=row.stock,
        valid_from=row.valid_from,
        valid_until=row.valid_until,
    )
