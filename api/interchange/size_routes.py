"""HTTP of sizes: the distinct sets of dimensions that parts of a kind come in."""

from api.database import Database
from api.errors import UnknownCode
from api.interchange.answer_size import size_answer
from api.interchange.queries import SizeQuery
from api.wear_parts.keys import is_code, unknown_code
from api.wear_parts.shapes import SizeAnswer, SizeSummary, size_summary
from api.wear_parts.store import find_size, kind_codes, list_sizes, size_codes
from api.wire.operation import Link, Operation, PathName, operation
from api.wire.paging import page
from api.wire.shapes import Page

SIZE_CODE = PathName("code of a size", "bush-12.5x16x12")


@operation(
    Operation(
        "GET",
        "/v1/sizes",
        "list_sizes",
        "catalogue",
        "Sizes, of one kind or of all: each a distinct set of dimensions that several makers may share",
        Page[SizeSummary],
        query=SizeQuery,
        problems=(UnknownCode,),
        links={
            "first_size": Link("get_size", {"code": "$response.body#/items/0/code"}),
            "parts": Link("list_parts", {"size": "$response.body#/items/0/code"}),
        },
    )
)
def get_sizes(query: SizeQuery, database: Database) -> Page[SizeSummary]:
    """Answer the sizes that are not withdrawn."""
    after = query.after("/v1/sizes")
    with database.read() as reads:
        if query.kind is not None and query.kind not in (known := kind_codes(reads)):
            raise unknown_code("kind", query.kind, known)
        rows, total = list_sizes(reads, query.kind, after, query.limit + 1)
    return page("/v1/sizes", query, rows, total, lambda row: str(row.code), size_summary)


@operation(
    Operation(
        "GET",
        "/v1/sizes/{code}",
        "get_size",
        "catalogue",
        "One size with what it says of each dimension, withdrawn or not",
        SizeAnswer,
        path_names={"code": SIZE_CODE},
        links={"parts": Link("list_parts", {"size": "$response.body#/code"})},
    )
)
def get_size(code: str, database: Database) -> SizeAnswer:
    """Answer one size."""
    with database.read() as reads:
        row = find_size(reads, code) if is_code(code) else None
        if row is None:
            raise unknown_code("size", code, size_codes(reads))
        return size_answer(reads, row)


ROUTES = (get_sizes, get_size)
