"""The table of problems: which domain error answers with which problem type, status and title."""

from dataclasses import dataclass
from typing import Final

from msgspec import UNSET

from api.access.exactly_once import IdempotencyKeyMissing, IdempotencyKeyReused, StillWorking
from api.access.keys import KeyRefused, ScopeMissing
from api.access.manage_keys import TooManyKeys
from api.access.rate_limits import TooManyRequests
from api.comparison.costs_now.figures import NoFailedPosition
from api.comparison.histories.simulation import TooManyFailures
from api.comparison.months.best_set import TooManySets
from api.database import DatabaseUnavailable
from api.errors import DomainError, FieldFault, InvalidInput, UnknownCode, pointer
from api.fit.contacts.threads import UnknownThread
from api.fit.gears.gear_mesh import CentreDistanceBelowContact, TeethCannotMesh
from api.fit.gears.pinion_identity import PinionFiguresDisagree
from api.fit.limits.tolerance_classes import SizeOutsideTables, UnknownToleranceClass
from api.measurement.ranges import ReversedRange
from api.measurement.refusals import (
    RefusedValue,
    UnreadableCount,
    UnreadableLength,
    UnsuitableInstrument,
)
from api.money.amounts import AmountRefused
from api.money.currencies import CurrencyMismatch, UnknownCurrency
from api.money.fractions import RateRefused
from api.offers.integer_programme import NotSolvedExactly
from api.upkeep.noun import AlreadyKnown
from api.wear_life.refusals import AgeRefused, HorizonRefused, ScaleRefused, ShapeRefused, WearLifeRefused
from api.wear_parts.supersessions import SupersessionCycle
from api.wire.conditions import HeaderRefused, PreconditionFailed, PreconditionRequired
from api.wire.refusals import (
    BodyTooLarge,
    HostNotServed,
    InternalFault,
    MediaTypeNotTaken,
    MethodNotOffered,
    NotReady,
    PathNotKnown,
    UnreadableBody,
)
from api.wire.shapes import Fault, Problem
from api.wire.writing import KeyNeeded

TYPE_PREFIX: Final = "tag:startwright.example,2026:problem/"


@dataclass(frozen=True, slots=True)
class ProblemType:
    """A kind of problem: the stable last word of its `type`, its HTTP status, its unchanging title."""

    code: str
    status: int
    title: str

    @property
    def uri(self) -> str:
        """The `type` member."""
        return TYPE_PREFIX + self.code


INVALID: Final = ProblemType("invalid-input", 400, "Some values cannot be taken")

PROBLEMS: Final[dict[type[DomainError], ProblemType]] = {
    InvalidInput: INVALID,
    RefusedValue: INVALID,
    UnknownToleranceClass: INVALID,
    UnknownThread: INVALID,
    SizeOutsideTables: INVALID,
    CentreDistanceBelowContact: INVALID,
    TeethCannotMesh: INVALID,
    PinionFiguresDisagree: INVALID,
    UnreadableLength: INVALID,
    ReversedRange: INVALID,
    UnreadableCount: INVALID,
    UnsuitableInstrument: INVALID,
    AmountRefused: INVALID,
    RateRefused: INVALID,
    UnknownCurrency: INVALID,
    CurrencyMismatch: INVALID,
    NoFailedPosition: INVALID,
    TooManySets: INVALID,
    NotSolvedExactly: INVALID,
    WearLifeRefused: INVALID,
    ShapeRefused: INVALID,
    ScaleRefused: INVALID,
    AgeRefused: INVALID,
    HorizonRefused: INVALID,
    TooManyFailures: INVALID,
    SupersessionCycle: INVALID,
    UnreadableBody: ProblemType("unreadable-body", 400, "The body is not readable JSON"),
    HostNotServed: ProblemType("host-not-served", 400, "This host name is not served"),
    HeaderRefused: ProblemType("header-refused", 400, "A header field cannot be taken"),
    IdempotencyKeyMissing: ProblemType("idempotency-key-missing", 400, "A create needs an idempotency key"),
    KeyNeeded: ProblemType("key-needed", 401, "This needs an access key"),
    KeyRefused: ProblemType("key-refused", 401, "This access key may not be used"),
    ScopeMissing: ProblemType("scope-missing", 403, "The access key is not for this"),
    UnknownCode: ProblemType("not-known", 404, "Nothing is known by this name"),
    PathNotKnown: ProblemType("no-such-path", 404, "There is nothing at this path"),
    MethodNotOffered: ProblemType("method-not-offered", 405, "This path does not take this method"),
    AlreadyKnown: ProblemType("already-known", 409, "There is such a thing already"),
    StillWorking: ProblemType("still-working", 409, "The first such request is not answered yet"),
    TooManyKeys: ProblemType("too-many-keys", 409, "The holder has as many keys as he may"),
    PreconditionFailed: ProblemType("precondition-failed", 412, "It is not in the state that was named"),
    BodyTooLarge: ProblemType("body-too-large", 413, "The body is larger than is taken"),
    MediaTypeNotTaken: ProblemType("media-type-not-taken", 415, "This media type is not taken"),
    IdempotencyKeyReused: ProblemType("idempotency-key-reused", 422, "The key came with another request"),
    PreconditionRequired: ProblemType("precondition-required", 428, "A change names the state it is for"),
    TooManyRequests: ProblemType("too-many-requests", 429, "Too many requests"),
    InternalFault: ProblemType("internal-fault", 500, "The service failed"),
    DatabaseUnavailable: ProblemType("database-unavailable", 503, "The database does not answer"),
    NotReady: ProblemType("not-ready", 503, "The service is not ready"),
}


def problem_type(error: DomainError) -> ProblemType:
    """Return the problem type of an error; what is not in the table has no business in an answer."""
    return PROBLEMS.get(type(error), PROBLEMS[InternalFault])


def fault_answer(fault: FieldFault, in_query: bool) -> Fault:
    """Give a fault its wire shape, located by parameter name or by JSON pointer (RFC 6901)."""
    sentence = f"{fault.value!r} cannot be taken; expected {fault.expected}."
    if fault.code in ("missing", "unknown"):
        sentence = f"expected {fault.expected}."
    named = (
        {"parameter": str(fault.path[-1]) if fault.path else ""}
        if in_query
        else {"pointer": pointer(fault.path)}
    )
    near = {"nearest": fault.nearest} if fault.nearest else {}
    return Fault(
        detail=sentence, code=fault.code, value=fault.value, expected=fault.expected, **named, **near
    )


def problem_of(error: DomainError, *, in_query: bool = False, instance: str | None = None) -> Problem:
    """Give a domain error its wire shape. `in_query` says that paths name query parameters."""
    kind = problem_type(error)
    faults = error.faults if isinstance(error, InvalidInput) else None
    nearest = error.nearest if isinstance(error, UnknownCode) else None
    return Problem(
        type=kind.uri,
        title=kind.title,
        status=kind.status,
        detail=error.explain(),
        instance=instance or UNSET,
        errors=UNSET if faults is None else [fault_answer(fault, in_query) for fault in faults],
        nearest=nearest or UNSET,
    )
