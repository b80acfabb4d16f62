"""Routes by which further numbers and supersessions are changed."""

from api.interchange.item_number_routes import NUMBER_ID, OWNER_ID, number_paths
from api.interchange.number_shapes import KeptNumber, SupersessionAnswer
from api.interchange.stored_numbers import Owner
from api.interchange.supersession_routes import SUPERSESSION_ID
from api.upkeep.numbers import PART_NUMBERS, STARTER_NUMBERS
from api.upkeep.operations import Paths, write_routes
from api.upkeep.supersessions import SUPERSESSIONS


def _paths(owner: Owner) -> Paths:
    many, one = number_paths(owner)
    names = {"id": OWNER_ID[owner], "number_id": NUMBER_ID}
    return Paths(collection=many, item=one, names=names, told_as={"id": owner})


ROUTES = (
    *write_routes(
        PART_NUMBERS,
        KeptNumber,
        _paths("part"),
        {"scheme": "aftermarket", "issuer": "The Counter Guild", "written": "CG-9041"},
    ),
    *write_routes(
        STARTER_NUMBERS,
        KeptNumber,
        _paths("starter"),
        {"scheme": "original_equipment", "issuer": "Skarrowby Vehicles", "written": "SK 21 199 04"},
    ),
    *write_routes(
        SUPERSESSIONS,
        SupersessionAnswer,
        Paths(collection="/v1/supersessions", item="/v1/supersessions/{id}", names={"id": SUPERSESSION_ID}),
        {
            "maker": "ombrisk",
            "old_number": "OM 3335",
            "new_maker": "ombrisk",
            "new_number": "OM 3336",
            "on": "2026-11-25",
        },
    ),
)
