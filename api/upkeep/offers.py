"""Offers, as whoever keeps prices writes them: of one price one holds on a day."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import Field
from sqlalchemy import Row, insert, select, update
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import InvalidInput
from api.exchange.catalogue_rows import Values, offer_row
from api.money.amounts import Money, format_amount
from api.money.currencies import find_currency
from api.offers.check_offer import MOST_IN_STOCK, check_offer
from api.offers.entries import OfferEntry
from api.offers.find_overlaps import find_overlaps
from api.offers.shapes import Condition, offer_answer
from api.offers.store import find_offer, kept_entry
from api.offers.tables import Offer, Supplier
from api.upkeep.entry_types import Amount, Code, CurrencyCode, Day, Line, MakerNumber, Withdrawable, patch_of
from api.upkeep.known_items import find_item, known_items, known_suppliers, withdrawn_fault
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.upkeep.withdrawals import withdrawing
from api.wear_parts.keys import require_id

_offer = columns(Offer)
_supplier = columns(Supplier)
_SAME_PRICE = ("supplier_id", "part_id", "starter_id", "condition", "pack_size")


class OfferRequest(Withdrawable):
    """An offer: the price is of a whole pack and in the supplier's currency; quantities count pieces."""

    supplier: Annotated[Code, Field(description="code of a supplier", examples=["ruddlefold"])]
    number: Annotated[Line, Field(description="the supplier's own number of the offer")]
    item: Literal["part", "starter"]
    maker: Annotated[Code, Field(description="code of the item's maker")]
    item_number: MakerNumber
    condition: Condition
    price: Amount
    currency: CurrencyCode
    pack_size: Annotated[int, Field(ge=1, le=10_000, description="starters are sold one by one")] = 1
    minimum_quantity: Annotated[int, Field(ge=1, le=100_000)] = 1
    core_deposit: Amount | None = None
    warranty_months: Annotated[int, Field(ge=0, le=240)]
    lead_time_days: Annotated[int, Field(ge=0, le=730)]
    stock: Annotated[int, Field(ge=0, le=MOST_IN_STOCK)] | None = None
    valid_from: Day
    valid_until: Annotated[
        Day | None, Field(description="first day on which it no longer holds; left out: until further notice")
    ] = None


def _find(reads: ReadSession, address: Address) -> Row[Any] | None:
    return find_offer(reads, require_id("offer", address[0]))


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    currency = find_currency(row.currency)
    return {
        "supplier": row.supplier_code,
        "number": row.number,
        "item": "starter" if row.part_id is None else "part",
        "maker": row.item_maker_code,
        "item_number": row.item_number,
        "condition": row.condition,
        "price": format_amount(Money(row.price_minor, currency)),
        "currency": row.currency,
        "pack_size": row.pack_size,
        "minimum_quantity": row.minimum_quantity,
        "core_deposit": format_amount(Money(row.core_deposit_minor, currency)),
        "warranty_months": row.warranty_months,
        "lead_time_days": row.lead_time_days,
        "stock": row.stock,
        "valid_from": row.valid_from,
        "valid_until": row.valid_until,
    }


def _check(reads: ReadSession, entry: Mapping[str, Any]) -> OfferEntry:
    return check_offer(entry, known_suppliers(reads), known_items(reads))


def _refuse(reads: ReadSession, entry: OfferEntry, kept: Row[Any] | None) -> None:
    """Refuse a second offer of this number, and new references to what is withdrawn."""
    item = find_item(reads, entry.item)
    faults = []
    if kept is None:
        supplier = known_suppliers(reads).row(entry.supplier)
        faults += withdrawn_fault(supplier, "supplier", entry.supplier, "supplier")
    if item is not None and (kept is None or item.id not in (kept.part_id, kept.starter_id)):
        faults += withdrawn_fault(item, "item_number", entry.item.number, entry.item.owner)
    if faults:
        raise InvalidInput.of(faults)
    if kept is None and _of_number(reads, entry) is not None:
        raise AlreadyKnown("offer", entry.number, f"{entry.supplier} has one of this number")


def _of_number(reads: ReadSession, entry: OfferEntry) -> Row[Any] | None:
    return reads.first(
        select(_offer.id)
        .join(Supplier, _supplier.id == _offer.supplier_id)
        .where(_supplier.code == entry.supplier, _offer.number == entry.number)
    )


def _refuse_standing(reads: ReadSession, entry: OfferEntry, kept: Row[Any] | None) -> None:
    """Refuse an offer that holds while another of the same price does."""
    row = _row(reads, entry)
    given = [name for name in _SAME_PRICE if row[name] is not None]  # an item is a part or a starter
    others = reads.rows(
        select(*_offer).where(
            *(_offer[name] == row[name] for name in given),
            _offer.withdrawn_on.is_(None),
            _offer.id != ("" if kept is None else kept.id),
        )
    )
    stored = [kept_entry(other, entry.supplier, entry.item) for other in others]
    for later, earlier in find_overlaps([entry, *stored]):
        if entry is later or entry is earlier:
            other = earlier if entry is later else later
            until = f"until {other.valid_until}" if other.valid_until else "without an end"
            raise AlreadyKnown(
                "offer",
                entry.number,
                f"the offer {other.number} of {other.supplier} for the same item, condition and pack size "
                f"holds from {other.valid_from} {until}, and one at most may hold on a day",
            )


def _row(reads: ReadSession, entry: OfferEntry) -> Values:
    """Return the row of a checked offer: its supplier and item are known."""
    supplier, item = known_suppliers(reads).row(entry.supplier), find_item(reads, entry.item)
    suppliers = {} if supplier is None else {(entry.supplier,): supplier.id}
    return offer_row(entry, suppliers, {} if item is None else {entry.item: item.id})


def _add(writes: WriteSession, entry: OfferEntry) -> Address:
    offer_id = str(uuid7())
    writes.run(insert(Offer), {"id": offer_id, **_row(writes, entry)})
    return (offer_id,)


def _change(writes: WriteSession, row: Row[Any], entry: OfferEntry) -> None:
    writes.run(update(Offer).where(_offer.id == row.id).values(**_row(writes, entry)))


OFFERS = Noun(
    name="offer",
    scope="prices",
    model=OfferRequest,
    patch_model=patch_of(OfferRequest),
    fixed=("supplier", "number"),
    path=lambda row: f"/v1/offers/{row.id}",
    address=lambda row: (row.id,),
    find=_find,
    entry=_entry,
    check=_check,
    refuse=_refuse,
    refuse_standing=_refuse_standing,
    add=_add,
    change=_change,
    set_withdrawn=withdrawing(Offer),
    answer=lambda reads, row: offer_answer(row),
)
