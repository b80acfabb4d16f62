"""HTTP of suppliers and offers."""

from typing import Annotated

from pydantic import Field

from api.database import Database, ReadSession
from api.errors import UnknownCode
from api.offers import store
from api.offers.days import AsOf, today
from api.offers.shapes import Condition, OfferAnswer, SupplierAnswer, offer_answer, supplier_answer
from api.wear_parts.keys import join_key, require_id, unknown_code
from api.wire.operation import Link, Operation, PathName, operation
from api.wire.paging import ListQuery, page
from api.wire.shapes import Page

SUPPLIER_CODE = PathName("code of a supplier", "ruddlefold")
OFFER_ID = PathName("id of the offer, as lists give it", "01890a5d-ac96-774b-bcce-b302099a8057")
ItemId = Annotated[str, Field(min_length=1, max_length=36)]


class OfferQuery(AsOf, ListQuery):
    """Which offers."""

    supplier: Annotated[str | None, Field(min_length=1, max_length=64, description="code of a supplier")] = (
        None
    )
    part: Annotated[ItemId | None, Field(description="id of a part")] = None
    starter: Annotated[ItemId | None, Field(description="id of a starter")] = None
    condition: Annotated[Condition | None, Field(description="condition of what is sold")] = None


@operation(
    Operation(
        "GET",
        "/v1/suppliers",
        "list_suppliers",
        "offers",
        "Suppliers that are not withdrawn, and what they charge to ship an order",
        Page[SupplierAnswer],
        query=ListQuery,
        links={"offers": Link("list_offers", {"supplier": "$response.body#/items/0/code"})},
    )
)
def list_suppliers(query: ListQuery, database: Database) -> Page[SupplierAnswer]:
    """Answer the suppliers."""
    after = query.after("/v1/suppliers")
    with database.read() as reads:
        rows, total = store.list_suppliers(reads, after, query.limit + 1)
    return page("/v1/suppliers", query, rows, total, lambda row: str(row.code), supplier_answer)


@operation(
    Operation(
        "GET",
        "/v1/suppliers/{code}",
        "get_supplier",
        "offers",
        "One supplier, withdrawn or not",
        SupplierAnswer,
        path_names={"code": SUPPLIER_CODE},
        links={"offers": Link("list_offers", {"supplier": "$response.body#/code"})},
    )
)
def get_supplier(code: str, database: Database) -> SupplierAnswer:
    """Answer one supplier."""
    with database.read() as reads:
        row = store.find_supplier(reads, code)
        if row is None:
            raise unknown_code("supplier", code, store.supplier_codes(reads))
    return supplier_answer(row)


@operation(
    Operation(
        "GET",
        "/v1/offers",
        "list_offers",
        "offers",
        "Offers that hold on a day: from `valid_from` to the day before `valid_until`",
        Page[OfferAnswer],
        query=OfferQuery,
        problems=(UnknownCode,),
        links={"first_offer": Link("get_offer", {"id": "$response.body#/items/0/id"})},
    )
)
def list_offers(query: OfferQuery, database: Database) -> Page[OfferAnswer]:
    """Answer the offers that hold on the day and match every filter given."""
    after = query.after("/v1/offers")
    with database.read() as reads:
        part_id, starter_id = _known_item(reads, query)
        if query.supplier is not None and query.supplier not in (known := store.supplier_codes(reads)):
            raise unknown_code("supplier", query.supplier, known)
        rows, total = store.list_offers(
            reads,
            query.as_of or today(),
            supplier=query.supplier,
            part_id=part_id,
            starter_id=starter_id,
            condition=query.condition,
            after=after,
            limit=query.limit + 1,
        )
    return page(
        "/v1/offers", query, rows, total, lambda row: join_key(row.supplier_code, row.number), offer_answer
    )


@operation(
    Operation(
        "GET",
        "/v1/offers/{id}",
        "get_offer",
        "offers",
        "One offer, whether or not it holds today or is withdrawn",
        OfferAnswer,
        path_names={"id": OFFER_ID},
        links={"supplier": Link("get_supplier", {"code": "$response.body#/supplier"})},
    )
)
def get_offer(id: str, database: Database) -> OfferAnswer:
    """Answer one offer."""
    with database.read() as reads:
        row = store.find_offer(reads, require_id("offer", id))
    if row is None:
        raise UnknownCode("offer", id)
    return offer_answer(row)


def _known_item(reads: ReadSession, query: OfferQuery) -> tuple[str | None, str | None]:
    part_id = None if query.part is None else require_id("part", query.part)
    starter_id = None if query.starter is None else require_id("starter", query.starter)
    if part_id is not None and not store.item_exists(reads, part_id=part_id):
        raise UnknownCode("part", part_id)
    if starter_id is not None and not store.item_exists(reads, starter_id=starter_id):
        raise UnknownCode("starter", starter_id)
    return part_id, starter_id


ROUTES = (list_suppliers, get_supplier, list_offers, get_offer)
