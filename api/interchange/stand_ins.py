"""What may be fitted in place of a part: judged in every seat that the part is listed for."""

from datetime import date
from typing import Any

from sqlalchemy import Row

from api.database import ReadSession
from api.interchange.alike_parts import best_first, find_alike_parts
from api.interchange.judge_part import check_grade, judge_in_place, with_part
from api.interchange.reasons import Judgement, Relation
from api.interchange.seat_features import PartFacts
from api.interchange.seats import check_voltage
from api.interchange.shapes import GradedPart, graded_part
from api.interchange.stored_seats import seats_of_part
from api.offers.best_of_currency import best_part_offer
from api.offers.shapes import current_offer


def find_stand_ins(reads: ReadSession, row: Row[Any], day: date) -> tuple[list[GradedPart], int]:
    """Return the parts alike to a part's row, graded in its seats, best first, and how many seats differ."""
    found = find_alike_parts(reads, [row.size_id], day)
    seats = tuple(dict.fromkeys(one.seat for one in seats_of_part(reads, row.id)))
    reference = found.values.get(row.size_id, {})
    judged: dict[tuple[str, PartFacts], Judgement] = {}

    def judge(size: str, relation: Relation, part: PartFacts) -> Judgement:
        key = (size, part)
        if key not in judged:
            values = found.values.get(size, {})
            judged[key] = judge_in_place(row.kind_code, relation, (reference, values), part, seats)
        return judged[key]

    graded = []
    for size, relation in found.alike[row.size_id].items():
        for other in found.parts.get(size, ()):
            if other.id == row.id:
                continue
            judgement = with_part(
                judge(size, relation, PartFacts(other.voltage, other.material)),
                *(() if seats else check_voltage(other.voltage, row.voltage, "the part")),
                *check_grade(other.grade, {row.grade} - {None}),
            )
            choice = best_part_offer(found.offers.get(other.id, ()), 1, day)
            graded.append(graded_part(other, judgement, current_offer(choice), found.successors))
    return best_first(graded), len(seats)
