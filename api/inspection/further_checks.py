"""What to check next where a verdict is near its limit or cannot be told. Pure.

Common practice of the trade, no source.
"""

from typing import Final

from api.inspection.bench_readings import BenchPlace, show
from api.inspection.judge_feature import NO_CLEARANCE, OPEN_NEW, JudgedFeature
from api.inspection.vocabulary import features_at

CHECKS: Final = {
    "thickness": "Measure all of the pair and the disc, at the most worn spot.",
    "step": "Measure the step on both contacts; lay a straight edge over the face.",
    "length": "Measure every brush of the set at its shortest edge.",
    "bore": "Read two diameters 90 degrees apart with a bore gauge, and the journal with a micrometer.",
    "oval": "Read two diameters 90 degrees apart with a bore gauge.",
    "housing_bore": "Read two diameters 90 degrees apart with a bore gauge, the bush out.",
    "holder_thickness": "Clean the holder and read it again; try a new brush in it.",
    "holder_width": "Clean the holder and read it again; try a new brush in it.",
    "journal_diameter": "Read the journal with a micrometer where it runs and where it does not.",
    "base_tangent_2": "Compare with the same span of a new drive; look at the entry of every tooth.",
    "base_tangent_3": "Compare with the same span of a new drive; look at the entry of every tooth.",
    "diameter": "Measure with a micrometer; leave enough for truing.",
    "run_out": "Check the armature between sound centres; true, undercut, then read run-out and diameter "
    "again.",
    "undercut": "Undercut the mica squarely and to full width, then measure at several bars.",
    "shaft_run_out": "Check on V-blocks at both journals.",
    "core_run_out": "Check the shaft first: a bent shaft shows at the core.",
    "spring_force_newtons": "Read the pull at the moment the brush lifts, in line with the brush, three "
    "times.",
    "slip_torque_newton_metres": "Hold the drive in soft jaws and load it slowly with a torque wrench, "
    "three times.",
    "overrun_torque_newton_metres": "Turn the drive on by a light lever and spring balance.",
    "resistance_to_ground_ohms": "Clean, dry, and measure again; by a lamp or an ohmmeter there must be no "
    "continuity.",
    "bound": "Free it, clean it, and judge it again: that costs no part.",
    "pitted": "Measure the thickness and the step at the deepest pit; look at the partner and the disc.",
    "sticking": "Clean holder and brush, dry; the brush has to slide by its own weight. Then judge it again.",
    "worn": "Look at every tooth all the way round, and at those it meshes with.",
    "rough": "Clean it outside, turn it loaded by hand and feel for play; a drive is not washed in solvent.",
    "sticky": "Clean it, a light film of grease, and judge it again: that costs no part.",
    "rubbed_bright": "Read every bore and journal, and the run-out of shaft and core.",
    "darkened": "Measure the resistance to ground; test the windings for shorted turns.",
    "oily": "Wipe it clean and dry without solvent on the windings, and judge it again.",
    "grooved": "Measure run-out and diameter in the deepest groove: is enough left for truing?",
}


def next_check(judged: JudgedFeature) -> str | None:
    """Return what to check next of a judged feature, or None where the verdict stands by itself."""
    if judged.verdict in ("good", "renew"):
        return _other_sources(judged)
    choice = judged.reading.choice
    if choice is not None:
        return CHECKS.get(choice.code)
    feature = judged.reading.feature
    first = CHECKS.get(feature, "")
    used = next((one.limit for one in judged.limits if one.used), None)
    if judged.no_share == NO_CLEARANCE:
        return f"{first} Look whether the bush is of this place."
    if used is None and judged.no_share == OPEN_NEW:
        return f"{OPEN_NEW[:1].upper()}{OPEN_NEW[1:]}. {first}".strip()
    if used is None:
        return f"State the maker's limit: {judged.why_limit}. {first}".strip()
    value = used.value(judged.reading.pieces[judged.piece].known)
    if judged.verdict == "cannot_tell" and value.deviation > 0:
        u = show(feature, value.deviation)
        coarse = f"The reading is known to {u} (standard uncertainty), too coarse to tell"
        return f"{first} {coarse}: use a finer instrument."
    return first or None


def _other_sources(judged: JudgedFeature) -> str | None:
    """Return a hint where another limit that applies says otherwise."""
    others = [
        one
        for one in judged.limits
        if not one.used
        and one.verdict not in (None, judged.verdict)
        and not (one.limit.shown_only and judged.verdict == "good")
    ]
    if not others:
        return None
    told = "; ".join(f"{one.verdict} by {one.limit.words} ({one.limit.source})" for one in others)
    return f"The sources disagree: {told}. The maker's manual decides."


def unread(place: BenchPlace, field: str | None) -> tuple[str, ...]:
    """Return the features of a place that were not read, in their order."""
    read = {one.feature for one in place.readings}
    return tuple(code for code in features_at(place.place, field) if code not in read)
