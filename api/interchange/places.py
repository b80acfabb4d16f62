"""What a seat and a part are to the check of their kind, and whether the one takes the other. Pure.

A check reads little of a family and of a size. Seats that are alike in that are one place, parts that are
alike in it one piece, so that what thousands of pairs of them have in common is judged once.
"""

from collections.abc import Hashable

import attrs

from api.interchange.check_seat import RULES
from api.interchange.seat_features import PartFacts, SizeValues
from api.interchange.seats import Seat, check_voltage


@attrs.frozen(cache_hash=True)
class Place:
    """A seat as far as the check of its kind looks at it, and the voltage of its family."""

    seat: Hashable
    voltage: int | None

    @classmethod
    def of(cls, seat: Seat) -> "Place":
        """Return what a seat is to the check of its kind; nothing but a voltage for a kind without a rule."""
        rule = RULES.get(seat.position.kind or "")
        told = None if rule is None else rule.seat(seat.family, seat.position)
        return cls(told, seat.family.voltage)


@attrs.frozen(cache_hash=True)
class Piece:
    """A part of a size as far as the check of its kind looks at it."""

    part: Hashable
    voltage: int | None

    @classmethod
    def of(cls, kind: str, size: SizeValues, part: PartFacts) -> "Piece":
        """Return what a part of a size is to the check of the kind."""
        rule = RULES.get(kind)
        return cls(None if rule is None else rule.piece(size, part), part.voltage)


def goes_in(kind: str, piece: Piece, place: Place) -> bool:
    """Return whether the seat surely takes the part: every reason of `Seat.judge` would be `fits`.

    Judged up to the first reason that is not; nothing said at all is no pass.
    """
    by_voltage = check_voltage(piece.voltage, place.voltage, "")
    if any(reason.verdict != "fits" for reason in by_voltage):
        return False
    rule = RULES.get(kind)
    return bool(by_voltage) if rule is None else rule.fits(piece.part, place.seat)


def told_of(kind: str, piece: Piece, place: Place) -> frozenset[str]:
    """Return the dimensions of which the seat says something."""
    rule = RULES.get(kind)
    if rule is None or rule.tells_all:
        return judged_dimensions(kind)
    return frozenset(reason.dimension for reason in rule.judge(piece.part, place.seat))


def judged_dimensions(kind: str) -> frozenset[str]:
    """Return the dimensions of which some seat of the kind may say something."""
    rule = RULES.get(kind)
    return frozenset() if rule is None else rule.dimensions
