"""HTTP of a family's interchange."""

from typing import Final

from api.database import Database
from api.interchange.fill_positions import fill_positions
from api.interchange.queries import FamilyInterchangeQuery
from api.interchange.shapes import FamilyInterchange
from api.offers.days import today
from api.starters.routes import FAMILY_CODE, require_current_family
from api.wire.operation import Link, Operation, operation

CAUTION: Final = (
    "Grades rest on catalogue figures. Disconnect the battery before the starter comes off, compare the new "
    "part with the old one and its seat before fitting; the maker's service manual comes first."
)


@operation(
    Operation(
        "GET",
        "/v1/families/{code}/interchange",
        "get_family_interchange",
        "families",
        "For each position every part that is listed for it or alike in size, graded, with its best offer",
        FamilyInterchange,
        query=FamilyInterchangeQuery,
        path_names={"code": FAMILY_CODE},
        links={"family": Link("get_family", {"code": "$response.body#/family"})},
    )
)
def get_family_interchange(code: str, query: FamilyInterchangeQuery, database: Database) -> FamilyInterchange:
    """Answer what fits each position of a family."""
    day = query.as_of or today()
    with database.read() as reads:
        positions = fill_positions(
            reads,
            require_current_family(reads, code),
            day,
            position=query.position,
            grade=query.grade,
            limit=query.limit,
        )
    return FamilyInterchange(family=code, as_of=day.isoformat(), caution=CAUTION, positions=positions)


ROUTES = (get_family_interchange,)
