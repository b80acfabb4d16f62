"""HTTP of inspections and acceptance sheets."""

from collections.abc import Mapping
from typing import Final

from api.database import Database
from api.errors import FieldFault, InvalidInput, shown
from api.fit.judging.cautions import FIRST, REMOVE
from api.fit.reason_shapes import caution_answers
from api.inspection.acceptance import acceptance_sheet
from api.inspection.acceptance_shapes import AcceptanceSheet, step_answer
from api.inspection.answer_shapes import InspectionAnswer
from api.inspection.family_values import KnownFamily
from api.inspection.inspect_starter import inspect_starter
from api.inspection.limit_data import LimitBook
from api.inspection.present import inspection_answer
from api.inspection.read_request import read_inspection
from api.inspection.shapes import InspectionRequest
from api.inspection.store import known_family
from api.measurement.instruments import Instrument
from api.measurement.refusals import nearest_name
from api.starters.routes import FAMILY_CODE, require_family
from api.starters.store import family_codes, family_entry, find_family, positions_of, seats_of
from api.wire.operation import Link, Operation, operation

EXAMPLE: Final = {
    "family": "D12-01",
    "positions": [
        {
            "position": "brush_set",
            "readings": {
                "length": ["11.2 mm", "11.0 mm", "11.4 mm", "10.9 mm"],
                "spring_force_newtons": 20.5,
                "condition": "oil_soaked",
            },
            "new": {"length": "16 mm"},
        },
        {
            "position": "drive_end_bushing",
            "readings": {
                "bore": [
                    {"text": "12.60 mm", "instrument": "bore_gauge"},
                    {"text": "12.63 mm", "instrument": "bore_gauge"},
                ],
                "journal_diameter": {"text": "12.45 mm", "instrument": "outside_micrometer"},
            },
        },
        {
            "position": "commutator",
            "readings": {"diameter": "31.6 mm", "run_out": "0.03 mm", "undercut": "0.5 mm"},
            "new": {"diameter": "32.0 mm"},
        },
        {"position": "armature", "readings": {"core": "rubbed_bright", "resistance_to_ground_ohms": 5e6}},
    ],
    "limits": [{"position": "commutator", "feature": "run_out", "most": "0.10 mm"}],
}


@operation(
    Operation(
        "POST",
        "/v1/inspections",
        "inspect_starter",
        "inspections",
        "All readings of one stripped starter against limits: what is good, near its limit, to be renewed",
        InspectionAnswer,
        body=InspectionRequest,
        example=EXAMPLE,
    )
)
def inspect(
    body: InspectionRequest, database: Database, limits: LimitBook, instruments: Mapping[str, Instrument]
) -> InspectionAnswer:
    """Judge every place that was read; the family supplies values when new and limits of its seats."""
    known = None if body.family is None else _known(body.family, database)
    places = read_inspection(body, known, limits, instruments)
    field = None if known is None else known.family.field
    return inspection_answer(inspect_starter(limits, places, field), known)


def _known(code: str, database: Database) -> KnownFamily:
    with database.read() as reads:
        row = find_family(reads, code)
        if row is None:
            codes = family_codes(reads)
            expected = "the code of a family, as GET /v1/families tells them"
            near = nearest_name(code, codes)
            raise InvalidInput.of([FieldFault(("family",), shown(code), expected, "unknown", near)])
        return known_family(reads, row)


@operation(
    Operation(
        "GET",
        "/v1/families/{code}/acceptance-sheet",
        "get_acceptance_sheet",
        "inspections",
        "What to check once a starter of the family is together again, in order, with values and cautions",
        AcceptanceSheet,
        path_names={"code": FAMILY_CODE},
        links={"family": Link("get_family", {"code": "$response.body#/family"})},
    )
)
def get_acceptance_sheet(code: str, database: Database, limits: LimitBook) -> AcceptanceSheet:
    """Answer a family's checks after reassembly."""
    with database.read() as reads:
        row = require_family(reads, code)
        family = family_entry(row, positions_of(reads, row.id), seats_of(reads, row.id))
    steps = acceptance_sheet(family, limits)
    return AcceptanceSheet(
        family=family.code,
        voltage=row.voltage,
        rated_power_w=family.rated_power_w,
        steps=[step_answer(number, step) for number, step in enumerate(steps, 1)],
        cautions=caution_answers([FIRST, REMOVE]),
    )


ROUTES = (inspect, get_acceptance_sheet)
