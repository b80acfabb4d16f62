"""Wire shapes that fit checks share: a reason with its figures, what is only reported, a caution."""

from collections.abc import Iterable
from typing import Annotated, Literal

from msgspec import Meta

from api.fit.judging.cautions import Caution
from api.fit.judging.reasons import Figure, Reason
from api.wire.shapes import Answer

GradeName = Literal["fits", "fits_with_rework", "does_not_fit", "unknown"]
Figures = Annotated[dict[str, float], Meta(description="by name; each name carries its unit")]


class FitReason(Answer, frozen=True, kw_only=True):
    """What one check of a dimension (or a listing, or a voltage) says, in words and figures."""

    dimension: str
    verdict: GradeName
    reason: str
    figures: Figures


class FitReport(Answer, frozen=True, kw_only=True):
    """What was computed and counts in no verdict, with its source and why it is not judged."""

    topic: str
    text: str
    figures: Figures
    source: str


class FitCaution(Answer, frozen=True, kw_only=True):
    """A caution at the step where it counts, and how the battery has to be for that step."""

    step: str
    battery: Literal["disconnected", "connected"]
    caution: str


def fit_reason(reason: Reason) -> FitReason:
    """Give a reason its wire shape."""
    return FitReason(
        dimension=reason.dimension,
        verdict=reason.verdict,
        reason=reason.text,
        figures=figures_answer(reason.figures),
    )


def figures_answer(figures: Iterable[Figure]) -> dict[str, float]:
    """Give figures their wire shape: to six decimals, a nanometre or a millionth."""
    return {one.name: round(one.value, 6) for one in figures}


def caution_answers(cautions: Iterable[Caution]) -> list[FitCaution]:
    """Give cautions their wire shape."""
    return [FitCaution(step=one.step, battery=one.battery, caution=one.text) for one in cautions]
