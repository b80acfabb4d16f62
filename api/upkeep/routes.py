"""Every route by which the catalogue is changed."""

from api.offers.shapes import SupplierAnswer
from api.upkeep.operations import Paths, write_routes
from api.upkeep.suppliers import SUPPLIERS
from api.wire.operation import PathName

SUPPLIER_PATHS = Paths(
    collection="/v1/suppliers",
    item="/v1/suppliers/{code}",
    names={"code": PathName("code of a supplier", "ruddlefold")},
)

ROUTES = (
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
)
