"""Wire shapes of interchange: what fits a position, what stands in for a part, where a part is used."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from msgspec import Meta
from msgspec.structs import replace
from sqlalchemy import Row

from api.fit.reason_shapes import FitReason, GradeName, fit_reason
from api.interchange.reasons import Judgement
from api.offers.shapes import CurrentOffer
from api.starters.shapes import Construction, PositionCode, Voltage
from api.wear_parts.shapes import (
    Day,
    NumberAnswer,
    PartReference,
    PartSummary,
    SizeDimensionAnswer,
    part_reference,
)
from api.wire.shapes import Answer

RelationName = Literal["listed", "same_size", "overlapping_size", "look_alike"]


class GradedPart(Answer, frozen=True, kw_only=True):
    """A part with its grade, what the grade rests on, and its best offer on the day.

    A superseded part names what directly replaced it.
    """

    part: PartReference
    relation: Annotated[
        RelationName,
        Meta(
            description="listed by its maker for it; of the same size; of a size that overlaps in every "
            "length; alike in every length but different in a count or choice"
        ),
    ]
    grade: GradeName
    reasons: list[FitReason]
    best_offer: CurrentOffer | None
    superseded_by: PartReference | None


class PositionInterchange(Answer, frozen=True, kw_only=True):
    """What fits one position; `note` says why nothing is told where nothing is."""

    position: PositionCode
    kind: str | None
    quantity: int
    grade: Annotated[GradeName, Meta(description="the best that any part reaches; unknown without one")]
    note: str | None
    total: Annotated[int, Meta(ge=0, description="parts found, of which `limit` at most are shown")]
    parts: list[GradedPart]


class FamilyInterchange(Answer, frozen=True, kw_only=True):
    """For each position of a family the parts that are listed for it or alike in size, best first."""

    family: str
    as_of: Day
    caution: str
    positions: list[PositionInterchange]


class PartInterchange(Answer, frozen=True, kw_only=True):
    """What stands in for a part where it is listed; directed: the other way round may differ."""

    part: PartReference
    as_of: Day
    caution: str
    seats: Annotated[
        int, Meta(ge=0, description="different seats that it is listed for; with none nothing is called fits")
    ]
    total: int
    parts: list[GradedPart]


class SupersessionStep(Answer, frozen=True, kw_only=True):
    """One step of a chain of supersessions: which part came next, and on which day."""

    on: Day
    part: PartReference


class PartAnswer(PartSummary, frozen=True, kw_only=True):
    """One wear part: its dimensions, its numbers, what superseded it, its best offer today."""

    dimensions: list[SizeDimensionAnswer]
    numbers: list[NumberAnswer]
    superseded_by: Annotated[list[SupersessionStep], Meta(description="the last one is the current part")]
    listings: Annotated[int, Meta(ge=0, description="positions that its maker lists it for")]
    offers: Annotated[int, Meta(ge=0, description="offers that hold on the day")]
    best_offer: CurrentOffer | None

    def own_state(self) -> "PartAnswer":
        """Return it without what its maker, its size, numbers, supersessions, listings and offers say."""
        told = {"dimensions": [], "numbers": [], "superseded_by": [], "listings": 0, "offers": 0}
        return replace(self, maker=replace(self.maker, name=""), best_offer=None, **told)


class PositionUse(Answer, frozen=True, kw_only=True):
    """A position that a part is listed for."""

    position: PositionCode
    quantity: int


class FamilyUse(Answer, frozen=True, kw_only=True):
    """A family that a part is used in."""

    family: Annotated[str, Meta(description="code of the family")]
    name: str
    construction: Construction
    voltage: Voltage
    positions: list[PositionUse]


def graded_part(
    row: Row[Any],
    judgement: Judgement,
    offer: CurrentOffer | None,
    successors: Mapping[str, Row[Any]],
) -> GradedPart:
    """Give a judged part its wire shape; `successors` are rows by the id of the part they replaced."""
    later = successors.get(row.id)
    return GradedPart(
        part=part_reference(row),
        relation=judgement.relation,
        grade=judgement.grade,
        reasons=[fit_reason(reason) for reason in judgement.reasons],
        best_offer=offer,
        superseded_by=None if later is None else part_reference(later),
    )
