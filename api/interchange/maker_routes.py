"""HTTP of makers."""

from sqlalchemy import Row

from api.database import Database, ReadSession
from api.wear_parts.keys import is_code, unknown_code
from api.wear_parts.shapes import MakerStanding, maker_answer
from api.wear_parts.store import find_maker, list_makers, maker_codes
from api.wire.operation import Link, Operation, PathName, operation
from api.wire.paging import ListQuery, page
from api.wire.shapes import Page

MAKER_CODE = PathName("code of a maker", "ombrisk")


def require_maker(reads: ReadSession, code: str) -> Row[tuple[object, ...]]:
    """Return the row of a maker; raises `UnknownCode` with the nearest code."""
    maker = find_maker(reads, code) if is_code(code) else None
    if maker is None:
        raise unknown_code("maker", code, maker_codes(reads))
    return maker


@operation(
    Operation(
        "GET",
        "/v1/makers",
        "list_makers",
        "catalogue",
        "Who makes parts and starters",
        Page[MakerStanding],
        query=ListQuery,
        links={
            "first_maker": Link("get_maker", {"code": "$response.body#/items/0/code"}),
            "parts": Link("list_parts", {"maker": "$response.body#/items/0/code"}),
        },
    )
)
def get_makers(query: ListQuery, database: Database) -> Page[MakerStanding]:
    """Answer the makers that are not withdrawn."""
    after = query.after("/v1/makers")
    with database.read() as reads:
        rows, total = list_makers(reads, after, query.limit + 1)
    return page("/v1/makers", query, rows, total, lambda row: str(row.code), maker_answer)


@operation(
    Operation(
        "GET",
        "/v1/makers/{code}",
        "get_maker",
        "catalogue",
        "One maker, withdrawn or not",
        MakerStanding,
        path_names={"code": MAKER_CODE},
        links={"parts": Link("list_parts", {"maker": "$response.body#/code"})},
    )
)
def get_maker(code: str, database: Database) -> MakerStanding:
    """Answer one maker."""
    with database.read() as reads:
        return maker_answer(require_maker(reads, code))


ROUTES = (get_makers, get_maker)
