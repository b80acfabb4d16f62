"""The seats that parts are listed for, and what they say together of a part in place of another. Pure."""

from collections.abc import Iterable

import attrs

from api.fit.judging.reasons import GRADE_ORDER, Grade, Reason, grade_of
from api.interchange.check_seat import check_seat
from api.interchange.seat_features import PartFacts, SizeValues
from api.starters.entries import FamilyEntry, PositionEntry


@attrs.frozen
class Seat:
    """A position, and the family that it is in as far as it decides what fits there."""

    family: FamilyEntry
    position: PositionEntry

    @classmethod
    def of(cls, family: FamilyEntry, position: PositionEntry) -> "Seat":
        """Return the seat of a position, the same for families that differ only in what decides no fit."""
        plain = attrs.evolve(
            family,
            code="",
            name="",
            construction="",
            rated_power_w=0,
            pilot_diameter_nm=0,
            mounting_holes=0,
            access_class="",
            notes="",
            positions=(),
        )
        return cls(plain, position)

    def judge(self, size: SizeValues, part: PartFacts) -> tuple[Reason, ...]:
        """Return what seat and voltage say of a part of a size."""
        return (
            *check_seat(self.family, self.position, size, part),
            *check_voltage(part.voltage, self.family.voltage, "the family"),
        )


def check_voltage(found: int | None, wanted: int | None, whose: str) -> tuple[Reason, ...]:
    """Return what the part's own voltage says; nothing where it or the other states none."""
    if found is None or wanted is None:
        return ()
    if found == wanted:
        return (Reason("voltage", "fits", f"{found} V, as {whose}", exact=True),)
    return (Reason("voltage", "does_not_fit", f"{found} V, but {whose} has {wanted} V", exact=True),)


def worst_seat(seats: Iterable[tuple[Reason, ...]]) -> tuple[Reason, ...]:
    """Return the reasons of the seat that speaks worst for a part; one seat at least."""
    return max(seats, key=lambda reasons: (_place(grade_of(reasons)), _open_questions(reasons)))


def _place(grade: Grade) -> int:
    return GRADE_ORDER.index(grade)


def _open_questions(reasons: tuple[Reason, ...]) -> int:
    return sum(reason.verdict != "fits" for reason in reasons)
