"""What a supplier and an offer must be. Pure."""

from collections.abc import Collection, Mapping

from api.money.amounts import AmountRefused, parse_amount
from api.money.currencies import Currency, UnknownCurrency, find_currency
from api.offers.entries import OfferEntry, SupplierEntry
from api.wear_parts.entries import ItemKey
from api.wear_parts.entry_fields import EntryFields
from api.wear_parts.vocabulary import OWNERS

CONDITIONS = ("new", "remanufactured", "used")
SUPPLIER_FIELDS = ("code", "name", "place", "currency", "shipping", "free_shipping_from")
OFFER_FIELDS = (
    "supplier",
    "number",
    "item",
    "maker",
    "item_number",
    "condition",
    "price",
    "currency",
    "pack_size",
    "minimum_quantity",
    "core_deposit",
    "warranty_months",
    "lead_time_days",
    "stock",
    "valid_from",
    "valid_until",
)
MOST_IN_STOCK = 10_000_000


def check_supplier(entry: Mapping[str, object]) -> SupplierEntry:
    """Return the supplier that an entry states, or raise `InvalidInput` with all faults.

    `free_shipping_from` that is not given means never free.
    """
    fields = EntryFields(entry, SUPPLIER_FIELDS)
    currency = read_currency(fields, "currency")
    free_from = None
    if fields.given("free_shipping_from") is not None:
        free_from = read_amount(fields, "free_shipping_from", currency)
    supplier = SupplierEntry(
        code=fields.code("code"),
        name=fields.text("name"),
        place=fields.text("place"),
        currency=currency.code if currency else "",
        shipping_minor=read_amount(fields, "shipping", currency),
        free_shipping_from_minor=free_from,
    )
    fields.settle()
    return supplier


def check_offer(
    entry: Mapping[str, object], currency_of_supplier: Mapping[str, str], items: Collection[ItemKey]
) -> OfferEntry:
    """Return the offer that an entry states, of a known supplier for one of the known `items`.

    The price is above zero and in the supplier's currency, in which shipping is charged too; a pack of
    starters holds one. Not given: a pack and a minimum of one, no core deposit, stock not stated, valid
    until further notice. Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, OFFER_FIELDS)
    supplier = fields.known("supplier", currency_of_supplier, "supplier")
    currency = read_currency(fields, "currency")
    billed = currency_of_supplier.get(supplier)
    if currency is not None and billed is not None and currency.code != billed:
        fields.refuse("currency", currency.code, f"{billed}, the supplier's currency", "other_currency")
    deposit = 0
    if fields.given("core_deposit") is not None:
        deposit = read_amount(fields, "core_deposit", currency)
    item = _item(fields, items)
    offer = OfferEntry(
        supplier=supplier,
        number=fields.text("number"),
        item=item,
        condition=fields.one_of("condition", CONDITIONS),
        price_minor=read_amount(fields, "price", currency, above_zero=True),
        currency=currency.code if currency else "",
        pack_size=fields.whole("pack_size", 1, 10_000, default=1),
        minimum_quantity=fields.whole("minimum_quantity", 1, 100_000, default=1),
        core_deposit_minor=deposit,
        warranty_months=fields.whole("warranty_months", 0, 240),
        lead_time_days=fields.whole("lead_time_days", 0, 730),
        stock=fields.optional_whole("stock", 0, MOST_IN_STOCK),
        valid_from=fields.day("valid_from"),
        valid_until=fields.optional_day("valid_until"),
    )
    if item.owner == "starter" and offer.pack_size > 1:
        fields.refuse("pack_size", offer.pack_size, "1: starters are sold one by one", "starters_in_pack")
    if offer.valid_until is not None and offer.valid_from and offer.valid_until <= offer.valid_from:
        expected = f"a day after valid_from, {offer.valid_from}"
        fields.refuse("valid_until", offer.valid_until, expected, "validity_reversed")
    fields.settle()
    return offer


def read_currency(fields: EntryFields, name: str) -> Currency | None:
    """Return a required currency, or None after noting the fault."""
    code = fields.text(name)
    if not code:
        return None
    try:
        return find_currency(code)
    except UnknownCurrency as refused:
        fields.take((refused.fault(),), name)
        return None


def read_amount(
    fields: EntryFields, name: str, currency: Currency | None, *, above_zero: bool = False
) -> int:
    """Return a required amount in minor units, 0 after noting a fault or where the currency is unknown."""
    written = fields.text(name)
    if not written or currency is None:
        return 0
    try:
        minor = parse_amount(written, currency).minor
    except AmountRefused as refused:
        fields.take((refused.fault(),), name)
        return 0
    if above_zero and minor == 0:
        fields.refuse(name, written, "an amount above zero", "not_positive")
    return minor


def _item(fields: EntryFields, items: Collection[ItemKey]) -> ItemKey:
    owner = fields.one_of("item", OWNERS)
    item = ItemKey(owner, fields.text("maker"), fields.text("item_number"))
    if owner in OWNERS and item.maker and item.number and item not in items:
        expected = f"the number of a known {owner} of {item.maker}"
        fields.refuse("item_number", item.number, expected, f"unknown_{owner}")
    return item
