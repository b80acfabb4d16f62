"""HTTP of the cross-reference by number."""

from api.database import Database
from api.interchange import item_number_routes, supersession_routes
from api.interchange.find_number import find_number
from api.interchange.number_shapes import NumberFindings
from api.wire.operation import Operation, PathName, operation

NUMBER = PathName(
    "any number on a part or starter: a maker's, an original-equipment or aftermarket number, a GTIN; "
    "spaces, dashes and case do not matter",
    "OM3289",
    with_slashes=True,
)


@operation(
    Operation(
        "GET",
        "/v1/numbers/{number}",
        "get_number",
        "catalogue",
        "What goes by a number, what superseded it, and near misses where nothing goes by it",
        NumberFindings,
        path_names={"number": NUMBER},
    )
)
def get_number(number: str, database: Database) -> NumberFindings:
    """Answer what goes by a number."""
    with database.read() as reads:
        return find_number(reads, number)


ROUTES = (get_number, *item_number_routes.ROUTES, *supersession_routes.ROUTES)
