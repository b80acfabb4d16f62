"""What a position's seat and its family say of a size: every kind's fit check, with its figures. Pure."""

from collections.abc import Callable, Hashable, Iterable, Mapping
from typing import Any, Final, Generic, TypeVar

import attrs

from api.fit.brushes.brush import judge_brush
from api.fit.judging.reasons import Reason
from api.interchange import seat_brush, seat_bushing, seat_contact, seat_drive
from api.interchange.seat_features import ANY_PART, PartFacts, SizeValues
from api.starters.entries import FamilyEntry, PositionEntry

PieceT = TypeVar("PieceT", bound=Hashable)
SeatT = TypeVar("SeatT", bound=Hashable)


@attrs.frozen
class Rule(Generic[PieceT, SeatT]):
    """How parts of a kind are judged in their seats.

    `piece` and `seat` return all that `judge` reads, as values; `judge` yields its reasons one by one, of no
    other `dimensions`, and of all of them where it `tells_all`. `fits` returns whether there are reasons and
    all of them are `fits`, the sooner the better.
    """

    piece: Callable[[SizeValues, PartFacts], PieceT]
    seat: Callable[[FamilyEntry, PositionEntry], SeatT]
    judge: Callable[[PieceT, SeatT], Iterable[Reason]]
    fits: Callable[[PieceT, SeatT], bool]
    dimensions: frozenset[str]
    tells_all: bool = False


def check_seat(
    family: FamilyEntry, position: PositionEntry, size: SizeValues, part: PartFacts = ANY_PART
) -> tuple[Reason, ...]:
    """Return what the seat says of each dimension that it decides; nothing for a kind without a rule."""
    rule = RULES.get(position.kind or "")
    return () if rule is None else tuple(rule.judge(rule.piece(size, part), rule.seat(family, position)))


def _all_fit(judge: Callable[[PieceT, SeatT], Iterable[Reason]]) -> Callable[[PieceT, SeatT], bool]:
    """Return the answer to `fits` of a check that says something of every part."""

    def fits(piece: PieceT, seat: SeatT) -> bool:
        return all(reason.verdict == "fits" for reason in judge(piece, seat))

    return fits


RULES: Final[Mapping[str, Rule[Any, Any]]] = {
    "bushing": Rule(
        piece=seat_bushing.bush_of,
        seat=lambda family, position: seat_bushing.seat_of(position),
        judge=seat_bushing.judge,
        fits=seat_bushing.fits,
        dimensions=seat_bushing.DIMENSIONS,
        tells_all=True,
    ),
    "contact": Rule(
        piece=lambda size, part: seat_contact.contact_of(size),
        seat=lambda family, position: seat_contact.seat_of(position),
        judge=seat_contact.judge,
        fits=_all_fit(seat_contact.judge),
        dimensions=seat_contact.DIMENSIONS,
    ),
    "brush_set": Rule(
        piece=lambda size, part: seat_brush.brush_of(size),
        seat=seat_brush.seat_of,
        judge=judge_brush,
        fits=_all_fit(judge_brush),
        dimensions=seat_brush.DIMENSIONS,
    ),
    "drive_clutch": Rule(
        piece=lambda size, part: seat_drive.drive_of(size),
        seat=seat_drive.seat_of,
        judge=seat_drive.judge,
        fits=_all_fit(seat_drive.judge),
        dimensions=seat_drive.DIMENSIONS,
    ),
}
"""By kind; a kind that is not among them has no rule."""
