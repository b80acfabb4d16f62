"""Refuse a load after which two offers of one price, loaded or stored, would hold on the same day."""

from typing import Any, Final

import attrs
from sqlalchemy import ColumnElement, Connection, Select, func, select

from api.columns import columns
from api.errors import CommandRefused
from api.offers.entries import OfferEntry
from api.offers.find_overlaps import find_overlaps
from api.offers.store import kept_entry
from api.offers.tables import Offer, Supplier
from api.wear_parts.entries import ItemKey

_offer = columns(Offer)
_supplier = columns(Supplier)

_OPEN: Final = "9999-12-32"
"""Compares behind every calendar day."""
_ONE_PRICE: Final = (
    _offer.supplier_id,
    _offer.part_id,
    _offer.starter_id,
    _offer.condition,
    _offer.pack_size,
)


@attrs.frozen
class OffersOverlap(CommandRefused):
    """Two offers of one supplier for the same item, condition and pack size that hold on the same day."""

    supplier: str
    later: str
    earlier: str
    held_until: str | None

    def explain(self) -> str:
        """Name both and when the second begins too early."""
        until = f"until {self.held_until}" if self.held_until else "without an end"
        return (
            f"The offer {self.later} of {self.supplier} begins while its offer {self.earlier} for the same "
            f"item, condition and pack size still holds ({until}); one at most may hold on a day, so "
            "withdraw or end it."
        )


def refuse_overlaps(connection: Connection) -> None:
    """Raise `OffersOverlap` where two offers that stand clash."""
    for later, earlier in find_overlaps(_suspects(connection)):
        raise OffersOverlap(later.supplier, later.number, earlier.number, earlier.valid_until)


def _suspects(connection: Connection) -> list[OfferEntry]:
    """Return all standing offers of the one price that clashes first, if one does, their items by id.

    The database sorts once and compares each offer with the longest of its price before it, so that a
    million offers take seconds; the rule then tells which two clash.
    """
    begins = _offer.valid_from
    before = func.max(func.coalesce(_offer.valid_until, _OPEN)).over(
        partition_by=_ONE_PRICE, order_by=(begins, _offer.number), rows=(None, -1)
    )
    of_one_price = (
        select(*_ONE_PRICE, begins, before.label("held_until"))
        .where(_offer.withdrawn_on.is_(None))
        .subquery()
    )
    clashing = of_one_price.c
    clash = connection.execute(
        select(*clashing).where(clashing.valid_from < clashing.held_until).limit(1)
    ).first()
    if clash is None:
        return []
    same: list[ColumnElement[bool]] = [
        column.is_not_distinct_from(getattr(clash, column.name)) for column in _ONE_PRICE
    ]
    statement: Select[Any] = (
        select(*_offer, _supplier.code.label("supplier_code"))
        .join(Supplier, _supplier.id == _offer.supplier_id)
        .where(_offer.withdrawn_on.is_(None), *same)
    )
    return [
        kept_entry(
            row,
            row.supplier_code,
            ItemKey("starter" if row.part_id is None else "part", "", row.part_id or row.starter_id),
        )
        for row in connection.execute(statement)
    ]
