"""Grades: a size at a position, a part of that size there, and a part in place of another. Pure."""

from collections.abc import Collection, Iterable, Mapping

import attrs

from api.fit.reasons import GRADE_ORDER, Reason, grade_of
from api.interchange.check_seat import check_seat
from api.interchange.compare_sizes import SizeValues, compare_sizes, missing_dimensions
from api.interchange.reasons import Judgement, Relation
from api.starters.entries import FamilyEntry, PositionEntry


@attrs.frozen
class PartFacts:
    """What a part itself states beside its size."""

    voltage: int | None = None


def judge_listed(
    family: FamilyEntry, position: PositionEntry, size: SizeValues, part: PartFacts
) -> Judgement:
    """Grade a part that its maker lists for this position.

    The listing is a reason, not a pass: it `fits` only where the seat surely takes it too. A count,
    choice or voltage that contradicts the family wins over the listing (`does_not_fit`); a length that
    contradicts the seat, and whatever the seat leaves open, is `unknown`.
    """
    checks = (*check_seat(family, position, size), *check_voltage(part.voltage, family.voltage, "the family"))
    clashes = [reason for reason in checks if reason.verdict == "does_not_fit"]
    listing = Reason("listing", "fits", "listed by its maker for this position")
    if any(reason.exact for reason in clashes):
        return Judgement("listed", "does_not_fit", (listing, *checks))
    open_questions = any(reason.verdict == "unknown" for reason in checks)
    return Judgement("listed", "unknown" if clashes or open_questions else "fits", (listing, *checks))


def judge_by_size(
    family: FamilyEntry,
    position: PositionEntry,
    size: SizeValues,
    listed: Iterable[tuple[Relation, SizeValues]],
) -> Judgement:
    """Grade a size at a position where parts of other sizes, or others of this size, are listed.

    `listed` are the sizes of listed parts that it overlaps, each with its relation (one at least); the
    one that speaks best for it counts. What the seat says of a dimension goes before what comparing
    sizes says, since seat, shaft and rotation decide, not the removed part.
    """
    seat = check_seat(family, position, size)
    return min(
        (_combine(position.kind or "", relation, reference, size, seat) for relation, reference in listed),
        key=_preference,
    )


def judge_stand_in(kind: str, relation: Relation, reference: SizeValues, size: SizeValues) -> Judgement:
    """Grade a size in place of another wherever that one is used: by dimensions alone, no seat known."""
    reasons = compare_sizes(kind, reference, size)
    return Judgement(relation, grade_of(reasons), reasons)


def with_part(judgement: Judgement, *more: Reason) -> Judgement:
    """Return a judgement of a size with what a part of that size adds to it."""
    if not more:
        return judgement
    reasons = (*judgement.reasons, *more)
    worst = grade_of([Reason("", judgement.grade, ""), *more])
    return Judgement(judgement.relation, worst, reasons)


def check_voltage(found: int | None, wanted: int | None, whose: str) -> tuple[Reason, ...]:
    """Return what the part's own voltage says; nothing where it or the other states none."""
    if found is None or wanted is None:
        return ()
    if found == wanted:
        return (Reason("voltage", "fits", f"{found} V, as {whose}", exact=True),)
    return (Reason("voltage", "does_not_fit", f"{found} V, but {whose} has {wanted} V", exact=True),)


def check_grade(found: str | None, wanted: Collection[str]) -> tuple[Reason, ...]:
    """Return what a grade that is none of `wanted` says: look into it; nothing where none is stated."""
    if found is None or not wanted or found in wanted:
        return ()
    return (Reason("grade", "unknown", f"grade {found} in place of {', '.join(sorted(wanted))}"),)


def _combine(
    kind: str, relation: Relation, reference: SizeValues, size: SizeValues, seat: tuple[Reason, ...]
) -> Judgement:
    by_seat: Mapping[str, Reason] = {reason.dimension: reason for reason in seat}
    compared = missing_dimensions(kind, size) if reference is size else compare_sizes(kind, reference, size)
    rest = tuple(reason for reason in compared if reason.dimension not in by_seat)
    reasons = (*seat, *rest)
    alike = Reason("size", "fits", "of the very size of a part listed for this position")
    told = (alike, *reasons) if relation == "same_size" else reasons
    return Judgement(relation, grade_of(reasons), told)


def _preference(judgement: Judgement) -> tuple[int, int]:
    unsure = sum(reason.verdict != "fits" for reason in judgement.reasons)
    return GRADE_ORDER.index(judgement.grade), unsure
