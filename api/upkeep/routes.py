"""Every route by which the catalogue is changed."""

from api.offers.routes import OFFER_ID
from api.offers.shapes import OfferAnswer, SupplierAnswer
from api.upkeep import number_routes, wear_part_routes
from api.upkeep.family_routes import FAMILY_ROUTES
from api.upkeep.offers import OFFERS
from api.upkeep.operations import Paths, write_routes
from api.upkeep.suppliers import SUPPLIERS
from api.wire.operation import PathName

SUPPLIER_PATHS = Paths(
    collection="/v1/suppliers",
    item="/v1/suppliers/{code}",
    names={"code": PathName("code of a supplier", "ruddlefold")},
)

ROUTES = (
    *FAMILY_ROUTES,
    *write_routes(
        SUPPLIERS,
        SupplierAnswer,
        SUPPLIER_PATHS,
        {
            "code": "dunmarrow",
            "name": "Dunmarrow Stores",
            "place": "Dunmarrow",
            "currency": "USD",
            "shipping": "4.50",
            "free_shipping_from": "80.00",
        },
    ),
    *write_routes(
        OFFERS,
        OfferAnswer,
        Paths(collection="/v1/offers", item="/v1/offers/{id}", names={"id": OFFER_ID}),
        {
            "supplier": "ruddlefold",
            "number": "RF 90-1",
            "item": "part",
            "maker": "ombrisk",
            "item_number": "OM 3335",
            "condition": "new",
            "price": "2.15",
            "currency": "USD",
            "pack_size": 2,
            "minimum_quantity": 2,
            "core_deposit": "0.00",
            "warranty_months": 12,
            "lead_time_days": 2,
            "stock": 40,
            "valid_from": "2026-12-01",
            "valid_until": "2027-12-01",
        },
    ),
    *wear_part_routes.ROUTES,
    *number_routes.ROUTES,
)
