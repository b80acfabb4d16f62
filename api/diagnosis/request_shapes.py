"""What `POST /v1/diagnoses` and `GET /v1/observations` take."""

from typing import Annotated, Literal

from pydantic import Field

from api.comparison.requests.months_members import KeepMonths
from api.comparison.requests.request_members import CurrencyCode, LabourOfFamilyRequest
from api.errors import FieldFault
from api.starters.shapes import Construction, FieldKind, Voltage
from api.wire.inputs import Request

MOST_OBSERVATIONS = 80

Word = Annotated[str, Field(min_length=1, max_length=64)]
FamilyCode = Annotated[str, Field(pattern=r"^[A-Za-z0-9._-]{1,64}$", description="Code of a starter family.")]
PersonName = Literal["do_it_yourselfer", "repairer"]


class ObservationRequest(Request):
    """One thing that was observed: an answer, or a number in the observation's unit.

    `uncertainty` is a standard uncertainty; `limit`, `rated_lower` and `rated_upper` are the caller's own,
    where the maker names them; `celsius` is the battery's temperature in a load test. `/v1/observations`
    says which observation takes what.
    """

    code: Word
    answer: Word | None = None
    value: float | None = None
    uncertainty: float | None = None
    limit: float | None = None
    rated_lower: float | None = None
    rated_upper: float | None = None
    celsius: float | None = None


class CompareRequest(Request):
    """How repair and replacement are compared for each fault; what is left out comes from the catalogue."""

    currency: CurrencyCode
    labour: LabourOfFamilyRequest | None = None
    keep_months: KeepMonths | None = None


class DiagnosisRequest(Request):
    """What is known of the starter, who asks, and what was observed; may be nothing at all."""

    family: FamilyCode | None = None
    construction: Construction | None = None
    field: FieldKind | None = None
    voltage: Voltage | None = None
    person: PersonName = "do_it_yourselfer"
    observations: Annotated[list[ObservationRequest], Field(max_length=MOST_OBSERVATIONS)] = Field(default=[])
    compare: CompareRequest | None = None

    @classmethod
    def contradictions(cls, body: object) -> list[FieldFault]:
        """Return what a body lacks for what it asks: a comparison needs a family."""
        if isinstance(body, dict) and body.get("compare") is not None and body.get("family") is None:
            return [FieldFault(("family",), "", "family to be given, to compare its repair", "missing")]
        return []


class ObservationsQuery(Request):
    """Leaves out what this person may not do, or what cannot be done on such a starter."""

    person: Annotated[PersonName | None, Field(description="who observes")] = None
    construction: Annotated[Construction | None, Field(description="how the drive is built")] = None
    field: Annotated[FieldKind | None, Field(description="how the field is made")] = None
