"""Does a brush run in its holder, is it of the right grade, and does its lead reach? Pure."""

from typing import Final

import attrs

from api.fit.brushes.brush_clearances import (
    SOURCE,
    ClearanceRow,
    NominalSize,
    brush_nominals,
    holder_nominal,
    published_clearance,
)
from api.fit.judging.differences import difference
from api.fit.judging.features import Feature
from api.fit.judging.gaps import at_least, bound_figures, figure_mm, gap_nm, span
from api.fit.judging.reasons import Figure, Grade, Reason

REFUSED_BEYOND_NM: Final = 500_000
"""How far beyond the published greatest clearance a brush is refused outright (our judgement)."""

GRADE_VOLTAGES: Final = {"copper_rich_12v": 12, "copper_medium_12v": 12, "copper_lean_24v": 24}
"""The rated voltage that a grade of the catalogue is made for."""

BARE: Final = "bare"


@attrs.frozen(kw_only=True)
class Brush:
    """A brush (one of a set) as far as it is known; `count` is how many the set holds."""

    thickness: Feature | None = None
    width: Feature | None = None
    lead_length: Feature | None = None
    count: int | None = None
    rated_voltage: int | None = None
    grade: str | None = None
    terminal: str | None = None
    lead_exit: str | None = None
    bevel: str | None = None


@attrs.frozen(kw_only=True)
class BrushSeat:
    """What the starter takes: holder, count and voltage decide; the rest only where it is stated."""

    holder_thickness: Feature | None = None
    holder_width: Feature | None = None
    lead_reach: Feature | None = None
    count: int | None = None
    rated_voltage: int | None = None
    grade: str | None = None
    terminal: str | None = None
    lead_exit: str | None = None
    bevel: str | None = None


def judge_brush(brush: Brush, seat: BrushSeat) -> tuple[Reason, ...]:
    """Return what each check says of a new brush in a starter.

    Holder, count and voltage always count (not known: `unknown`); lead, terminal, lead exit, bevel and grade
    where the seat states what it takes.
    """
    reasons = [
        judge_holder("thickness", seat.holder_thickness, brush.thickness),
        judge_holder("width", seat.holder_width, brush.width),
        _equal("brush_count", brush.count, seat.count),
        judge_voltage(brush.rated_voltage, brush.grade, seat.rated_voltage),
    ]
    if seat.lead_reach is not None:
        reasons.append(judge_lead(brush.lead_length, seat.lead_reach))
    if seat.grade is not None:
        reasons.append(_judge_grade(brush.grade, seat.grade))
    if seat.terminal is not None:
        reasons.append(_judge_terminal(brush.terminal, seat.terminal))
    if seat.lead_exit is not None:
        reasons.append(_equal("lead_exit", brush.lead_exit, seat.lead_exit))
    if seat.bevel is not None:
        reasons.append(_equal("bevel", brush.bevel, seat.bevel))
    return tuple(reasons)


def judge_holder(dimension: str, holder: Feature | None, brush: Feature | None) -> Reason:
    """Return what the clearance of a brush in its holder says, against the published table.

    Within the published least and greatest: fits. Surely tighter than the least: does not fit, as it goes in
    at best and then sticks. Surely looser than the greatest by `REFUSED_BEYOND_NM`: does not fit. Else
    unknown. The row is that of the holder's nominal size.
    """
    if holder is None or brush is None:
        return Reason(dimension, "unknown", "the brush or its holder is not known")
    nominal = holder_nominal(holder)
    row = _row(holder, nominal)
    clearance = gap_nm(holder, brush)
    told = f"clearance in the holder {span(clearance)}"
    if row is None:
        figures: tuple[Figure, ...] = bound_figures("clearance", clearance)
        verdict: Grade = "does_not_fit" if clearance[1] <= 0 else "unknown"
        text = f"{told}; no clearance is published for a holder of this size"
        return Reason(dimension, verdict, text, figures=figures)
    verdict, words = _weigh(clearance, row)
    size = "" if nominal is None else f" for {nominal.text}"
    text = f"{told}, published{size} {span((row.least_nm, row.most_nm))} ({SOURCE}){words}"
    text += _systems(nominal, brush_nominals(brush))
    return Reason(dimension, verdict, text, figures=_clearance_figures(holder, brush, clearance, row))


def judge_voltage(rated_voltage: int | None, grade: str | None, starter_voltage: int | None) -> Reason:
    """Return whether brushes are made for the starter's voltage: 12 V and 24 V grades never stand in.

    The rated voltage counts, and the grade's own where the grade is known; a grade of another voltage than
    the brush claims does not fit either.
    """
    of_grade = GRADE_VOLTAGES.get(grade or "")
    if starter_voltage is None or (rated_voltage is None and of_grade is None):
        text = "the voltage of the starter or that of the brushes is not known"
        return Reason("rated_voltage", "unknown", text, exact=True)
    for told, name in ((rated_voltage, "brushes"), (of_grade, f"grade {grade}")):
        if told is not None and told != starter_voltage:
            text = f"{name} for {told} V, but the starter has {starter_voltage} V"
            return Reason("rated_voltage", "does_not_fit", text, exact=True)
    return Reason("rated_voltage", "fits", f"{starter_voltage} V, as the starter has", exact=True)


def judge_lead(lead: Feature | None, reach: Feature) -> Reason:
    """Return whether a lead is surely as long as the way that it has to span."""
    if lead is None:
        return Reason("lead_length", "unknown", "the length of the lead is not known")
    slack = gap_nm(lead, reach)
    verdict = at_least(slack, 0)
    words = {"does_not_fit": ": too short", "unknown": ": it may be too short"}.get(verdict, "")
    text = f"lead less the way it spans {span(slack)}{words}"
    return Reason("lead_length", verdict, text, figures=bound_figures("slack", slack))


def _row(holder: Feature, nominal: NominalSize | None) -> ClearanceRow | None:
    if nominal is not None:
        return published_clearance(nominal.nm, nominal.system)
    return published_clearance(holder.lower_nm)


def _weigh(clearance: tuple[int, int], row: ClearanceRow) -> tuple[Grade, str]:
    least, most = clearance
    if most <= 0:
        return "does_not_fit", ": it does not go in"
    if most < row.least_nm:
        return "does_not_fit", ": so tight that it sticks once warm or dusty"
    if least >= row.most_nm + REFUSED_BEYOND_NM:
        return "does_not_fit", ": far too loose"
    if least <= 0:
        return "unknown", ": it may not go in"
    if least < row.least_nm:
        return "unknown", ": it may be tighter than published"
    if most > row.most_nm:
        return "unknown", ": it may be looser than published, rock and chip"
    return "fits", ""


def _systems(holder: NominalSize | None, brush: tuple[NominalSize, ...]) -> str:
    """Note an inch brush in a metric holder, or the reverse, by the preferred sizes of both."""
    if holder is None or not brush or any(one.system == holder.system for one in brush):
        return ""
    return (
        f". The brush looks like {brush[0].text}, the holder like {holder.text}: "
        "an inch brush in a metric holder, or the reverse, may not fit (EASA AR100-2020)"
    )


def _clearance_figures(
    holder: Feature, brush: Feature, clearance: tuple[int, int], row: ClearanceRow
) -> tuple[Figure, ...]:
    between = difference(holder, brush)
    chance = between.chance_above(row.least_nm) - between.chance_above(row.most_nm)
    figures = (
        *bound_figures("clearance", clearance),
        figure_mm("published_least_clearance", row.least_nm),
        figure_mm("published_most_clearance", row.most_nm),
    )
    if between.is_exact:
        return figures
    return (*figures, Figure("chance_within_published", chance))


def _judge_grade(grade: str | None, wanted: str) -> Reason:
    if grade is None:
        return Reason("grade", "unknown", "the grade of the brush is not known", exact=True)
    if grade == wanted:
        return Reason("grade", "fits", f"{grade}, as the starter takes", exact=True)
    if GRADE_VOLTAGES.get(grade) == GRADE_VOLTAGES.get(wanted):
        text = f"{grade}, the starter takes {wanted}: another drop and another wear, ask its maker"
        return Reason("grade", "unknown", text, exact=True)
    text = f"{grade}, but the starter takes {wanted}: grades of other voltages may not stand in"
    return Reason("grade", "does_not_fit", text, exact=True)


def _judge_terminal(terminal: str | None, wanted: str) -> Reason:
    if terminal is None:
        return Reason("terminal", "unknown", "the terminal of the lead is not known", exact=True)
    if terminal == wanted:
        return Reason("terminal", "fits", f"{terminal}, as the starter takes", exact=True)
    if wanted == BARE:
        text = f"{terminal}, the starter takes a bare lead: cut the terminal off, weld or braze the lead"
        return Reason("terminal", "fits_with_rework", text, exact=True)
    text = f"{terminal}, but the starter takes {wanted}"
    return Reason("terminal", "does_not_fit", text, exact=True)


def _equal(dimension: str, found: int | str | None, wanted: int | str | None) -> Reason:
    """Judge a count or a choice: equal or not, there is no tolerance."""
    if found is None or wanted is None:
        return Reason(
            dimension, "unknown", "what the brush has or the starter takes is not known", exact=True
        )
    if found == wanted:
        return Reason(dimension, "fits", f"{found}, as the starter takes", exact=True)
    return Reason(dimension, "does_not_fit", f"{found}, but the starter takes {wanted}", exact=True)
