"""What a GET of a family, a position, a starter or a listing answers; what changes one answers the same."""

from typing import Any

from sqlalchemy import Row

from api.database import ReadSession
from api.starters import store
from api.starters.shapes import (
    FamilyAnswer,
    ListingAnswer,
    PositionAnswer,
    StarterAnswer,
    StarterStep,
    family_members,
    position_answer,
    starter_members,
    starter_summary,
)
from api.wear_parts.shapes import number_answers, part_reference
from api.wear_parts.store import chains, numbers_of


def present_family(reads: ReadSession, row: Row[Any]) -> FamilyAnswer:
    """Return a family's answer from its row."""
    return FamilyAnswer(
        **family_members(row),
        notes=row.notes,
        starters=store.count_starters(reads, row.id),
        positions=present_positions(reads, row.id),
    )


def present_positions(reads: ReadSession, family_id: str) -> list[PositionAnswer]:
    """Return the positions of a family that are not withdrawn, in their order."""
    seats = store.seats_of(reads, family_id)
    return [position_answer(row, seats.get(row.id, ())) for row in store.positions_of(reads, family_id)]


def present_position(reads: ReadSession, row: Row[Any]) -> PositionAnswer:
    """Return a position's answer from its row, which `find_position` gave."""
    return position_answer(row, store.seat_of(reads, row.id))


def present_starter(reads: ReadSession, row: Row[Any]) -> StarterAnswer:
    """Return a starter's answer from its row, with the way to the unit that superseded it."""
    numbers = numbers_of(reads, starter_id=row.id)
    steps = next(iter(chains(reads, [number.id for number in numbers]).values()), [])
    later = store.starters_by_id(reads, [step.starter_id for step in steps])
    return StarterAnswer(
        **starter_members(row),
        numbers=number_answers(numbers),
        superseded_by=[
            StarterStep(on=step.superseded_on, starter=starter_summary(later[step.starter_id]))
            for step in steps
        ],
    )


def present_listing(row: Row[Any]) -> ListingAnswer:
    """Return a listing's answer from its row, which `find_listing` or `list_listings` gave."""
    return ListingAnswer(
        family=row.family_code,
        position=row.position_code,
        part=part_reference(row),
        withdrawn_on=row.withdrawn_on,
    )
