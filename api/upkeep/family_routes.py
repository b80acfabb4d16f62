"""The routes by which families, positions, starters and listings are changed."""

from typing import Any, Final

from api.starters.routes import FAMILY_CODE, LISTED_PART, POSITION_CODE, STARTER_ID
from api.starters.shapes import FamilyAnswer, ListingAnswer, PositionAnswer, StarterAnswer
from api.upkeep.families import FAMILIES
from api.upkeep.listings import LISTINGS
from api.upkeep.operations import Paths, write_routes
from api.upkeep.positions import POSITIONS
from api.upkeep.starters import STARTERS

_BUSHING: Final[dict[str, Any]] = {
    "code": "intermediate_bushing",
    "kind": "bushing",
    "quantity": 1,
    "seat": {
        "housing_bore": "18.000..18.018 mm",
        "housing_bore_form": "through",
        "shaft_diameter": "14.450..14.468 mm",
        "housing_material": "aluminium",
    },
}
_FAMILY: Final[dict[str, Any]] = {
    "code": "D12-90",
    "name": "Dunmarrow delivery van, 1.2 kW",
    "construction": "direct_drive",
    "voltage": 12,
    "rated_power_w": 1200,
    "rotation": "clockwise",
    "field": "wound",
    "pole_count": 4,
    "brush_count": 4,
    "internal_reduction": 1,
    "pinion": {"teeth": 9, "diametral_pitch": 10, "pressure_angle": 20, "profile_shift": 0.5},
    "pilot_diameter": "66.68 mm",
    "mounting_holes": 2,
    "access_class": "easy",
    "notes": "Sheet end cap.",
    "position": [{**_BUSHING, "code": "drive_end_bushing"}],
}

FAMILY_ROUTES = (
    *write_routes(
        FAMILIES,
        FamilyAnswer,
        Paths(collection="/v1/families", item="/v1/families/{code}", names={"code": FAMILY_CODE}),
        _FAMILY,
    ),
    *write_routes(
        POSITIONS,
        PositionAnswer,
        Paths(
            collection="/v1/families/{code}/positions",
            item="/v1/families/{code}/positions/{position}",
            names={"code": FAMILY_CODE, "position": POSITION_CODE},
            told_as={"code": "family"},
        ),
        _BUSHING,
    ),
    *write_routes(
        LISTINGS,
        ListingAnswer,
        Paths(
            collection="/v1/families/{code}/positions/{position}/listings",
            item="/v1/families/{code}/positions/{position}/listings/{part}",
            names={"code": FAMILY_CODE, "position": POSITION_CODE, "part": LISTED_PART},
            told_as={"code": "family"},
        ),
        {"maker": "ombrisk", "number": "OM 3289"},
    ),
    *write_routes(
        STARTERS,
        StarterAnswer,
        Paths(collection="/v1/starters", item="/v1/starters/{id}", names={"id": STARTER_ID}),
        {
            "maker": "thraxby",
            "number": "TX 9001",
            "family": "D12-01",
            "description": "Starter, 12 V, 1 kW, clockwise",
        },
    ),
)
