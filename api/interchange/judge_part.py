"""Grades: a part at a position of a family, and a part in place of another wherever that is listed. Pure."""

from collections.abc import Collection, Iterable, Mapping, Sequence

from api.fit.judging.reasons import GRADE_ORDER, Reason, grade_of
from api.interchange.compare_sizes import compare_sizes, missing_dimensions
from api.interchange.reasons import Judgement, Relation
from api.interchange.seat_features import PartFacts, SizeValues
from api.interchange.seats import Seat, worst_seat


def judge_listed(seat: Seat, size: SizeValues, part: PartFacts) -> Judgement:
    """Grade a part that its maker lists for this position.

    The listing is a reason, not a pass: it `fits` only where the seat surely takes it too. A count,
    choice or voltage that contradicts the family wins over the listing (`does_not_fit`); a length that
    contradicts the seat, and whatever the seat leaves open, is `unknown`.
    """
    checks = seat.judge(size, part)
    listing = Reason("listing", "fits", "listed by its maker for this position")
    reasons = (listing, *checks)
    if any(reason.exact and reason.verdict == "does_not_fit" for reason in checks):
        return Judgement("listed", "does_not_fit", reasons)
    grade = grade_of(checks)
    return Judgement("listed", "unknown" if grade == "does_not_fit" else grade, reasons)


def judge_by_size(
    seat: Seat, size: SizeValues, part: PartFacts, listed: Iterable[tuple[Relation, SizeValues]]
) -> Judgement:
    """Grade a part at a position where parts of other sizes, or others of its size, are listed.

    `listed` are the sizes of listed parts that it overlaps, each with its relation (one at least); the
    one that speaks best for it counts. What the seat says of a dimension goes before what comparing
    sizes says, since seat, shaft and rotation decide, not the removed part.
    """
    checks = seat.judge(size, part)
    kind = seat.position.kind or ""
    return min(
        (_combine(kind, relation, reference, size, checks) for relation, reference in listed), key=_preference
    )


def judge_in_place(
    kind: str,
    relation: Relation,
    sizes: tuple[SizeValues, SizeValues],
    part: PartFacts,
    seats: Sequence[Seat],
) -> Judgement:
    """Grade a part in place of another in every seat that the other is listed for.

    `sizes` are the other's and its own; `seats` are distinct. The seat that speaks worst for it counts.
    Where the other is listed for none, neither seat nor shaft is known, and nothing can be called `fits`.
    """
    reference, size = sizes
    if not seats:
        told = "no position lists the part to replace: seat and shaft are not known"
        reasons = (Reason("seat", "unknown", told), *compare_sizes(kind, reference, size))
        return Judgement(relation, grade_of(reasons), reasons)
    judged = [seat.judge(size, part) for seat in seats]
    fitting = sum(grade_of(checks) == "fits" for checks in judged)
    whole = _combine(kind, relation, reference, size, worst_seat(judged))
    told = f"goes into {fitting} of the {len(seats)} different seats that the other is listed for"
    summary = Reason("seat", "fits" if fitting == len(seats) else whole.grade, told)
    return Judgement(relation, whole.grade, (summary, *whole.reasons))


def with_part(judgement: Judgement, *more: Reason) -> Judgement:
    """Return a judgement with what else a part brings to it."""
    if not more:
        return judgement
    reasons = (*judgement.reasons, *more)
    worst = grade_of([Reason("", judgement.grade, ""), *more])
    return Judgement(judgement.relation, worst, reasons)


def check_grade(found: str | None, wanted: Collection[str]) -> tuple[Reason, ...]:
    """Return what a grade that is none of `wanted` says: look into it; nothing where none is stated."""
    if found is None or not wanted or found in wanted:
        return ()
    return (Reason("grade", "unknown", f"grade {found} in place of {', '.join(sorted(wanted))}"),)


def _combine(
    kind: str, relation: Relation, reference: SizeValues, size: SizeValues, checks: tuple[Reason, ...]
) -> Judgement:
    by_seat: Mapping[str, Reason] = {reason.dimension: reason for reason in checks}
    compared = missing_dimensions(kind, size) if reference is size else compare_sizes(kind, reference, size)
    rest = tuple(reason for reason in compared if reason.dimension not in by_seat)
    reasons = (*checks, *rest)
    alike = Reason("size", "fits", "of the very size of the part that it stands in for")
    told = (alike, *reasons) if relation == "same_size" else reasons
    return Judgement(relation, grade_of(reasons), told)


def _preference(judgement: Judgement) -> tuple[int, int]:
    unsure = sum(reason.verdict != "fits" for reason in judgement.reasons)
    return GRADE_ORDER.index(judgement.grade), unsure
