"""HTTP of families and starters: identify one without its tag, and see what it is made of."""

from typing import Any

from sqlalchemy import Row

from api.database import Database, ReadSession
from api.errors import InvalidInput, UnknownCode
from api.starters import store
from api.starters.present import (
    present_family,
    present_listing,
    present_position,
    present_positions,
    present_starter,
)
from api.starters.queries import FamilyQuery, StarterQuery
from api.starters.shapes import (
    FamilyAnswer,
    FamilySummary,
    ListingAnswer,
    PositionAnswer,
    StarterAnswer,
    StarterSummary,
    family_summary,
    starter_summary,
)
from api.starters.vocabulary import POSITION_KINDS
from api.wear_parts.keys import is_code, join_key, require_id, unknown_code
from api.wear_parts.numbers import comparison_forms
from api.wear_parts.store import maker_codes
from api.wire.operation import Link, Operation, PathName, operation
from api.wire.paging import ListQuery, page
from api.wire.shapes import Page

FAMILY_CODE = PathName("code of the family", "D12-01")
POSITION_CODE = PathName("code of the position", "drive_end_bushing")
LISTED_PART = PathName("id of the listed part", "01890a5d-ac96-774b-bcce-b302099a8057")
STARTER_ID = PathName("id of the starter, as lists give it", "01890a5d-ac96-774b-bcce-b302099a8057")
_OF_THIS_FAMILY = {"code": "$response.body#/code"}


def require_family(reads: ReadSession, code: str) -> Row[Any]:
    """Return the row of a family; raises `UnknownCode` with the nearest code."""
    family = store.find_family(reads, code) if is_code(code) else None
    if family is None:
        raise unknown_code("family", code, store.family_codes(reads))
    return family


def require_current_family(reads: ReadSession, code: str) -> Row[Any]:
    """Return the row of a family that is not withdrawn; raises `UnknownCode` with the nearest code."""
    family = require_family(reads, code)
    if family.withdrawn_on is not None:
        raise UnknownCode("family that is not withdrawn", code)
    return family


def require_position(reads: ReadSession, family: str, code: str) -> Row[Any]:
    """Return the row of a position, withdrawn or not; raises `UnknownCode` for the family or for it."""
    found = require_family(reads, family)
    row = store.find_position(reads, family, code) if code in POSITION_KINDS else None
    if row is None:
        raise unknown_code("position", code, [one.code for one in store.positions_of(reads, found.id)])
    return row


@operation(
    Operation(
        "GET",
        "/v1/families",
        "list_families",
        "families",
        "Starter families by what can be seen and measured, so that a starter without a tag is identified",
        Page[FamilySummary],
        query=FamilyQuery,
        links={"first_family": Link("get_family", {"code": "$response.body#/items/0/code"})},
    )
)
def list_families(query: FamilyQuery, database: Database) -> Page[FamilySummary]:
    """Answer the families that match every filter given."""
    lengths = query.lengths()
    with database.read() as reads:
        rows, total = store.list_families(reads, query, lengths)
    return page("/v1/families", query, rows, total, lambda row: str(row.code), family_summary)


@operation(
    Operation(
        "GET",
        "/v1/families/{code}",
        "get_family",
        "families",
        "One family with its positions and their seats",
        FamilyAnswer,
        path_names={"code": FAMILY_CODE},
        links={
            "positions": Link("list_positions", _OF_THIS_FAMILY),
            "interchange": Link("get_family_interchange", _OF_THIS_FAMILY),
            "starters": Link("list_starters", {"family": "$response.body#/code"}),
        },
    )
)
def get_family(code: str, database: Database) -> FamilyAnswer:
    """Answer one family."""
    with database.read() as reads:
        row = require_family(reads, code)
        return present_family(reads, row)


@operation(
    Operation(
        "GET",
        "/v1/families/{code}/positions",
        "list_positions",
        "families",
        "The positions of a family in the order in which they are stripped",
        Page[PositionAnswer],
        query=ListQuery,
        path_names={"code": FAMILY_CODE},
    )
)
def list_positions(code: str, query: ListQuery, database: Database) -> Page[PositionAnswer]:
    """Answer a family's positions; a cursor names the last one seen."""
    after = query.after(f"/v1/families/{code}/positions")
    with database.read() as reads:
        found = present_positions(reads, require_family(reads, code).id)
    total = len(found)
    seen = [position.code for position in found]
    start = seen.index(after) + 1 if after in seen else 0
    rest = found[start : start + query.limit + 1]
    return page(f"/v1/families/{code}/positions", query, rest, total, lambda one: one.code, lambda one: one)


@operation(
    Operation(
        "GET",
        "/v1/families/{code}/positions/{position}",
        "get_position",
        "families",
        "One position of a family with its seat, whether or not it is withdrawn",
        PositionAnswer,
        path_names={"code": FAMILY_CODE, "position": POSITION_CODE},
    )
)
def get_position(code: str, position: str, database: Database) -> PositionAnswer:
    """Answer one position."""
    with database.read() as reads:
        return present_position(reads, require_position(reads, code, position))


@operation(
    Operation(
        "GET",
        "/v1/families/{code}/positions/{position}/listings",
        "list_listings",
        "families",
        "The parts that their makers list for a position",
        Page[ListingAnswer],
        query=ListQuery,
        path_names={"code": FAMILY_CODE, "position": POSITION_CODE},
        links={"first_part": Link("get_part", {"id": "$response.body#/items/0/part/id"})},
    )
)
def list_listings(code: str, position: str, query: ListQuery, database: Database) -> Page[ListingAnswer]:
    """Answer the listings of a position, by maker code and number."""
    path = f"/v1/families/{code}/positions/{position}/listings"
    after = query.after(path)
    with database.read() as reads:
        place = require_position(reads, code, position)
        rows, total = store.list_listings(reads, place.id, after, query.limit + 1)
    return page(path, query, rows, total, lambda row: join_key(row.maker_code, row.number), present_listing)


@operation(
    Operation(
        "GET",
        "/v1/families/{code}/positions/{position}/listings/{part}",
        "get_listing",
        "families",
        "One part that is listed for a position, whether or not the listing is withdrawn",
        ListingAnswer,
        path_names={"code": FAMILY_CODE, "position": POSITION_CODE, "part": LISTED_PART},
        links={"part": Link("get_part", {"id": "$response.body#/part/id"})},
    )
)
def get_listing(code: str, position: str, part: str, database: Database) -> ListingAnswer:
    """Answer one listing."""
    with database.read() as reads:
        require_position(reads, code, position)
        row = store.find_listing(reads, code, position, require_id("listing", part))
    if row is None:
        raise UnknownCode("listing", part)
    return present_listing(row)


@operation(
    Operation(
        "GET",
        "/v1/starters",
        "list_starters",
        "catalogue",
        "Catalogued units by family, maker or number",
        Page[StarterSummary],
        query=StarterQuery,
        problems=(UnknownCode,),
        links={"first_starter": Link("get_starter", {"id": "$response.body#/items/0/id"})},
    )
)
def list_starters(query: StarterQuery, database: Database) -> Page[StarterSummary]:
    """Answer the starters that match every filter given."""
    after = query.after("/v1/starters")
    with database.read() as reads:
        if query.family is not None:
            require_family(reads, query.family)
        if query.maker is not None and query.maker not in (known := maker_codes(reads)):
            raise unknown_code("maker", query.maker, known)
        rows, total = store.list_starters(
            reads,
            family=query.family,
            maker=query.maker,
            forms=number_forms(query.number),
            after=after,
            limit=query.limit + 1,
        )
    return page(
        "/v1/starters",
        query,
        rows,
        total,
        lambda row: join_key(row.maker_code, row.number),
        starter_summary,
    )


def number_forms(number: str | None) -> tuple[str, ...] | None:
    """Return the forms to look a `number` parameter up by; raises `InvalidInput` naming the parameter."""
    if number is None:
        return None
    try:
        return comparison_forms(number)
    except InvalidInput as refused:
        raise InvalidInput.of(fault.beneath("number") for fault in refused.faults) from None


@operation(
    Operation(
        "GET",
        "/v1/starters/{id}",
        "get_starter",
        "catalogue",
        "One catalogued unit with its numbers and what superseded it",
        StarterAnswer,
        path_names={"id": STARTER_ID},
        links={
            "family": Link("get_family", {"code": "$response.body#/family"}),
            "offers": Link("list_offers", {"starter": "$response.body#/id"}),
        },
    )
)
def get_starter(id: str, database: Database) -> StarterAnswer:
    """Answer one starter."""
    starter_id = require_id("starter", id)
    with database.read() as reads:
        row = store.starters_by_id(reads, [starter_id]).get(starter_id)
        if row is None:
            raise UnknownCode("starter", id)
        return present_starter(reads, row)


ROUTES = (
    list_families,
    get_family,
    list_positions,
    get_position,
    list_listings,
    get_listing,
    list_starters,
    get_starter,
)
