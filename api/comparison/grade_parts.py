"""Whether the parts that may be bought for a family's positions fit there: their grades, as interchange gives
them."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Row

from api.database import ReadSession
from api.fit.judging.reasons import limiting_reason
from api.interchange.judge_part import check_grade, judge_by_size, judge_listed, with_part
from api.interchange.reasons import Judgement
from api.interchange.seat_features import PartFacts, SizeValues
from api.interchange.seats import Seat
from api.starters.store import family_entry, seats_of
from api.wear_parts.store import size_values


def grade_parts(
    reads: ReadSession, family: Row[Any], positions: Sequence[Row[Any]], parts: Sequence[Row[Any]]
) -> Mapping[tuple[str, str], Judgement]:
    """Return the judgement of each part at its position, by position id and part id, in two queries.

    `positions` are all those of the family; a row of `parts` is listed for its position, or of the size of
    one that is. Those of one position come together and hold every listed one.
    """
    entry = family_entry(family, positions, seats_of(reads, family.id))
    seats = {row.id: Seat.of(entry, each) for row, each in zip(positions, entry.positions, strict=True)}
    values = size_values(reads, {part.size_id for part in parts})
    brush_grades: dict[str, set[str]] = defaultdict(set)
    for part in parts:
        if part.listed and part.grade is not None:
            brush_grades[part.position_id].add(part.grade)
    known: dict[tuple[str, str, PartFacts, bool], Judgement] = {}
    judged = {}
    for part in parts:
        facts = PartFacts(part.voltage, part.material)
        key = (part.position_id, part.size_id, facts, bool(part.listed))
        if key not in known:
            known[key] = _judge(seats[part.position_id], values.get(part.size_id, {}), facts, key[-1])
        more = () if part.listed else check_grade(part.grade, brush_grades[part.position_id])
        judged[part.position_id, part.id] = with_part(known[key], *more)
    return judged


def why_not(judgement: Judgement) -> str:
    """Return in words what a grade rests on most; nothing where it fits."""
    reason = limiting_reason(judgement.reasons)
    return "" if reason is None or judgement.grade == "fits" else f"{reason.dimension}: {reason.text}"


def _judge(seat: Seat, values: SizeValues, facts: PartFacts, listed: bool) -> Judgement:
    if listed:
        return judge_listed(seat, values, facts)
    return judge_by_size(seat, values, facts, [("same_size", values)])
