"""Why a part has worn or failed: what to clear before a new one goes in. Pure data.

Common practice of the trade, no source.
"""

from collections.abc import Iterable
from typing import Final

import attrs

from api.fit.judging.cautions import CRANK, Caution
from api.inspection.cautions import TIMING, TURN_THE_ENGINE
from api.inspection.judge_feature import JudgedFeature
from api.inspection.vocabulary import BUSHINGS
from api.starters.vocabulary import CONTACT_POSITIONS

WORN: Final = ("near_limit", "renew")
RENEW: Final = ("renew",)


@attrs.frozen
class Sign:
    """A finding that points to a cause: a feature at one of some places, with a choice or a verdict."""

    places: tuple[str, ...]
    feature: str
    found: tuple[str, ...]

    def seen(self, place: str, judged: JudgedFeature) -> bool:
        """Return whether a judged feature is this sign."""
        choice = judged.reading.choice
        found = judged.verdict if choice is None else choice.code
        return place in self.places and judged.reading.feature == self.feature and found in self.found


@attrs.frozen(kw_only=True)
class RootCause:
    """A cause: the signs that point to it (any one), the places it is told at, and how to make sure.

    `same_place`: it is told only where its sign is; others are told at all of their places, whichever has it.
    `cautions` are of the check where it leads to the vehicle: those of the place itself are told there.
    """

    code: str
    signs: tuple[Sign, ...]
    places: tuple[str, ...]
    cause: str
    check: str
    same_place: bool = False
    cautions: tuple[Caution, ...] = ()


_ROLLERS: Final = ("drive_clutch",)
ROOT_CAUSES: Final = (
    RootCause(
        code="oil_reaches_the_brushes",
        signs=(
            Sign(("brush_set",), "condition", ("oil_soaked",)),
            Sign(("commutator",), "surface", ("oily",)),
        ),
        places=("brush_set", "commutator"),
        cause="Oil gets in: the drive-end seal leaks, or an engine seal or gasket above the starter does.",
        check="Find where the oil comes from and renew that seal; clean and dry holders and commutator.",
    ),
    RootCause(
        code="armature_rubs",
        signs=(
            Sign(("armature",), "core", ("rubbed_bright", "lifted")),
            Sign(("armature",), "core_run_out", WORN),
            Sign(("armature",), "shaft_run_out", RENEW),
        ),
        places=("armature", "field", *BUSHINGS),
        cause="The core rubs on the poles: worn bushings, a bent shaft, or a loose pole shoe.",
        check="Read every bore and journal and the run-out of the shaft; try the pole screws.",
    ),
    RootCause(
        code="contacts_arc",
        signs=(
            Sign(CONTACT_POSITIONS, "face", ("burnt", "welded")),
            Sign(CONTACT_POSITIONS, "step", WORN),
            Sign(CONTACT_POSITIONS, "thickness", RENEW),
        ),
        places=CONTACT_POSITIONS,
        cause="Contacts burn where they close weakly or often: low voltage at the solenoid, a sticking "
        "plunger, "
        "a weak spring, repeated or long cranking.",
        check="Measure the battery, the drop of cables and control circuit while cranking; try plunger and "
        "spring.",
        cautions=(CRANK,),
    ),
    RootCause(
        code="commutator_wears_the_brushes",
        signs=(
            Sign(("commutator",), "run_out", WORN),
            Sign(("commutator",), "undercut", WORN),
            Sign(("commutator",), "surface", ("grooved", "burnt_bars")),
        ),
        places=("brush_set",),
        cause="An uneven commutator or high mica lifts and wears the brushes.",
        check="True and undercut the commutator first, within its diameter limit; then fit new brushes.",
    ),
    RootCause(
        code="spring_lost_its_force",
        signs=(Sign(("brush_set",), "spring_force_newtons", WORN),),
        places=("brush_set", "commutator"),
        cause="A brush spring that has been hot loses force, and its brush then arcs.",
        check="Look for a blued spring, a loose lead, a brush that sticks; renew the spring with the "
        "brushes.",
    ),
    RootCause(
        code="open_armature_coil",
        signs=(Sign(("commutator",), "surface", ("burnt_bars",)),),
        places=("commutator", "armature", "brush_set"),
        cause="Burnt bars mark an open armature coil: a riser joint that has come loose.",
        check="Test from bar to bar; new brushes burn as well until the joint is made good or the armature "
        "renewed.",
    ),
    RootCause(
        code="overheated",
        signs=(
            Sign(("armature", "field"), "windings", ("darkened", "burnt", "thrown_solder")),
            Sign(("brush_set",), "condition", ("lead_loose",)),
        ),
        places=("armature", "field", "brush_set"),
        cause="It has been hot: long cranking, a dragging engine, low voltage, or a drive that did not let "
        "go.",
        check="Try the engine by hand, the battery and cables, the switch for sticking, and the drive's "
        "overrunning.",
        cautions=(TURN_THE_ENGINE, CRANK),
    ),
    RootCause(
        code="over_speed",
        signs=(
            Sign(_ROLLERS, "overrun_torque_newton_metres", WORN),
            Sign(_ROLLERS, "action", ("locked",)),
            Sign(("armature",), "windings", ("thrown_solder",)),
        ),
        places=("drive_clutch", "armature"),
        cause="A drive that does not overrun lets the engine spin the armature far too fast.",
        check="Look for thrown solder and lifted windings before a new drive goes on this armature.",
    ),
    RootCause(
        code="ring_gear_mills_the_pinion",
        signs=(
            Sign(("ring_gear",), "teeth", ("worn", "milled", "broken")),
            Sign(("drive_clutch",), "teeth", ("worn", "milled", "broken")),
        ),
        places=("drive_clutch", "ring_gear"),
        cause="Pinion and ring gear wear each other: a damaged ring gear mills a new pinion at once.",
        check="Turn the engine by hand and look at every tooth of the ring gear; check rest clearance, "
        "mounting and "
        "return spring.",
        cautions=(TURN_THE_ENGINE,),
    ),
    RootCause(
        code="drive_overloaded_or_washed",
        signs=(
            Sign(_ROLLERS, "action", ("slips",)),
            Sign(_ROLLERS, "slip_torque_newton_metres", WORN),
        ),
        places=_ROLLERS,
        cause="A drive slips after kick-back of the engine, or once solvent has washed out its grease.",
        check="Check the timing of the engine; do not wash the new drive.",
        cautions=(TIMING,),
    ),
    RootCause(
        code="journal_or_seat_eats_the_bush",
        signs=(
            Sign(BUSHINGS, "bore", WORN),
            Sign(BUSHINGS, "oval", WORN),
        ),
        places=BUSHINGS,
        cause="A scored or thin journal, a loose mounting or a dry bush wears a new one as quickly.",
        check="Read journal and housing bore; look for scores; check the starter's mounting face and bolts.",
        same_place=True,
    ),
    RootCause(
        code="bush_turned_in_its_seat",
        signs=(Sign(BUSHINGS, "housing_bore", WORN),),
        places=BUSHINGS,
        cause="The housing bore is too large: the bush has turned in its seat.",
        check="A new bush of the same size will not hold: renew the housing or have it sleeved.",
        same_place=True,
    ),
    RootCause(
        code="water_got_in",
        signs=(Sign(("plunger",), "movement", ("sticky", "bound")),),
        places=("plunger", "return_spring"),
        cause="Rust or dried grease binds the plunger: water got in past the boot or a blocked drain.",
        check="Clean it and give it a light film of grease, which costs no part; then judge it again. "
        "Clear the drain.",
    ),
    RootCause(
        code="damp_or_brush_dust",
        signs=(Sign(("armature", "field", "brush_set"), "resistance_to_ground_ohms", WORN),),
        places=("armature", "field", "brush_set"),
        cause="Brush dust, oil or damp leads current to the frame, not only broken insulation.",
        check="Clean without solvent on the windings, dry them warm, and measure again before condemning a "
        "winding.",
        same_place=True,
    ),
)


def causes_at(place: str, findings: Iterable[tuple[str, JudgedFeature]]) -> tuple[RootCause, ...]:
    """Return the causes to clear before a new part goes in at a place, whatever the findings' order."""
    seen = tuple(findings)
    return tuple(
        cause
        for cause in ROOT_CAUSES
        if place in cause.places
        and any(
            sign.seen(where, judged)
            for sign in cause.signs
            for where, judged in seen
            if where == place or not cause.same_place
        )
    )
