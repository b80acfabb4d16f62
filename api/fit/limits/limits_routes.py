"""HTTP of limits and fits: a size and two tolerance classes."""

from collections.abc import Iterator
from contextlib import contextmanager

from api.errors import FieldFault, InvalidInput
from api.fit.limits.limits_and_fits import LimitsAndFits, describe_fit
from api.fit.limits.limits_shapes import SOURCE, ClearanceAnswer, LimitsAndFitsAnswer, LimitsAndFitsRequest
from api.fit.limits.tolerance_classes import SizeOutsideTables, check_size, read_class
from api.measurement.lengths import millimetres, parse_length
from api.measurement.refusals import RefusedValue
from api.measurement.units import parse_unit
from api.wire.operation import Operation, operation
from api.wire.shapes import length_answer, range_answer


@operation(
    Operation(
        "POST",
        "/v1/fit-checks/limits-and-fits",
        "check_limits_and_fits",
        "fit checks",
        "Limits of size of a hole and a shaft by their tolerance classes, and the clearance between them",
        LimitsAndFitsAnswer,
        body=LimitsAndFitsRequest,
        example={"size": "25 mm", "hole": "H7", "shaft": "p6"},
    )
)
def check_limits_and_fits(body: LimitsAndFitsRequest) -> LimitsAndFitsAnswer:
    """Give the limits of two tolerance classes at a nominal size, and the character of their fit."""
    size_nm, fit = read_fit(body)
    return LimitsAndFitsAnswer(
        hole=range_answer(*fit.hole_nm),
        shaft=range_answer(*fit.shaft_nm),
        clearance_mm=ClearanceAnswer(
            minimum=millimetres(fit.least_clearance_nm), maximum=millimetres(fit.most_clearance_nm)
        ),
        character=fit.character,
        size=length_answer(size_nm),
        fit=f"{body.hole}/{body.shaft}",
        source=SOURCE,
    )


def read_fit(body: LimitsAndFitsRequest) -> tuple[int, LimitsAndFits]:
    """Return the nominal size (nm) of a request and the fit of its classes at that size.

    Raises `InvalidInput` with every fault of unit, size and classes.
    """
    faults: list[FieldFault] = []
    with _noting(faults, "unit"):
        if body.unit is not None:
            parse_unit(body.unit)
    default_unit = "in" if faults else body.unit  # stands in for a faulty one, so that the size is still read
    size_nm = 0
    with _noting(faults, "size"):
        size_nm = parse_length(body.size, default_unit).nm
        check_size(size_nm)
    with _noting(faults, "hole"):
        read_class(body.hole, "hole")
    with _noting(faults, "shaft"):
        read_class(body.shaft, "shaft")
    if faults:
        raise InvalidInput.of(faults)
    try:
        return size_nm, describe_fit(size_nm, body.hole, body.shaft)
    except SizeOutsideTables as refused:
        raise InvalidInput.of([refused.as_fault("size")]) from None


@contextmanager
def _noting(faults: list[FieldFault], name: str) -> Iterator[None]:
    """Keep a refusal inside the block as the fault of this member, and go on."""
    try:
        yield
    except RefusedValue as refused:
        faults.append(refused.as_fault(name))


ROUTES = (check_limits_and_fits,)
