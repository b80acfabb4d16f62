"""HTTP of wear parts: find them, see one, where it is used, and what stands in for it."""

from typing import Any

from sqlalchemy import Row

from api.database import Database, ReadSession
from api.errors import UnknownCode
from api.interchange import store
from api.interchange.answer_part import find_part, part_answer
from api.interchange.family_routes import CAUTION
from api.interchange.queries import PartInterchangeQuery, PartQuery
from api.interchange.shapes import FamilyUse, PartAnswer, PartInterchange, PositionUse
from api.interchange.stand_ins import find_stand_ins
from api.offers.days import AsOf, today
from api.starters.routes import number_forms, require_family
from api.wear_parts.keys import join_key, unknown_code
from api.wear_parts.shapes import PartSummary, part_reference, part_summary
from api.wear_parts.store import kind_codes, maker_codes, size_codes
from api.wire.operation import Link, Operation, PathName, operation
from api.wire.paging import ListQuery, page
from api.wire.shapes import Page

PART_ID = PathName("id of the part, as lists give it", "01890a5d-ac96-774b-bcce-b302099a8057")
_OF_THIS_PART = {"id": "$response.body#/id"}


@operation(
    Operation(
        "GET",
        "/v1/parts",
        "list_parts",
        "catalogue",
        "Wear parts by kind, maker, size, number, or the position they are listed for",
        Page[PartSummary],
        query=PartQuery,
        problems=(UnknownCode,),
        links={"first_part": Link("get_part", {"id": "$response.body#/items/0/id"})},
    )
)
def list_parts(query: PartQuery, database: Database) -> Page[PartSummary]:
    """Answer the parts that match every filter given."""
    after = query.after("/v1/parts")
    with database.read() as reads:
        _require_known(reads, query)
        rows, total = store.list_parts(reads, query, number_forms(query.number), after)
    return page(
        "/v1/parts", query, rows, total, lambda row: join_key(row.maker_code, row.number), part_summary
    )


def _require_known(reads: ReadSession, query: PartQuery) -> None:
    if query.family is not None:
        require_family(reads, query.family)
    for noun, given, codes in (
        ("kind", query.kind, kind_codes),
        ("maker", query.maker, maker_codes),
        ("size", query.size, size_codes),
    ):
        if given is not None and given not in (known := codes(reads)):
            raise unknown_code(noun, given, known)


def _require_part(reads: ReadSession, given: str) -> Row[Any]:
    row = find_part(reads, given)
    if row is None:
        raise UnknownCode("part", given)
    return row


@operation(
    Operation(
        "GET",
        "/v1/parts/{id}",
        "get_part",
        "catalogue",
        "One wear part: its dimensions, its numbers, what superseded it, its best offer",
        PartAnswer,
        query=AsOf,
        path_names={"id": PART_ID},
        links={
            "families": Link("list_part_families", _OF_THIS_PART),
            "interchange": Link("get_part_interchange", _OF_THIS_PART),
            "offers": Link("list_offers", {"part": "$response.body#/id"}),
            "same_size": Link("list_parts", {"size": "$response.body#/size"}),
        },
    )
)
def get_part(id: str, query: AsOf, database: Database) -> PartAnswer:
    """Answer one part."""
    with database.read() as reads:
        return part_answer(reads, _require_part(reads, id), query.as_of or today())


@operation(
    Operation(
        "GET",
        "/v1/parts/{id}/families",
        "list_part_families",
        "catalogue",
        "The families and positions that a part is listed for",
        Page[FamilyUse],
        query=ListQuery,
        path_names={"id": PART_ID},
        links={"first_family": Link("get_family", {"code": "$response.body#/items/0/family"})},
    )
)
def list_part_families(id: str, query: ListQuery, database: Database) -> Page[FamilyUse]:
    """Answer where a part is used."""
    after = query.after(f"/v1/parts/{id}/families")
    with database.read() as reads:
        part_id = _require_part(reads, id).id
        rows, total = store.where_used(reads, part_id, after, query.limit + 1)
        positions = store.positions_used(reads, part_id, [row.id for row in rows])

    def use(row: Row[Any]) -> FamilyUse:
        return FamilyUse(
            family=row.code,
            name=row.name,
            construction=row.construction,
            voltage=row.voltage,
            positions=[
                PositionUse(position=code, quantity=quantity)  # type: ignore[arg-type]  # CHECKed
                for code, quantity in positions[row.id]
            ],
        )

    return page(f"/v1/parts/{part_id}/families", query, rows, total, lambda row: str(row.code), use)


@operation(
    Operation(
        "GET",
        "/v1/parts/{id}/interchange",
        "get_part_interchange",
        "catalogue",
        "What stands in for a part in every seat that it is listed for, graded; directed",
        PartInterchange,
        query=PartInterchangeQuery,
        path_names={"id": PART_ID},
        links={"part": Link("get_part", {"id": "$response.body#/part/id"})},
    )
)
def get_part_interchange(id: str, query: PartInterchangeQuery, database: Database) -> PartInterchange:
    """Answer what may be fitted in place of a part."""
    day = query.as_of or today()
    with database.read() as reads:
        row = _require_part(reads, id)
        graded, seats = find_stand_ins(reads, row, day)
    wanted = [one for one in graded if query.grade is None or one.grade == query.grade]
    return PartInterchange(
        part=part_reference(row),
        as_of=day.isoformat(),
        caution=CAUTION,
        seats=seats,
        total=len(wanted),
        parts=wanted[: query.limit],
    )


ROUTES = (list_parts, get_part, list_part_families, get_part_interchange)
