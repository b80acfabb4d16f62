"""Tables of suppliers and their offers."""

from sqlalchemy import UniqueConstraint
from sqlmodel import SQLModel

from api.columns import STRICT, check, day, one_of, reference, text, whole

CONDITIONS = ("new", "remanufactured", "used")


class Supplier(SQLModel, table=True):
    """Who sells, and what it charges to ship an order (minor units of its currency)."""

    __tablename__ = "supplier"
    __table_args__ = (
        check("currency_is_code", "length(currency) = 3"),
        check("shipping_not_negative", "shipping_minor >= 0 AND free_shipping_from_minor >= 0"),
        day("withdrawn_on"),
        STRICT,
    )

    id: str = text(key=True)
    code: str = text(unique=True)
    name: str = text()
    place: str = text()
    currency: str = text()
    shipping_minor: int = whole()
    free_shipping_from_minor: int | None = whole(optional=True)
    withdrawn_on: str | None = text(optional=True)


class Offer(SQLModel, table=True):
    """A price for a pack of a part, or for a starter; valid from a day to the day before another."""

    __tablename__ = "offer"
    __table_args__ = (
        UniqueConstraint("supplier_id", "number"),
        one_of("condition", CONDITIONS),
        check("for_one_thing", "(part_id IS NULL) <> (starter_id IS NULL)"),
        check("price_positive", "price_minor > 0 AND core_deposit_minor >= 0"),
        check("pack_plausible", "pack_size BETWEEN 1 AND 10000 AND minimum_quantity BETWEEN 1 AND 100000"),
        check("terms_plausible", "warranty_months BETWEEN 0 AND 240 AND lead_time_days BETWEEN 0 AND 730"),
        check("stock_not_negative", "stock >= 0"),
        check("validity_ordered", "valid_until > valid_from"),
        day("valid_from"),
        day("valid_until"),
        day("withdrawn_on"),
        STRICT,
    )

    id: str = text(key=True)
    supplier_id: str = reference("supplier.id", index=False)
    number: str = text()
    part_id: str | None = reference("part.id", optional=True)
    starter_id: str | None = reference("starter.id", optional=True)
    condition: str = text()
    price_minor: int = whole()
    currency: str = text()
    pack_size: int = whole()
    minimum_quantity: int = whole()
    core_deposit_minor: int = whole()
    warranty_months: int = whole()
    lead_time_days: int = whole()
    stock: int | None = whole(optional=True)
    valid_from: str = text()
    valid_until: str | None = text(optional=True)
    withdrawn_on: str | None = text(optional=True)
