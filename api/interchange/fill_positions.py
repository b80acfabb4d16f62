"""What fits each position of a family: listed parts, parts of the same and of alike sizes, graded."""

from collections import defaultdict
from datetime import date
from typing import Any, Final

from sqlalchemy import Row

from api.database import ReadSession
from api.fit.judging.reasons import GRADE_ORDER, Grade
from api.interchange.alike_parts import AlikeParts, best_first, find_alike_parts
from api.interchange.judge_part import check_grade, judge_by_size, judge_listed, with_part
from api.interchange.reasons import Judgement, Relation
from api.interchange.seat_features import PartFacts, SizeValues
from api.interchange.seats import Seat
from api.interchange.shapes import GradedPart, PositionInterchange, graded_part
from api.offers.best_of_currency import best_part_offer
from api.offers.shapes import current_offer
from api.starters import store
from api.starters.entries import FamilyEntry, PositionEntry

NO_KIND: Final = "No kind of wear part covers this position yet, so nothing can be said of what fits it."
NO_LISTING: Final = "No maker lists a part for this position; measure the worn part and search by its size."


def fill_positions(
    reads: ReadSession,
    family_row: Row[Any],
    day: date,
    *,
    position: str | None,
    grade: Grade | None,
    limit: int,
) -> list[PositionInterchange]:
    """Return the interchange of every position of a family, or of one, in a fixed number of queries."""
    rows = [
        row for row in store.positions_of(reads, family_row.id) if position is None or row.code == position
    ]
    family = store.family_entry(family_row, rows, store.seats_of(reads, family_row.id))
    ids = {row.id for row in rows}
    listed: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for row in store.listings_of_family(reads, family_row.id):
        if row.position_id in ids:
            listed[row.position_id][row.size_id].add(row.part_id)
    found = find_alike_parts(reads, {size for sizes in listed.values() for size in sizes}, day)
    return [
        _fill(family, entry, listed[row.id], found, day, grade, limit)
        for row, entry in zip(rows, family.positions, strict=True)
    ]


def _fill(
    family: FamilyEntry,
    position: PositionEntry,
    listed: dict[str, set[str]],
    found: AlikeParts,
    day: date,
    grade: Grade | None,
    limit: int,
) -> PositionInterchange:
    graded = best_first(_graded(family, position, listed, found, day))
    wanted = [one for one in graded if grade is None or one.grade == grade]
    note = NO_KIND if position.kind is None else None if listed else NO_LISTING
    return PositionInterchange(
        position=position.code,  # type: ignore[arg-type]  # CHECKed in the table
        kind=position.kind,
        quantity=position.quantity,
        grade=min((one.grade for one in graded), key=GRADE_ORDER.index, default="unknown"),
        note=note,
        total=len(wanted),
        parts=wanted[:limit],
    )


def _graded(
    family: FamilyEntry,
    position: PositionEntry,
    listed: dict[str, set[str]],
    found: AlikeParts,
    day: date,
) -> list[GradedPart]:
    listed_ids = {part for parts in listed.values() for part in parts}
    relations: dict[str, list[tuple[Relation, SizeValues]]] = defaultdict(list)
    for reference in listed:
        for candidate, relation in found.alike[reference].items():
            relations[candidate].append((relation, found.values.get(reference, {})))
    rows = [row for parts in found.parts.values() for row in parts if row.id in listed_ids]
    grades = {row.grade for row in rows if row.grade is not None}
    graded = []
    seat = Seat.of(family, position)
    for size, pairs in relations.items():
        values = found.values.get(size, {})
        by_size: dict[PartFacts, Judgement] = {}
        for row in found.parts.get(size, ()):
            facts = PartFacts(row.voltage, row.material)
            if row.id in listed_ids:
                judgement = judge_listed(seat, values, facts)
            else:
                if facts not in by_size:
                    by_size[facts] = judge_by_size(seat, values, facts, pairs)
                judgement = with_part(by_size[facts], *check_grade(row.grade, grades))
            choice = best_part_offer(found.offers.get(row.id, ()), position.quantity, day)
            graded.append(graded_part(row, judgement, current_offer(choice), found.successors))
    return graded
