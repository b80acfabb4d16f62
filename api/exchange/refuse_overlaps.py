"""Refuse a load after which two offers of one price, loaded or stored, would hold on the same day."""

import attrs
from sqlalchemy import Connection, or_, select
from sqlmodel import SQLModel

from api.columns import columns
from api.errors import CommandRefused
from api.offers.entries import OfferEntry
from api.offers.find_overlaps import find_overlaps
from api.offers.tables import Offer, Supplier
from api.wear_parts.entries import ItemKey

_offer = columns(Offer)
_supplier = columns(Supplier)


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
    """Return the standing offers that begin or end within another of the same price, their items by id.

    The database leaves out the many that cannot clash; the rule decides on the rest.
    """
    table = SQLModel.metadata.tables["offer"].alias("other")
    other = table.c
    beside = select(other.id).where(
        other.supplier_id == _offer.supplier_id,
        or_(other.part_id == _offer.part_id, other.starter_id == _offer.starter_id),
        other.condition == _offer.condition,
        other.pack_size == _offer.pack_size,
        other.id != _offer.id,
        other.withdrawn_on.is_(None),
        or_(other.valid_until.is_(None), other.valid_until > _offer.valid_from),
        or_(_offer.valid_until.is_(None), _offer.valid_until > other.valid_from),
    )
    statement = (
        select(*_offer, _supplier.code.label("supplier_code"))
        .join(Supplier, _supplier.id == _offer.supplier_id)
        .where(_offer.withdrawn_on.is_(None), beside.correlate_except(table).exists())
    )
    return [
        OfferEntry(
            supplier=row.supplier_code,
            number=row.number,
            item=ItemKey("starter" if row.part_id is None else "part", "", row.part_id or row.starter_id),
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
        for row in connection.execute(statement)
    ]
