"""Which standard pitch, pressure angle and profile shift a pinion has, from its teeth and spans. Pure.

The spans over two and three teeth differ by the base pitch pi m cos(a) whatever the flank wear, which
thins all teeth alike. Their level gives the profile shift: worn flanks give less than the true one,
never more. The tip diameter then has to be that of a tooth height in use; on an odd count it reads low.

Each pitch and angle is weighed against the figures: normal errors of reading and making, wear that is
exponential and only ever shrinks, every shift and tooth height in use allowed by its weight.
"""

import math
from collections.abc import Iterator

import attrs
import numpy as np

from api.errors import DomainError, FieldFault
from api.fit.gears.involute import Gear
from api.fit.gears.pinion_likelihood import (
    MOST_GAP,
    NM_PER_MM,
    SHIFTS,
    FloatArray,
    PinionReadings,
    across_factors,
    judge_base_pitch,
    judge_level,
    judge_tip,
    shift_as_read,
    shift_weights,
)
from api.fit.gears.standard_pitches import PRESSURE_ANGLES, STANDARD_PITCHES, StandardPitch
from api.fit.judging.features import Feature
from api.measurement.lengths import format_length


@attrs.frozen
class Suspect:
    """A reading that spoils the agreement: its name, its value as text, and what fits without it."""

    name: str
    value: str
    instead: str


@attrs.frozen
class PinionFiguresDisagree(DomainError):
    """No standard pinion has these teeth, tip diameter and spans together.

    `given` names what was read with its value as text, `nearest` the candidate that comes nearest, `gap`
    how many standard deviations its worst figure lies off, `findings` where it does. `suspects` are the
    readings without which (or the counts with which) the rest would agree.
    """

    given: tuple[tuple[str, str], ...]
    nearest: str
    gap: float
    findings: tuple[str, ...]
    suspects: tuple[Suspect, ...]

    def explain(self) -> str:
        """Say that they do not go together, what comes nearest, and which reading may be at fault."""
        told = ", ".join(f"{name} {value}" for name, value in self.given)
        more = "".join(f" {suspect.instead[:1].upper()}{suspect.instead[1:]}." for suspect in self.suspects)
        return f"{told}: no standard pinion has these together. {self._nearest()}.{more}"

    def as_faults(self) -> tuple[FieldFault, ...]:
        """Return a fault for each suspect reading, or for every one where none stands out."""
        if not self.suspects:
            return tuple(
                FieldFault((name,), value, f"figures of one pinion. {self._nearest()}", "cannot_agree")
                for name, value in self.given
            )
        return tuple(
            FieldFault(
                (one.name,),
                one.value,
                f"figures of one pinion: {one.instead}. {self._nearest()}",
                "cannot_agree",
            )
            for one in self.suspects
        )

    def _nearest(self) -> str:
        return (
            f"The nearest is {self.nearest}, {self.gap:.1f} standard deviations off (at most {MOST_GAP:g} "
            f"would do): {'; '.join(self.findings)}"
        )


@attrs.frozen(kw_only=True)
class PinionCandidate:
    """A pitch and pressure angle with what the figures make of them.

    `weight` is its share among the candidates that agree. `profile_shift` (modules) is the likeliest, with
    the range that holds 95 %; `shift_as_read` is what the spans give without wear: the least it can be.
    `addendum` is in modules. Lengths are mm, `pressure_angle` degrees. `worst_gap` counts standard
    deviations. `spans_off_flank` are spans whose jaws would reach past the tips.
    """

    pitch: StandardPitch
    pressure_angle: float
    weight: float
    profile_shift: float
    shift_range: tuple[float, float]
    shift_as_read: float | None
    height: str
    addendum: float
    base_pitch_mm: float
    base_pitch_gap: float | None
    worst_gap: float
    gear: Gear
    spans_off_flank: tuple[int, ...]
    findings: tuple[str, ...]

    @property
    def name(self) -> str:
        """How it is called: `10 DP at 20 degrees`."""
        return f"{self.pitch.name} at {self.pressure_angle:g} degrees"


@attrs.frozen
class _Weighed:
    log_weight: float
    candidate: PinionCandidate


def identify_pinion(read: PinionReadings) -> tuple[PinionCandidate, ...]:
    """Return every standard pitch and pressure angle that agrees with the readings, likeliest first.

    Raises `PinionFiguresDisagree` where none does.
    """
    agreeing = _agreeing(read)
    if not agreeing:
        raise _refuse(read)
    top = max(one.log_weight for one in agreeing)
    shares = [math.exp(one.log_weight - top) for one in agreeing]
    total = sum(shares)
    found = [
        attrs.evolve(one.candidate, weight=share / total) for one, share in zip(agreeing, shares, strict=True)
    ]
    return tuple(sorted(found, key=lambda one: (-one.weight, one.worst_gap)))


def _agreeing(read: PinionReadings) -> list[_Weighed]:
    """Return the candidates whose figures all lie within the limits, in no order."""
    weighed = [
        _weigh(read, pitch, angle, math.log(pitch.weight * chance))
        for pitch, angle, chance in _standards()
        if _spans_may_agree(read, _plain(read, pitch, angle))
    ]
    return [one for one in weighed if one.candidate.worst_gap <= MOST_GAP]


def _spans_may_agree(read: PinionReadings, plain: Gear) -> bool:
    """Whether the spans alone leave the candidate standing: cheap, and most fall here."""
    _, pitch_gap = judge_base_pitch(read, plain)
    return abs(pitch_gap or 0.0) <= MOST_GAP and float(judge_level(read, plain)[1].min()) <= MOST_GAP


def _standards() -> Iterator[tuple[StandardPitch, float, float]]:
    """Every pitch with every pressure angle (degrees) and the angle's weight."""
    for pitch in STANDARD_PITCHES:
        for angle, chance in PRESSURE_ANGLES.items():
            yield pitch, angle, chance


def _plain(read: PinionReadings, pitch: StandardPitch, degrees: float) -> Gear:
    return Gear(teeth=read.teeth, module_mm=pitch.module_mm, pressure_angle=math.radians(degrees))


def _refuse(read: PinionReadings) -> PinionFiguresDisagree:
    weighed = [_weigh(read, pitch, angle, 0.0).candidate for pitch, angle, _ in _standards()]
    nearest = min(weighed, key=lambda one: one.worst_gap)
    return PinionFiguresDisagree(
        given=(("teeth", str(read.teeth)), *((name, _mm(told)) for name, told in _lengths(read))),
        nearest=nearest.name,
        gap=nearest.worst_gap,
        findings=nearest.findings,
        suspects=tuple(_suspects(read)),
    )


def _suspects(read: PinionReadings) -> Iterator[Suspect]:
    """Find the readings without which the rest agrees, and the neighbouring counts with which all do."""
    for teeth in (read.teeth - 1, read.teeth + 1):
        found = _best(attrs.evolve(read, teeth=teeth))
        if found is not None:
            yield Suspect("teeth", str(read.teeth), f"with {teeth} teeth they are those of {found}")
    lengths = _lengths(read)
    for name, told in lengths if len(lengths) > 1 else ():
        spans = {over: span for over, span in read.spans.items() if name != f"base_tangent_{over}"}
        rest = attrs.evolve(read, tip=None if name == "tip_diameter" else read.tip, spans=spans)
        found = _best(rest)
        if found is not None:
            yield Suspect(name, _mm(told), f"without {name} they may be those of {found}")


def _best(read: PinionReadings) -> str | None:
    agreeing = _agreeing(read)
    return max(agreeing, key=lambda one: one.log_weight).candidate.name if agreeing else None


def _lengths(read: PinionReadings) -> tuple[tuple[str, Feature], ...]:
    tip = () if read.tip is None else (("tip_diameter", read.tip),)
    return (*tip, *((f"base_tangent_{over}", span) for over, span in sorted(read.spans.items())))


def _mm(told: Feature) -> str:
    return format_length(round(told.middle_nm))


def _weigh(read: PinionReadings, pitch: StandardPitch, degrees: float, log_prior: float) -> _Weighed:
    plain, heights = _plain(read, pitch, degrees), pitch.heights
    log_pitch, pitch_gap = judge_base_pitch(read, plain)
    log_level, level_gap = judge_level(read, plain)
    log_tip, tip_gap = judge_tip(read, plain, heights)
    log_cells = np.log(shift_weights())[:, None] + np.log([height.weight for height in heights])
    log_cells = log_cells + log_level[:, None] + log_tip
    gaps = np.maximum(np.maximum(level_gap[:, None], tip_gap), abs(pitch_gap or 0.0))
    worst = float(gaps.min())
    top = float(log_cells.max())
    # Where every tip would be pointed nothing has a weight: all shifts count alike.
    cells = np.exp(log_cells - top) if math.isfinite(top) else np.ones(gaps.shape)
    likeliest = int(np.argmax(cells.sum(axis=1)))
    height = heights[int(np.argmax(cells[likeliest]))]
    gear = attrs.evolve(plain, profile_shift=float(SHIFTS[likeliest]), addendum=height.addendum)
    as_read = shift_as_read(read, plain)
    candidate = PinionCandidate(
        pitch=pitch,
        pressure_angle=degrees,
        weight=0.0,
        profile_shift=gear.profile_shift,
        shift_range=_central_range(cells.sum(axis=1)),
        shift_as_read=as_read,
        height=height.name,
        addendum=height.addendum,
        base_pitch_mm=plain.base_pitch_mm,
        base_pitch_gap=pitch_gap,
        worst_gap=worst,
        gear=gear,
        spans_off_flank=tuple(
            over for over in sorted(read.spans) if gear.span_touches_mm(over) > gear.tip_diameter_mm
        ),
        findings=_findings(read, gear, pitch_gap, as_read),
    )
    return _Weighed(log_prior + log_pitch + top + math.log(cells.sum()), candidate)


def _central_range(weights: FloatArray) -> tuple[float, float]:
    """The shifts between which 95 % of the weight lies."""
    run = np.cumsum(weights) / weights.sum()
    lower, upper = np.searchsorted(run, [0.025, 0.975])
    return float(SHIFTS[lower]), float(SHIFTS[min(int(upper), len(SHIFTS) - 1)])


def _findings(
    read: PinionReadings, gear: Gear, pitch_gap: float | None, as_read: float | None
) -> tuple[str, ...]:
    said = []
    if pitch_gap is not None:
        apart = (read.spans[3].middle_nm - read.spans[2].middle_nm) / NM_PER_MM
        said.append(
            f"the spans differ by {apart:.3f} mm, its base pitch is {gear.base_pitch_mm:.3f} mm "
            f"({round(pitch_gap, 1) + 0.0:+.1f} standard deviations)"
        )
    for over, span in sorted(read.spans.items()):
        said.append(
            f"the span over {over} teeth is {span.middle_nm / NM_PER_MM:.3f} mm, unworn it has "
            f"{gear.base_tangent_mm(over):.3f} mm at a profile shift of {gear.profile_shift:.3f}"
        )
    if as_read is not None:
        said.append(
            f"without flank wear the spans give a profile shift of {as_read:.3f}; wear only hides more"
        )
    if read.tip is not None:
        said.append(_of_tip(read.tip, gear))
    return tuple(said)


def _of_tip(tip: Feature, gear: Gear) -> str:
    told = (
        f"the tip diameter is {tip.middle_nm / NM_PER_MM:.3f} mm, unworn it has "
        f"{gear.tip_diameter_mm:.3f} mm with an addendum of {gear.addendum:.3f} modules"
    )
    if gear.teeth % 2 == 0 or gear.tip_diameter_mm > gear.pointed_diameter_mm():
        return told
    land = gear.thickness_at_mm(gear.tip_diameter_mm) / gear.tip_diameter_mm
    least, most = (float(factor) * gear.tip_diameter_mm for factor in across_factors(gear.teeth, land))
    return f"{told}; a caliper across its odd count reads {least:.2f} to {most:.2f} mm"
