"""HTTP of the diagnosis: what can be observed, and what is probably wrong."""

from pathlib import Path

import attrs

from api.database import Database
from api.diagnosis.answer_shapes import DiagnosisAnswer, Observable
from api.diagnosis.check_stated import Claim, check_stated
from api.diagnosis.diagnose import diagnose
from api.diagnosis.knowledge import TABLE_VOLTAGE, Knowledge
from api.diagnosis.next_test import is_allowed
from api.diagnosis.present import diagnosis_answer
from api.diagnosis.present_observations import observable
from api.diagnosis.read_knowledge import read_knowledge
from api.diagnosis.request_shapes import DiagnosisRequest, ObservationsQuery
from api.diagnosis.subject import Subject
from api.errors import FieldFault, InvalidInput, UnknownCode
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
        problems=(UnknownCode,),
        example=EXAMPLE,
    )
)
def diagnose_starter(body: DiagnosisRequest, diagnosis: Knowledge, database: Database) -> DiagnosisAnswer:
    """Weigh faults of the starter and outside it by what was observed; nothing is stored."""
    subject = _subject(body, database)
    claims = [Claim(**one.model_dump()) for one in body.observations]
    found = diagnose(diagnosis, subject, body.person, check_stated(diagnosis, subject, claims))
    voltage_stated = body.family is not None or body.voltage is not None
    return diagnosis_answer(found, body.family, body.person, voltage_stated)


def _subject(body: DiagnosisRequest, database: Database) -> Subject:
    """Return what is known of the starter; a family supplies all of it and may not be contradicted."""
    stated = Subject(voltage=body.voltage or TABLE_VOLTAGE, construction=body.construction, field=body.field)
    if body.family is None:
        return stated
    with database.read() as reads:
        row = find_family(reads, body.family)
        if row is None:
            raise UnknownCode("family", body.family, nearest_name(body.family, family_codes(reads)))
        positions = tuple(one.code for one in positions_of(reads, row.id))
    known = {"construction": row.construction, "field": row.field, "voltage": row.voltage}
    faults = [
        FieldFault(
            (name,), str(given), f"{value}, as the family {body.family} has, or nothing", "contradicts_family"
        )
        for name, value in known.items()
        if (given := getattr(body, name)) is not None and given != value
    ]
    if faults:
        raise InvalidInput.of(faults)
    return attrs.evolve(stated, **known, rated_power_w=row.rated_power_w, positions=positions)


ROUTES = (list_observations, diagnose_starter)
