"""Wire shapes of suppliers and their offers."""

from typing import Annotated, Any, Literal, cast

from msgspec import Meta
from msgspec.structs import replace
from sqlalchemy import Row

from api.money.amounts import Money, format_amount
from api.money.currencies import find_currency
from api.offers.choose_offer import Choice
from api.wear_parts.shapes import Day, Id, Owner
from api.wire.shapes import Answer, MoneyAnswer

Condition = Literal["new", "remanufactured", "used"]


class SupplierAnswer(Answer, frozen=True, kw_only=True):
    """Who sells, and what it charges to ship one order."""

    code: str
    name: str
    place: str
    currency: str
    shipping: MoneyAnswer
    free_shipping_from: Annotated[MoneyAnswer, Meta(description="goods without tax")] | None
    withdrawn_on: Day | None


class ItemReference(Answer, frozen=True, kw_only=True):
    """Which part or starter is meant."""

    owner: Owner
    id: Id
    maker: Annotated[str, Meta(description="name of its maker")]
    number: str
    description: str

    def alone(self) -> "ItemReference":
        """Return which one it is without what is told of it."""
        return replace(self, maker="", number="", description="")


class OfferAnswer(Answer, frozen=True, kw_only=True):
    """A supplier's price for one pack of a part, or for one starter."""

    id: Id
    supplier: Annotated[str, Meta(description="code of the supplier")]
    number: Annotated[str, Meta(description="the supplier's own number of the offer")]
    item: ItemReference
    condition: Condition
    price: Annotated[MoneyAnswer, Meta(description="of a whole pack, without the core deposit")]
    pack_size: Annotated[int, Meta(ge=1, description="pieces in a pack")]
    minimum_quantity: int
    core_deposit: Annotated[MoneyAnswer, Meta(description="comes back with the old unit")]
    warranty_months: int
    lead_time_days: int
    stock: Annotated[int, Meta(description="pieces")] | None
    valid_from: Day
    valid_until: Annotated[Day, Meta(description="first day on which it no longer holds")] | None
    withdrawn_on: Day | None

    def own_state(self) -> "OfferAnswer":
        """Return it with no more of its item than which one it is."""
        return replace(self, item=self.item.alone())


class CurrentOffer(Answer, frozen=True, kw_only=True):
    """The cheapest offer on a day for a quantity of a part, shipping left out: whole packs."""

    supplier: str
    number: str
    condition: Condition
    price: Annotated[MoneyAnswer, Meta(description="of one pack")]
    pack_size: int
    minimum_quantity: int
    packs: Annotated[int, Meta(ge=1, description="packs that the quantity takes")]
    goods: Annotated[MoneyAnswer, Meta(description="price of those packs")]
    lead_time_days: int
    stock: int | None
    valid_until: Day | None


def money_answer(money: Money) -> MoneyAnswer:
    """Give an amount its wire shape."""
    return MoneyAnswer(amount=format_amount(money), currency=money.currency.code)


def stored_money(minor: int, currency: str) -> MoneyAnswer:
    """Give stored minor units of a currency their wire shape."""
    return money_answer(Money(minor, find_currency(currency)))


def supplier_answer(row: Row[Any]) -> SupplierAnswer:
    """Give a supplier's row its wire shape."""
    free_from = row.free_shipping_from_minor
    return SupplierAnswer(
        code=row.code,
        name=row.name,
        place=row.place,
        currency=row.currency,
        shipping=stored_money(row.shipping_minor, row.currency),
        free_shipping_from=None if free_from is None else stored_money(free_from, row.currency),
        withdrawn_on=row.withdrawn_on,
    )


def offer_answer(row: Row[Any]) -> OfferAnswer:
    """Give an offer's row (with its item's columns, prefixed `item_`) its wire shape."""
    return OfferAnswer(
        id=row.id,
        supplier=row.supplier_code,
        number=row.number,
        item=ItemReference(
            owner="part" if row.part_id is not None else "starter",
            id=row.part_id or row.starter_id,
            maker=row.item_maker,
            number=row.item_number,
            description=row.item_description,
        ),
        condition=row.condition,
        price=stored_money(row.price_minor, row.currency),
        pack_size=row.pack_size,
        minimum_quantity=row.minimum_quantity,
        core_deposit=stored_money(row.core_deposit_minor, row.currency),
        warranty_months=row.warranty_months,
        lead_time_days=row.lead_time_days,
        stock=row.stock,
        valid_from=row.valid_from,
        valid_until=row.valid_until,
        withdrawn_on=row.withdrawn_on,
    )


def current_offer(choice: Choice | None) -> CurrentOffer | None:
    """Give the offer chosen for a quantity its wire shape."""
    if choice is None:
        return None
    offer, cost = choice.offer, choice.cost
    return CurrentOffer(
        supplier=offer.supplier_code,
        number=offer.offer_id,
        condition=cast(Condition, offer.condition),
        price=money_answer(offer.price),
        pack_size=offer.pack_size,
        minimum_quantity=offer.minimum_quantity,
        packs=cost.packs,
        goods=money_answer(cost.goods),
        lead_time_days=offer.lead_time_days,
        stock=offer.stock,
        valid_until=None if offer.valid_until is None else offer.valid_until.isoformat(),
    )
