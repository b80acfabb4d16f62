"""From what a caller states of his observations to checked values; all faults are named at once. Pure."""

from collections.abc import Iterator, Sequence
from math import isfinite

import attrs

from api.diagnosis.knowledge import TABLE_VOLTAGE, Knowledge, NumberKnown, ObservationKnown, Origin
from api.diagnosis.scales import Held, edges_of, limit_of, most_plausible, rated_of
from api.diagnosis.stated import Chosen, Measured, Stated
from api.diagnosis.subject import Subject
from api.errors import FieldFault, InvalidInput, shown
from api.measurement.refusals import nearest_name

CALLER = Origin("judgement", "stated by the caller")
LEAST_CELSIUS, MOST_CELSIUS = -60.0, 80.0
OF_NUMBERS = ("value", "uncertainty", "limit", "rated_lower", "rated_upper", "celsius")
NO_LOAD_ROW, NO_LOAD_NUMBERS = "no_load_test", ("no_load_amperes", "no_load_rpm")


@attrs.frozen(kw_only=True)
class Claim:
    """One observation as the caller states it; numbers in the unit that the observation has."""

    code: str
    answer: str | None = None
    value: float | None = None
    uncertainty: float | None = None
    limit: float | None = None
    rated_lower: float | None = None
    rated_upper: float | None = None
    celsius: float | None = None


class _Refused(Exception):
    """Carries one fault out of the checks of one observation."""

    def __init__(
        self, member: str, value: object, expected: str, code: str, nearest: str | None = None
    ) -> None:
        super().__init__(code)
        self.fault = FieldFault((member,), shown(value), expected, code, nearest)


def check_stated(knowledge: Knowledge, subject: Subject, claims: Sequence[Claim]) -> tuple[Stated, ...]:
    """Return the observations as checked values, in the order stated.

    Raises `InvalidInput` with paths `("observations", place, member)`. Codes: `unknown_observation`,
    `unknown_answer`, `missing`, `not_taken`, `wrong_sign`, `other_system_voltage`, `implausible`,
    `out_of_range`, `repeated`, `told_twice`.
    """
    stated: list[Stated] = []
    faults: list[FieldFault] = []
    for place, claim in enumerate(claims):
        try:
            stated.append(_check(knowledge, subject, claim))
        except _Refused as refused:
            faults.append(refused.fault.beneath("observations", place))
    faults.extend(fault.beneath("observations") for fault in _told_twice(claims))
    if faults:
        raise InvalidInput.of(faults)
    return tuple(stated)


def _check(knowledge: Knowledge, subject: Subject, claim: Claim) -> Stated:
    known = knowledge.observations.get(claim.code)
    if known is None:
        near = nearest_name(claim.code, knowledge.observations)
        raise _Refused("code", claim.code, "a code of /v1/observations", "unknown_observation", near)
    return _choice(known, claim) if known.number is None else _measure(known, known.number, subject, claim)


def _choice(known: ObservationKnown, claim: Claim) -> Chosen:
    codes = [one.code for one in known.answers]
    for member in OF_NUMBERS:
        if getattr(claim, member) is not None:
            raise _Refused(member, getattr(claim, member), f"an answer: {', '.join(codes)}", "not_taken")
    if claim.answer is None:
        raise _Refused("answer", "", f"an answer: {', '.join(codes)}", "missing")
    if claim.answer not in codes:
        near = nearest_name(claim.answer, codes)
        raise _Refused("answer", claim.answer, f"one of {', '.join(codes)}", "unknown_answer", near)
    return Chosen(known=known, answer=claim.answer)


def _measure(known: ObservationKnown, number: NumberKnown, subject: Subject, claim: Claim) -> Measured:
    if claim.answer is not None:
        raise _Refused("answer", claim.answer, f"a value in {number.unit}", "not_taken")
    if claim.value is None:
        raise _Refused("value", "", f"a value in {number.unit}", "missing")
    most = most_plausible(number, subject)
    _check_value(number, subject, claim.value, most)
    _check_celsius(number, claim.celsius)
    uncertainty = claim.uncertainty
    if uncertainty is not None and not 0 < uncertainty <= most:
        raise _Refused(
            "uncertainty", uncertainty, f"above 0 and at most {most:g} {number.unit}", "out_of_range"
        )
    held = _held(number, subject, claim, most)
    return Measured(
        known=known,
        value=claim.value,
        uncertainty=uncertainty if uncertainty is not None else number.uncertainty.value,
        uncertainty_stated=uncertainty is not None,
        edges=edges_of(number, subject, held),
        held=held,
        celsius=claim.celsius,
    )


def _check_value(number: NumberKnown, subject: Subject, value: float, most: float) -> None:
    if value < 0:
        turned = "turn the meter's leads or the clamp round and state it without a sign"
        expected = f"0 to {most:g} {number.unit}: {turned}"
        raise _Refused("value", f"{value:g}", expected, "wrong_sign")
    if isfinite(value) and value <= most:
        return
    expected = f"0 to {most:g} {number.unit}"
    if number.unit == "volts":
        system = f"{subject.voltage} V"
        if subject.voltage <= TABLE_VOLTAGE and value <= 2 * most:
            expected += f": the system has {system}, this is of {2 * subject.voltage} V"
            raise _Refused("value", f"{value:g}", expected, "other_system_voltage")
        expected += f" on a system of {system}"
    raise _Refused("value", f"{value:g}", expected, "implausible")


def _check_celsius(number: NumberKnown, celsius: float | None) -> None:
    if celsius is None:
        return
    if not number.by_celsius:
        raise _Refused("celsius", celsius, "no temperature: nothing here goes by it", "not_taken")
    if not LEAST_CELSIUS <= celsius <= MOST_CELSIUS:
        raise _Refused(
            "celsius", celsius, f"{LEAST_CELSIUS:g} to {MOST_CELSIUS:g} degrees Celsius", "out_of_range"
        )


def _held(number: NumberKnown, subject: Subject, claim: Claim, most: float) -> Held | None:
    """Return the limit or rated range, the caller's before the tables'."""
    rated = (claim.rated_lower, claim.rated_upper)
    if number.scale != "rated":
        for member, value in zip(("rated_lower", "rated_upper"), rated, strict=True):
            if value is not None:
                raise _Refused(member, value, "no rated range: this number has none", "not_taken")
    if number.scale != "limit":
        if claim.limit is not None:
            raise _Refused("limit", claim.limit, "no limit: this number has none of its own", "not_taken")
        return _rated(number, subject, rated, most) if number.scale == "rated" else None
    if claim.limit is None:
        return limit_of(number, subject, claim.celsius)
    greatest = most / number.bands[-2].upto
    if not 0 < claim.limit < greatest:
        raise _Refused("limit", claim.limit, f"above 0 and below {greatest:g} {number.unit}", "out_of_range")
    return Held((claim.limit,), True, CALLER)


def _rated(
    number: NumberKnown, subject: Subject, rated: tuple[float | None, float | None], most: float
) -> Held:
    lower, upper = rated
    if lower is None and upper is None:
        return rated_of(number, subject)
    for member, value in (("rated_lower", lower), ("rated_upper", upper)):
        if value is None:
            raise _Refused(member, "", f"{member} to be given with the other end", "missing")
    if lower is not None and upper is not None and 0 < lower < upper < most:
        return Held((lower, upper), True, CALLER)
    expected = f"above 0, rated_lower below rated_upper, both below {most:g} {number.unit}"
    raise _Refused("rated_lower", f"{lower} to {upper}", expected, "out_of_range")


def _told_twice(claims: Sequence[Claim]) -> Iterator[FieldFault]:
    """Yield the same value stated twice, and a no-load test told both by its row and by numbers."""
    seen: dict[tuple[object, ...], int] = {}
    codes = [claim.code for claim in claims]
    for place, claim in enumerate(claims):
        key = (claim.code, claim.answer, claim.value)
        if key in seen:
            expected = "each observation once; of repeated numbers, their mean and its uncertainty"
            yield FieldFault((place, "code"), shown(claim.code), expected, "repeated")
        seen[key] = place
        if claim.code in NO_LOAD_NUMBERS and NO_LOAD_ROW in codes:
            expected = f"either {NO_LOAD_ROW} or its numbers"
            yield FieldFault((place, "code"), shown(claim.code), expected, "told_twice")
