"""Suppliers, as whoever keeps prices writes them."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Row, insert, select, update
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.exchange.catalogue_rows import supplier_row
from api.money.amounts import Money, format_amount
from api.money.currencies import find_currency
from api.offers.check_offer import check_supplier
from api.offers.entries import SupplierEntry
from api.offers.shapes import supplier_answer
from api.offers.tables import Supplier
from api.upkeep.entry_types import Amount, Code, CurrencyCode, Line, Withdrawable, patch_of
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.upkeep.withdrawals import withdrawing

_supplier = columns(Supplier)


class SupplierRequest(Withdrawable):
    """A supplier: its prices and shipping are in its currency; without `free_shipping_from` never free."""

    code: Code
    name: Line
    place: Line
    currency: CurrencyCode
    shipping: Amount
    free_shipping_from: Amount | None = None


def _find(reads: ReadSession, address: Address) -> Row[Any] | None:
    return reads.first(select(*_supplier).where(_supplier.code == address[0]))


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    currency = find_currency(row.currency)
    free_from = row.free_shipping_from_minor
    return {
        "code": row.code,
        "name": row.name,
        "place": row.place,
        "currency": row.currency,
        "shipping": format_amount(Money(row.shipping_minor, currency)),
        "free_shipping_from": None if free_from is None else format_amount(Money(free_from, currency)),
    }


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> SupplierEntry:
    return check_supplier(entry)


def _refuse(reads: ReadSession, entry: SupplierEntry, kept: Row[Any] | None) -> None:
    if kept is None and _find(reads, (entry.code,)) is not None:
        raise AlreadyKnown("supplier", entry.code, "there is one of this code")


def _add(writes: WriteSession, entry: SupplierEntry) -> Address:
    writes.run(insert(Supplier), {"id": str(uuid7()), **supplier_row(entry)})
    return (entry.code,)


def _change(writes: WriteSession, row: Row[Any], entry: SupplierEntry) -> None:
    writes.run(update(Supplier).where(_supplier.id == row.id).values(**supplier_row(entry)))


SUPPLIERS = Noun(
    name="supplier",
    scope="prices",
    model=SupplierRequest,
    patch_model=patch_of(SupplierRequest),
    fixed=("code", "currency"),
    path=lambda row: f"/v1/suppliers/{row.code}",
    address=lambda row: (row.code,),
    find=_find,
    entry=_entry,
    check=_check,
    refuse=_refuse,
    add=_add,
    change=_change,
    set_withdrawn=withdrawing(Supplier),
    answer=lambda reads, row: supplier_answer(row),
)
