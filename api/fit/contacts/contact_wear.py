"""What is left of a contact: its thickness and the step burnt into its face, against limits. Pure."""

from typing import Final

from api.fit.judging.features import Feature
from api.fit.judging.gaps import at_least, at_most, bound_figures, figure_mm, gap_nm, mm, span
from api.fit.judging.reasons import Grade, Reason

WEAR_LIMIT_NM: Final = 900_000
"""Most wear of a contact plate: service data of one 12 V, 1.4 kW starter (0.9 mm, 0.035 in)."""

WEAR_SOURCE: Final = (
    "service data of one 12 V, 1.4 kW starter, no second source; its maker's limit comes first"
)
STATED: Final = "as stated"


def judge_thickness(
    thickness: Feature | None,
    new_thickness: Feature | None = None,
    *,
    least_thickness_nm: int | None = None,
    wear_limit_nm: int | None = None,
) -> Reason:
    """Return whether enough of a worn contact is left.

    Against a stated least thickness, else against the most wear (stated, or the published 0.9 mm) from the
    thickness when new. Without either the answer is `unknown`.
    """
    if thickness is None:
        return Reason("thickness", "unknown", "what is left of the contact is not stated")
    if least_thickness_nm is not None:
        return _judge_left(thickness, least_thickness_nm)
    if new_thickness is None:
        text = "neither the thickness when new nor a least thickness is stated"
        return Reason("thickness", "unknown", text)
    limit, source = _wear_limit(wear_limit_nm)
    worn = gap_nm(new_thickness, thickness)
    verdict = at_most(worn, limit)
    figures = (*bound_figures("wear", worn), figure_mm("wear_limit", limit))
    text = f"worn by {span(worn)}, limit {mm(limit)} ({source}){_ending(verdict)}"
    return Reason("thickness", verdict, text, figures=figures)


def judge_step(step: Feature | None, wear_limit_nm: int | None = None) -> Reason:
    """Return whether the step that the disc has burnt into a face is no deeper than the most wear."""
    if step is None:
        return Reason("step", "unknown", "the depth of the step in the face is not stated")
    limit, source = _wear_limit(wear_limit_nm)
    verdict = at_most(step.bounds_nm(), limit)
    figures = (*bound_figures("step", step.bounds_nm()), figure_mm("wear_limit", limit))
    text = f"step {span(step.bounds_nm())}, limit {mm(limit)} ({source}){_ending(verdict)}"
    return Reason("step", verdict, text, figures=figures)


def _judge_left(thickness: Feature, least_nm: int) -> Reason:
    verdict = at_least(thickness.bounds_nm(), least_nm)
    figures = (*bound_figures("thickness", thickness.bounds_nm()), figure_mm("thickness_limit", least_nm))
    text = f"{span(thickness.bounds_nm())} left, at least {mm(least_nm)} ({STATED}){_ending(verdict)}"
    return Reason("thickness", verdict, text, figures=figures)


def _wear_limit(stated_nm: int | None) -> tuple[int, str]:
    return (WEAR_LIMIT_NM, WEAR_SOURCE) if stated_nm is None else (stated_nm, STATED)


def _ending(verdict: Grade) -> str:
    return {"does_not_fit": ": worn out", "unknown": ": too near the limit to tell"}.get(verdict, "")
