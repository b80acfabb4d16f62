"""What a position's seat and its family say of a size: every kind's fit check, with its figures. Pure."""

from collections.abc import Callable, Mapping
from typing import Final

from api.fit.judging.reasons import Reason
from api.interchange.seat_brush import check_brush
from api.interchange.seat_bushing import check_bushing
from api.interchange.seat_contact import check_contact
from api.interchange.seat_drive import check_drive_clutch
from api.interchange.seat_features import ANY_PART, PartFacts, SizeValues
from api.starters.entries import FamilyEntry, PositionEntry


def check_seat(
    family: FamilyEntry, position: PositionEntry, size: SizeValues, part: PartFacts = ANY_PART
) -> tuple[Reason, ...]:
    """Return what the seat says of each dimension that it decides; nothing for a kind without a rule."""
    rule = _RULES.get(position.kind or "")
    return () if rule is None else rule(family, position, size, part)


_Rule = Callable[[FamilyEntry, PositionEntry, SizeValues, PartFacts], tuple[Reason, ...]]
_RULES: Final[Mapping[str, _Rule]] = {
    "bushing": lambda family, position, size, part: check_bushing(position, size, part),
    "contact": lambda family, position, size, part: check_contact(position, size),
    "brush_set": lambda family, position, size, part: check_brush(family, position, size),
    "drive_clutch": lambda family, position, size, part: check_drive_clutch(family, position, size),
}
