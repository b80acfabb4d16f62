"""Routes by which makers, sizes and wear parts are changed."""

from api.interchange.maker_routes import MAKER_CODE
from api.interchange.part_routes import PART_ID
from api.interchange.shapes import PartAnswer
from api.interchange.size_routes import SIZE_CODE
from api.upkeep.makers import MAKERS
from api.upkeep.operations import Paths, write_routes
from api.upkeep.parts import PARTS
from api.upkeep.sizes import SIZES
from api.wear_parts.shapes import MakerStanding, SizeAnswer

ROUTES = (
    *write_routes(
        MAKERS,
        MakerStanding,
        Paths(collection="/v1/makers", item="/v1/makers/{code}", names={"code": MAKER_CODE}),
        {"code": "fellwick", "name": "Fellwick Turned Parts"},
    ),
    *write_routes(
        SIZES,
        SizeAnswer,
        Paths(collection="/v1/sizes", item="/v1/sizes/{code}", names={"code": SIZE_CODE}),
        {
            "code": "bush-12.7x16x12",
            "kind": "bushing",
            "provenance": "measured",
            "dimensions": {
                "bore": "12.706..12.724 mm",
                "outside_diameter": "16.023..16.034 mm",
                "length": "11.890..12.110 mm",
                "flange_diameter": "n/a",
                "flange_thickness": "n/a",
                "construction": "porous",
            },
        },
    ),
    *write_routes(
        PARTS,
        PartAnswer,
        Paths(collection="/v1/parts", item="/v1/parts/{id}", names={"id": PART_ID}),
        {
            "maker": "ombrisk",
            "number": "OM 3990",
            "kind": "bushing",
            "size": "bush-12.5x16x12",
            "description": "Bush, plain, 12.5 x 16 x 12 mm",
            "material": "tin bronze, porous",
            "provenance": "catalogue",
        },
    ),
)
