"""HTTP of the diagnosis: what can be observed, and what is probably wrong."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import attrs
from msgspec import structs
from sqlalchemy import Row

from api.database import Database, ReadSession
from api.diagnosis.answer_shapes import DiagnosisAnswer, Observable
from api.diagnosis.check_stated import Claim, check_stated
from api.diagnosis.compare_faults import compare_faults
from api.diagnosis.diagnose import diagnose
from api.diagnosis.knowledge import TABLE_VOLTAGE, Knowledge
from api.diagnosis.next_test import is_allowed
from api.diagnosis.present import diagnosis_answer, expected_cost_answer
from api.diagnosis.present_observations import observable
from api.diagnosis.read_knowledge import read_knowledge
from api.diagnosis.request_shapes import DiagnosisRequest, ObservationsQuery
from api.diagnosis.subject import Subject
from api.errors import FieldFault, InvalidInput, shown
from api.measurement.refusals import nearest_name
from api.starters.store import family_codes, find_family, positions_of
from api.wire.operation import Operation, operation
from api.wire.shapes import Page

EXAMPLE = {
    "family": "D12-01",
    "person": "do_it_yourselfer",
    "observations": [
        {"code": "on_start_command", "answer": "single_click"},
        {"code": "onset", "answer": "now_and_then_then_never"},
        {"code": "battery_open_circuit_volts", "value": 12.65, "uncertainty": 0.03},
        {"code": "trigger_volts", "value": 11.8},
        {"code": "feed_drop_volts", "value": 0.2, "limit": 0.5},
        {"code": "ground_drop_volts", "value": 0.1},
    ],
}


def read_diagnosis_folder(folder: Path) -> Knowledge:
    """Return the tables in a folder's TOML files; raises `InvalidInput` with file and key of every fault."""
    return read_knowledge({path.name: path.read_text("utf-8") for path in sorted(folder.glob("*.toml"))})


@operation(
    Operation(
        "GET",
        "/v1/observations",
        "list_observations",
        "diagnoses",
        "What can be observed of a starter that does not do as it should: how, by whom, with what hazard",
        Page[Observable],
        query=ObservationsQuery,
    )
)
def list_observations(query: ObservationsQuery, diagnosis: Knowledge) -> Page[Observable]:
    """List every observation, in one piece; limits and bounds are those of a 12 V system."""
    subject = Subject(voltage=TABLE_VOLTAGE)
    items = [
        observable(known, subject)
        for known in diagnosis.observations.values()
        if (query.construction is None or query.construction in known.constructions)
        and (query.field is None or query.field in known.fields)
        and (query.person is None or is_allowed(known, query.person))
    ]
    return Page(items=items, total=len(items), next=None)


@operation(
    Operation(
        "POST",
        "/v1/diagnoses",
        "diagnose_starter",
        "diagnoses",
        "What is probably wrong, what moved each fault, and what to observe next",
        DiagnosisAnswer,
        body=DiagnosisRequest,
        example=EXAMPLE,
    )
)
def diagnose_starter(body: DiagnosisRequest, diagnosis: Knowledge, database: Database) -> DiagnosisAnswer:
    """Weigh faults of the starter and outside it by what was observed; nothing is stored."""
    with database.read() as reads:
        family = None if body.family is None else _family(reads, body.family)
        subject = _subject(body, family, () if family is None else positions_of(reads, family.id))
        claims = [Claim(**one.model_dump()) for one in body.observations]
        found = diagnose(diagnosis, subject, body.person, check_stated(diagnosis, subject, claims))
        voltage_stated = family is not None or body.voltage is not None
        told = diagnosis_answer(found, body.family, body.person, voltage_stated)
        if family is None or body.compare is None:
            return told
        priced, without = compare_faults(reads, family, body.compare, told.for_comparison)
    expected = expected_cost_answer(priced, without, body.compare.keep_months)
    return structs.replace(told, expected_cost=expected)


def _family(reads: ReadSession, code: str) -> Row[Any]:
    row = find_family(reads, code)
    if row is None:
        known = family_codes(reads)
        expected = "the code of a starter family"
        fault = FieldFault(("family",), shown(code), expected, "unknown_family", nearest_name(code, known))
        raise InvalidInput.of([fault])
    return row


def _subject(body: DiagnosisRequest, family: Row[Any] | None, positions: Sequence[Row[Any]]) -> Subject:
    """Return what is known of the starter; a family supplies all of it and may not be contradicted."""
    stated = Subject(voltage=body.voltage or TABLE_VOLTAGE, construction=body.construction, field=body.field)
    if family is None:
        return stated
    known = {"construction": family.construction, "field": family.field, "voltage": family.voltage}
    faults = [
        FieldFault(
            (name,), str(given), f"{value}, as the family {family.code} has, or nothing", "contradicts_family"
        )
        for name, value in known.items()
        if (given := getattr(body, name)) is not None and given != value
    ]
    if faults:
        raise InvalidInput.of(faults)
    codes = tuple(one.code for one in positions)
    return attrs.evolve(stated, **known, rated_power_w=family.rated_power_w, positions=codes)


ROUTES = (list_observations, diagnose_starter)
