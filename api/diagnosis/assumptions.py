"""What a diagnosis takes for granted, each with where it comes from. Pure."""

from collections.abc import Iterator

import attrs

from api.diagnosis.diagnose import Diagnosis
from api.diagnosis.knowledge import TABLE_VOLTAGE, Origin
from api.diagnosis.stated import Measured

JUDGEMENT = "our judgement"
KINDS = {"published": "published", "common_practice": "common practice, no source", "judgement": JUDGEMENT}


@attrs.frozen
class TakenForGranted:
    """What was assumed, its value in words, and where it comes from."""

    what: str
    value: str
    origin: str


def assumptions_of(diagnosis: Diagnosis, voltage_stated: bool) -> Iterator[TakenForGranted]:
    """Yield the model's assumptions, what was not known of the starter, what numbers were held against."""
    yield TakenForGranted(
        "faults", "one at a time; two at once look like a contradiction or like `other`", JUDGEMENT
    )
    yield TakenForGranted(
        "observations",
        "independent of each other given the fault; where they are not, chances come out too sure",
        JUDGEMENT,
    )
    yield TakenForGranted(
        "probabilities beforehand",
        "of vehicles in use with a starting complaint",
        f"{JUDGEMENT}; no statistics were found",
    )
    yield TakenForGranted("chances of observations", "tables of the service; GET /v1/observations", JUDGEMENT)
    subject = diagnosis.subject
    if not voltage_stated:
        yield TakenForGranted("voltage", f"{TABLE_VOLTAGE} V", JUDGEMENT)
    for what, value in (("construction", subject.construction), ("field", subject.field)):
        if value is None:
            yield TakenForGranted(what, "not known: averaged over all by how common they are", JUDGEMENT)
    for told in diagnosis.evidence:
        for one in told.stated:
            if isinstance(one, Measured):
                yield from _of_number(one)


def _of_number(measured: Measured) -> Iterator[TakenForGranted]:
    code = measured.known.code
    if measured.held is not None and not measured.held.stated:
        name = "limit" if len(measured.held.values) == 1 else "rated range"
        value = " to ".join(f"{one:g}" for one in measured.held.values)
        yield TakenForGranted(f"{name} of {code}", value, _words(measured.held.origin))
    if not measured.uncertainty_stated and measured.known.number is not None:
        origin = measured.known.number.uncertainty.origin
        yield TakenForGranted(f"uncertainty of {code}", f"{measured.uncertainty:g}", _words(origin))


def _words(origin: Origin) -> str:
    return f"{KINDS[origin.kind]}: {origin.source}" if origin.source else KINDS[origin.kind]
