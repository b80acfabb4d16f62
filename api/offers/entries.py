"""What a catalogue states of suppliers and offers: plain frozen values, money in minor units."""

import attrs

from api.wear_parts.entries import ItemKey


@attrs.frozen(kw_only=True)
class SupplierEntry:
    """Who sells, and what shipping one order costs; free from an amount of goods, or never (None)."""

    code: str
    name: str
    place: str
    currency: str
    shipping_minor: int
    free_shipping_from_minor: int | None


@attrs.frozen(kw_only=True)
class OfferEntry:
    """A price for one pack of a part or for a starter, valid from a day to the day before another."""

    supplier: str
    number: str
    item: ItemKey
    condition: str
    price_minor: int
    currency: str
    pack_size: int
    minimum_quantity: int
    core_deposit_minor: int
    warranty_months: int
    lead_time_days: int
    stock: int | None
    valid_from: str
    valid_until: str | None
