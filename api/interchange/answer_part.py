"""What is told of one wear part: dimensions, numbers, what superseded it, its best offer on a day."""

from datetime import date
from typing import Any

from sqlalchemy import Row

from api.database import ReadSession
from api.interchange import store
from api.interchange.shapes import PartAnswer, SupersessionStep
from api.offers.best_of_currency import best_part_offer
from api.offers.shapes import current_offer
from api.offers.store import terms_by_part
from api.wear_parts.keys import require_id
from api.wear_parts.shapes import number_answers, part_members, part_reference, size_dimension
from api.wear_parts.store import chains, dimensions_of, numbers_of, size_values


def find_part(reads: ReadSession, given: str) -> Row[Any] | None:
    """Return the row of a part (with `maker_name` and `size_code`), withdrawn or not, or nothing.

    Raises `UnknownCode` for what is no id.
    """
    part_id = require_id("part", given)
    return store.parts_by_id(reads, [part_id]).get(part_id)


def part_answer(reads: ReadSession, row: Row[Any], day: date) -> PartAnswer:
    """Return what is told of a part, from its row as `find_part` gives it."""
    values = size_values(reads, [row.size_id]).get(row.size_id, {})
    dimensions = dimensions_of(reads, row.kind_code)
    numbers = numbers_of(reads, part_id=row.id)
    steps = next(iter(chains(reads, [number.id for number in numbers]).values()), [])
    later = store.parts_by_id(reads, [step.part_id for step in steps])
    offers = terms_by_part(reads, [row.id], day).get(row.id, [])
    return PartAnswer(
        **part_members(row),
        dimensions=[size_dimension(one.code, one.name, values.get(one.code)) for one in dimensions],
        numbers=number_answers(numbers),
        superseded_by=[
            SupersessionStep(on=step.superseded_on, part=part_reference(later[step.part_id]))
            for step in steps
        ],
        listings=store.count_listings(reads, row.id),
        offers=len(offers),
        best_offer=current_offer(best_part_offer(offers, 1, day)),
    )
