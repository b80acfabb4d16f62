"""HTTP of the numbers that a part or a starter goes by."""

from typing import Any

from api.database import Database, ReadSession
from api.errors import UnknownCode
from api.interchange import stored_numbers
from api.interchange.number_shapes import KeptNumber, kept_number
from api.interchange.stored_numbers import Owner
from api.wear_parts.keys import require_id
from api.wire.operation import Operation, PathName, operation
from api.wire.paging import ListQuery, page
from api.wire.shapes import Page

_EXAMPLE = "01890a5d-ac96-774b-bcce-b302099a8057"
NUMBER_ID = PathName("id of the number, as lists give it", _EXAMPLE)
OWNER_ID = {
    "part": PathName("id of the part, as lists give it", _EXAMPLE),
    "starter": PathName("id of the starter, as lists give it", _EXAMPLE),
}


def number_paths(owner: Owner) -> tuple[str, str]:
    """Return the paths of the numbers of a part or a starter, and of one of them."""
    return f"/v1/{owner}s/{{id}}/numbers", f"/v1/{owner}s/{{id}}/numbers/{{number_id}}"


def require_owner(reads: ReadSession, owner: Owner, given: str) -> Any:
    """Return the row of the part or starter of an id; raises `UnknownCode`."""
    row = stored_numbers.find_owner(reads, owner, require_id(owner, given))
    if row is None:
        raise UnknownCode(owner, given)
    return row


def _routes(owner: Owner) -> tuple[Any, Any]:
    many, one = number_paths(owner)

    @operation(
        Operation(
            "GET",
            many,
            f"list_{owner}_numbers",
            "catalogue",
            f"Every number that a {owner} goes by: the maker's own and the further ones, withdrawn ones too",
            Page[KeptNumber],
            query=ListQuery,
            path_names={"id": OWNER_ID[owner]},
        )
    )
    def list_numbers(id: str, query: ListQuery, database: Database) -> Page[KeptNumber]:
        """Answer the numbers of a part or a starter in the order in which they came."""
        path = many.format(id=id)
        after = query.after(path)
        with database.read() as reads:
            item = require_owner(reads, owner, id)
            rows, total = stored_numbers.list_item_numbers(reads, owner, item.id, after, query.limit + 1)
        return page(path, query, rows, total, lambda row: str(row.id), kept_number)

    @operation(
        Operation(
            "GET",
            one,
            f"get_{owner}_number",
            "catalogue",
            f"One number of a {owner}, whether or not it is withdrawn",
            KeptNumber,
            path_names={"id": OWNER_ID[owner], "number_id": NUMBER_ID},
        )
    )
    def get_number(id: str, number_id: str, database: Database) -> KeptNumber:
        """Answer one number of a part or a starter."""
        with database.read() as reads:
            item = require_owner(reads, owner, id)
            row = stored_numbers.find_item_number(reads, owner, item.id, require_id("number", number_id))
        if row is None:
            raise UnknownCode("number", number_id)
        return kept_number(row)

    return list_numbers, get_number


ROUTES = (*_routes("part"), *_routes("starter"))
