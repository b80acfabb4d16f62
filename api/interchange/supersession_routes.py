"""HTTP of supersessions: which maker's number was replaced by which, and when."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Row

from api.database import Database, ReadSession
from api.errors import UnknownCode
from api.interchange import stored_numbers
from api.interchange.number_shapes import SupersessionAnswer, supersession_answer
from api.wear_parts.keys import require_id
from api.wire.operation import Link, Operation, PathName, operation
from api.wire.paging import ListQuery, page
from api.wire.shapes import Page

SUPERSESSION_ID = PathName(
    "id of the superseded number, as lists give it", "01890a5d-ac96-774b-bcce-b302099a8057"
)


def present_supersessions(reads: ReadSession, rows: Sequence[Row[Any]]) -> list[SupersessionAnswer]:
    """Return the answers of supersessions' rows."""
    ends = ("old", "new")
    parts = {item for row in rows for end in ends if (item := row._mapping[f"{end}_part"])}
    starters = {item for row in rows for end in ends if (item := row._mapping[f"{end}_starter"])}
    items = stored_numbers.item_references(reads, parts, starters)
    return [supersession_answer(row, items) for row in rows]


@operation(
    Operation(
        "GET",
        "/v1/supersessions",
        "list_supersessions",
        "catalogue",
        "Makers' numbers that were replaced by others, withdrawn entries too",
        Page[SupersessionAnswer],
        query=ListQuery,
        links={"first_supersession": Link("get_supersession", {"id": "$response.body#/items/0/id"})},
    )
)
def list_supersessions(query: ListQuery, database: Database) -> Page[SupersessionAnswer]:
    """Answer the supersessions in order of their id."""
    after = query.after("/v1/supersessions")
    with database.read() as reads:
        rows, total = stored_numbers.list_supersessions(reads, after, query.limit + 1)
        found = present_supersessions(reads, rows)
    return page("/v1/supersessions", query, found, total, lambda one: one.id, lambda one: one)


@operation(
    Operation(
        "GET",
        "/v1/supersessions/{id}",
        "get_supersession",
        "catalogue",
        "The supersession of one number, whether or not it is withdrawn",
        SupersessionAnswer,
        path_names={"id": SUPERSESSION_ID},
    )
)
def get_supersession(id: str, database: Database) -> SupersessionAnswer:
    """Answer one supersession."""
    with database.read() as reads:
        row = stored_numbers.find_supersession(reads, require_id("supersession", id))
        if row is None:
            raise UnknownCode("supersession", id)
        return present_supersessions(reads, [row])[0]


ROUTES = (list_supersessions, get_supersession)
