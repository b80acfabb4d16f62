"""Wire models of `POST /v1/inspections`: what is answered."""

from typing import Annotated, Literal

from msgspec import Meta

from api.fit.reason_shapes import FitCaution
from api.inspection.shapes import PlaceName
from api.wire.shapes import Answer

VerdictName = Literal["good", "near_limit", "renew", "cannot_tell"]
BasisName = Literal["published", "second_hand", "common_practice", "memory", "judgement", "stated", "family"]
Probability = Annotated[float, Meta(ge=0, le=1)]


class InspectionLimit(Answer, frozen=True, kw_only=True):
    """One limit that was found for a feature, and what the reading is by it alone.

    `least` and `most` bound the judged value: the reading, or the wear or clearance that the text names.
    """

    text: str
    least: Annotated[float | None, Meta(description="millimetres, or the unit in the feature's name")]
    most: Annotated[float | None, Meta(description="millimetres, or the unit in the feature's name")]
    basis: Annotated[BasisName, Meta(description="where the figure is from")]
    source: str
    used: Annotated[bool, Meta(description="whether the verdict rests on it")]
    shown_only: Annotated[bool, Meta(description="for comparison: never judged by")]
    not_applicable: Annotated[str | None, Meta(description="why it does not hold for this piece")]
    verdict: VerdictName | None
    probability_inside: Probability | None


class InspectionReading(Answer, frozen=True, kw_only=True):
    """A feature that was read: its verdict, why, and by which of the limits."""

    feature: str
    verdict: VerdictName
    reason: str
    value: Annotated[
        float | None, Meta(description="millimetres, or the unit in the name; of the deciding piece")
    ]
    standard_uncertainty: float | None
    found: Annotated[str | None, Meta(description="what was seen, where nothing was measured")]
    pieces: Annotated[int, Meta(ge=0, description="pieces that were measured")]
    probability_inside: Annotated[
        Probability | None, Meta(description="conformance probability of JCGM 106 by the used limit")
    ]
    wear_used_share: Annotated[
        float | None,
        Meta(description="wear over wear allowed, by the means; more than 1 beyond the limit"),
    ]
    no_wear_share: Annotated[str | None, Meta(description="why no share is told")]
    why_limit: Annotated[str, Meta(description="why that limit is used, or none")]
    limits: list[InspectionLimit]
    further_check: str | None


class RootCauseAnswer(Answer, frozen=True, kw_only=True):
    """What to clear before a new part goes in (common practice, no source)."""

    code: str
    cause: str
    check: str
    cautions: Annotated[list[FitCaution], Meta(description="of a check that is done at the vehicle")]


class InspectedPosition(Answer, frozen=True, kw_only=True):
    """One place: its worst feature decides."""

    position: PlaceName
    verdict: VerdictName
    probability_inside: Annotated[
        Probability | None,
        Meta(description="every measured feature inside its limit, taken as independent; null: none judged"),
    ]
    wear_used_share: Annotated[
        float | None, Meta(description="the greatest share of the wear allowed that a feature has used")
    ]
    limiting: Annotated[str | None, Meta(description="the feature that decides")]
    readings: list[InspectionReading]
    not_read: Annotated[list[str], Meta(description="features of the place that were not read")]
    root_causes: list[RootCauseAnswer]
    caution: FitCaution


class InspectionMethod(Answer, frozen=True, kw_only=True):
    """How verdicts follow from readings, with the thresholds and where they are from."""

    rule: str
    proven_probability: float
    near_share: float
    least_capability: float
    origin: str


class InspectionAnswer(Answer, frozen=True, kw_only=True):
    """Every place judged, what was not inspected, and the cautions of the steps."""

    family: str | None
    method: InspectionMethod
    positions: list[InspectedPosition]
    not_inspected: Annotated[list[PlaceName], Meta(description="positions of the family without a reading")]
    cautions: list[FitCaution]
