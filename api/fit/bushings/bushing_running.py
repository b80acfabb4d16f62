"""Whether the shaft turns in a pressed bush without rattling, and to which bore to size it if not. Pure."""

import math
from collections.abc import Sequence
from typing import Final, Literal

import attrs

from api.fit.bushings.bushing_pieces import REFERENCE_CELSIUS, Pieces
from api.fit.bushings.bushing_press import HARDLY, SURE, shown_mm, span_text
from api.fit.bushings.bushing_states import BushingState, Running, Span
from api.fit.bushings.materials import Construction
from api.fit.judging.reasons import Figure, Grade, Reason
from api.fit.limits.tolerance_classes import limits_of
from api.fit.limits.tolerance_tables import GREATEST_SIZE_NM
from api.measurement.lengths import format_length

Operation = Literal["burnish", "ream"]

LEAST_PRACTICE: Final = 0.0015
"""Clearance that a sized bore leaves, as a share of the shaft: 0.0015 in per inch (a bearing guide, for
self-lubricating plain bearings in constant rotation)."""

FAR_TOO_LOOSE_NM: Final = 300_000
"""Clearance from which a bush is refused (our judgement)."""

WALL_TAKEN_AT_MOST: Final = 0.25
"""Greatest share of the wall that sizing may take or push outwards (our judgement)."""

LOOSEST_HOLE: Final = "H9"
LOOSEST_SHAFT: Final = "e7"
"""The loosest pair that is standard practice: bore H9 once pressed, shaft e7 (ISO 3547, at second hand)."""

SIZED_HOLE: Final = "H7"
"""Tolerance of a sized bore (ISO 2795: bores after fitting)."""

OPERATION: Final[dict[Construction, Operation]] = {"porous": "burnish", "solid": "ream", "wrapped": "ream"}
"""How a bore is sized in place: reaming smears the pores of a porous bush shut, so it is burnished with a
pin (common practice, no source)."""

GREATEST_GROWTH_NM: Final[dict[Construction, int]] = {
    "porous": 80_000,
    "solid": 200_000,
    "wrapped": 100_000,
}
"""How much sizing may widen a bore (our judgement: a pin moves little, a wrapped bush's bronze is thin)."""


@attrs.frozen(kw_only=True)
class Rework:
    """What to do to a bore once it is in its seat, and the size (nm, at 20 degrees Celsius) to give it."""

    operation: Operation
    bore_lower_nm: int
    bore_upper_nm: int

    @property
    def words(self) -> str:
        """The operation and the size in words."""
        size = f"{format_length(self.bore_lower_nm).removesuffix(' mm')}..{format_length(self.bore_upper_nm)}"
        if self.operation == "burnish":
            return f"size the bore in place with a burnishing pin to {size}; never ream a porous bush"
        return f"ream the bore in place to {size}"


@attrs.frozen(kw_only=True)
class Verdict:
    """What the bore says, and the rework that it needs, if any."""

    reason: Reason
    rework: Rework | None = None


def loosest_clearance_nm(shaft_nm: float) -> int | None:
    """Return the greatest clearance (nm) that is standard practice; None above 80 mm, where tables end."""
    if shaft_nm > GREATEST_SIZE_NM:
        return None
    nominal = _nominal_nm(shaft_nm)
    return limits_of(nominal, LOOSEST_HOLE, "hole")[1] - limits_of(nominal, LOOSEST_SHAFT, "shaft")[0]


def judge_running(
    pieces: Pieces, ways: Sequence[Running], states: Sequence[BushingState], *, free: bool
) -> Verdict:
    """Return what the running clearance over the temperatures says of the bore, and the rework.

    `ways` are all makes that may be, `states` begin with assembly, `free` says that the bore is that of
    the loose bush. Sure to run at every moment: fits, unless it may be looser than is standard practice
    (unknown) or is far too loose (does not fit). Not sure to run: fits with rework where the bore can be
    sized, else it does not fit or is unknown.
    """
    clearance = Span.around(state.clearance_nm for state in states[:1] if state.clearance_nm is not None)
    tightest = min(states, key=lambda state: (state.runs or Span(0, 0)).least)
    runs = Span((tightest.runs or Span(0, 0)).least, min((state.runs or Span(0, 0)).most for state in states))
    told = f"clearance on the shaft {span_text(clearance)} {_pressed_words(free, ways)}"
    figures = (
        Figure("least_clearance_mm", shown_mm(clearance.least)),
        Figure("greatest_clearance_mm", shown_mm(clearance.most)),
        Figure("chance_runs_free", round(runs.least, 6)),
        Figure("at_celsius", tightest.celsius),
    )

    def verdict(grade: Grade, more: str, rework: Rework | None = None) -> Verdict:
        return Verdict(reason=Reason("bore", grade, f"{told}{more}", figures=figures), rework=rework)

    celsius = states[0].celsius
    far = Span.around(way.chance_above(FAR_TOO_LOOSE_NM, celsius) for way in ways)
    if far.least >= SURE:
        return verdict("does_not_fit", ": far too loose")
    limit = loosest_clearance_nm(pieces.shaft.middle_nm)
    loose = Span.around(way.chance_above(limit, celsius) for way in ways) if limit is not None else None
    if limit is None or loose is None:
        return verdict("unknown", ": no practice is known for so large a shaft")
    if loose.most > HARDLY:
        return verdict("unknown", f": it may be looser than {format_length(limit)}, the loosest in practice")
    if runs.least >= SURE:
        return verdict("fits", "")
    when = f" at {tightest.celsius:g} °C"
    rework = find_rework(pieces, ways, states)
    if rework is not None:
        return verdict("fits_with_rework", f", not sure to run free{when}: {rework.words}", rework)
    if runs.most <= HARDLY:
        return verdict("does_not_fit", f": the shaft does not turn{when}, and sizing cannot mend it")
    return verdict("unknown", f": the shaft may not turn{when}, chance that it does {runs.least:.1%}")


def find_rework(pieces: Pieces, ways: Sequence[Running], states: Sequence[BushingState]) -> Rework | None:
    """Return how to size the bore in place, or None where the construction leaves it open or it is too much.

    The bore leaves `LEAST_PRACTICE` of the shaft over the largest shaft, and besides what the coldest or
    hottest moment takes away; its tolerance is that of H7 (ISO 2795: bores after fitting).
    """
    constructions = {way.make.construction for way in ways}
    if len({OPERATION[construction] for construction in constructions}) != 1:
        return None
    shaft_least, shaft_most = pieces.shaft.bounds_nm()
    lost = max(0.0, *(lost_clearance_nm(way, state.celsius) for way in ways for state in states))
    lower = shaft_most + math.ceil((LEAST_PRACTICE * shaft_most + lost) / 1_000) * 1_000
    nominal = _nominal_nm(lower)
    upper = lower + limits_of(nominal, SIZED_HOLE, "hole")[1] - nominal
    narrowest = min(
        way.pieces.bore.bounds_nm()[0] - way.close_in_span(states[0].celsius).most for way in ways
    )
    if upper - narrowest > min(GREATEST_GROWTH_NM[construction] for construction in constructions):
        return None
    wall_nm = pieces.outside_diameter.middle_nm - pieces.bore.middle_nm
    limit = loosest_clearance_nm(pieces.shaft.middle_nm)
    too_thin = upper - pieces.bore.middle_nm > WALL_TAKEN_AT_MOST * wall_nm
    if too_thin or limit is None or upper - shaft_least > limit:
        return None
    operation = OPERATION[next(iter(constructions))]
    return Rework(operation=operation, bore_lower_nm=lower, bore_upper_nm=upper)


def lost_clearance_nm(way: Running, celsius: float) -> float:
    """Return by how much (nm) the clearance of a bush in its seat falls from 20 degrees to another.

    Taken at the middle of the interference, with the elastic share that loses more.
    """
    middle = way.pieces.outside_diameter.middle_nm - way.pieces.housing.middle_nm
    grown = max(middle + way.shift_nm(celsius), 0.0) - max(middle, 0.0)
    share = way.share.elastic_most if grown > 0 else way.share.elastic_least
    return way.free_clearance(REFERENCE_CELSIUS).mean_nm - way.free_clearance(celsius).mean_nm + share * grown


def _pressed_words(free: bool, ways: Sequence[Running]) -> str:
    if not free:
        return "as the bush sits"
    pinned = any(way.make.construction == "porous" for way in ways)
    return "once pressed in on a fitting pin" if pinned else "once pressed in"


def _nominal_nm(length_nm: float) -> int:
    """Return the length to a tenth of a millimetre and within the tables: tolerances go by nominal size."""
    return min(max(round(length_nm / 100_000), 1) * 100_000, GREATEST_SIZE_NM)
