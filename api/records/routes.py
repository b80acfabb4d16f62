"""HTTP of measurement records, and of what is known by them of a size or of a seat."""

from collections.abc import Mapping
from typing import Any

from api.database import Database, ReadSession, WriteSession
from api.errors import UnknownCode
from api.interchange.answer_part import find_part
from api.interchange.size_routes import SIZE_CODE
from api.measurement.instruments import Instrument
from api.records.bodies import (
    MeasurementRecordPatch,
    MeasurementRecordQuery,
    MeasurementRecordRequest,
)
from api.records.present import measured_seat, measured_size, record_answer, record_answers
from api.records.record_noun import NOUN, changing_noun, record_noun
from api.records.shapes import MeasuredSeat, MeasuredSize, MeasurementRecordAnswer
from api.records.store import find_record, list_records
from api.starters.routes import FAMILY_CODE, POSITION_CODE, require_family, require_position
from api.upkeep.keep import change, create
from api.upkeep.noun import AlreadyKnown
from api.wear_parts.keys import is_code, require_id, unknown_code
from api.wear_parts.store import find_size, size_codes
from api.wire.operation import Link, Operation, PathName, operation
from api.wire.paging import page
from api.wire.shapes import Page
from api.wire.writing import WriteFacts, WriteRules, Written

RECORDS = "/v1/measurement-records"
RECORD_ID = PathName("id of the record, as lists give it", "01890a5d-ac96-774b-bcce-b302099a8057")
_EXAMPLE = {
    "size": "bush-12.5x16x12",
    "specimen": "tray 4 b",
    "measured_on": "2026-11-25",
    "instrument": "bore_gauge",
    "surface": "unworn",
    "readings": {"bore": {"text": "12.512 mm", "repeats": ["12.514 mm"]}},
}


@operation(
    Operation(
        "POST",
        RECORDS,
        "create_measurement_record",
        "upkeep",
        "Keep what was measured of one specimen, and let its size (or its seat) learn of it",
        MeasurementRecordAnswer,
        body=MeasurementRecordRequest,
        problems=(AlreadyKnown,),
        writes=WriteRules(scope="catalogue", creates=True),
        example=_EXAMPLE,
    )
)
def create_record(
    writes: WriteSession, facts: WriteFacts, value: Any, instruments: Mapping[str, Instrument]
) -> Written:
    """Keep a record."""
    return create(record_noun(facts, instruments), writes, facts, value, {})


@operation(
    Operation(
        "PATCH",
        RECORDS + "/{id}",
        "change_measurement_record",
        "upkeep",
        "Withdraw a measurement record, or restore it: what was learned of it goes, or comes again",
        MeasurementRecordAnswer,
        body=MeasurementRecordPatch,
        path_names={"id": RECORD_ID},
        writes=WriteRules(scope="catalogue"),
        example={"withdrawn_on": "2026-11-25"},
    )
)
def change_record(
    writes: WriteSession, facts: WriteFacts, value: Any, id: str, instruments: Mapping[str, Instrument]
) -> Written:
    """Withdraw or restore a record."""
    address = (require_id(NOUN, id),)
    return change(changing_noun(facts, instruments), writes, facts, address, value, {})


@operation(
    Operation(
        "GET",
        RECORDS,
        "list_measurement_records",
        "catalogue",
        "What was measured at the bench, in the order in which it was kept",
        Page[MeasurementRecordAnswer],
        query=MeasurementRecordQuery,
        problems=(UnknownCode,),
        links={"first_record": Link("get_measurement_record", {"id": "$response.body#/items/0/id"})},
    )
)
def get_records(query: MeasurementRecordQuery, database: Database) -> Page[MeasurementRecordAnswer]:
    """Answer the records that match every filter given."""
    after = query.after(RECORDS)
    with database.read() as reads:
        _require_known(reads, query)
        rows, total = list_records(reads, query.equal(), query.withdrawn, after, query.limit + 1)
        answers = record_answers(reads, rows)
    return page(RECORDS, query, answers, total, lambda one: one.id, lambda one: one)


@operation(
    Operation(
        "GET",
        RECORDS + "/{id}",
        "get_measurement_record",
        "catalogue",
        "One measurement record, withdrawn or not",
        MeasurementRecordAnswer,
        path_names={"id": RECORD_ID},
    )
)
def get_record(id: str, database: Database) -> MeasurementRecordAnswer:
    """Answer one record."""
    record_id = require_id(NOUN, id)
    with database.read() as reads:
        row = find_record(reads, record_id)
        if row is None:
            raise UnknownCode(NOUN, id)
        return record_answer(reads, row)


@operation(
    Operation(
        "GET",
        "/v1/sizes/{code}/measured",
        "get_measured_size",
        "catalogue",
        "What is known of a size and how: the evidence of its specimens, provenance and history",
        MeasuredSize,
        path_names={"code": SIZE_CODE},
        links={
            "size": Link("get_size", {"code": "$response.body#/code"}),
            "records": Link("list_measurement_records", {"size": "$response.body#/code"}),
        },
    )
)
def get_measured_size(code: str, database: Database) -> MeasuredSize:
    """Answer what is known of one size."""
    with database.read() as reads:
        return measured_size(reads, _require_size(reads, code))


@operation(
    Operation(
        "GET",
        "/v1/families/{code}/positions/{position}/measured",
        "get_measured_seat",
        "families",
        "What is known of a position's seat and how: the evidence, where it comes from, its history",
        MeasuredSeat,
        path_names={"code": FAMILY_CODE, "position": POSITION_CODE},
        links={
            "records": Link(
                "list_measurement_records",
                {"family": "$response.body#/family", "position": "$response.body#/position"},
            )
        },
    )
)
def get_measured_seat(code: str, position: str, database: Database) -> MeasuredSeat:
    """Answer what is known of one seat."""
    with database.read() as reads:
        return measured_seat(reads, require_position(reads, code, position))


def _require_size(reads: ReadSession, code: str) -> Any:
    row = find_size(reads, code) if is_code(code) else None
    if row is None:
        raise unknown_code("size", code, size_codes(reads))
    return row


def _require_known(reads: ReadSession, query: MeasurementRecordQuery) -> None:
    """Raise `UnknownCode` for the first filter that names nothing."""
    if query.part is not None and find_part(reads, query.part) is None:
        raise UnknownCode("part", query.part)
    if query.size is not None:
        _require_size(reads, query.size)
    if query.family is not None:
        require_family(reads, query.family)


ROUTES = (
    get_records,
    get_record,
    get_measured_size,
    get_measured_seat,
    create_record,
    change_record,
)
