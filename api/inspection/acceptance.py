"""What to check once a starter is together again, in order, with values where they are known. Pure.

The order and the steps are common practice, no source; values stand with their own.
"""

from collections.abc import Iterator
from typing import Final

import attrs

from api.fit.judging.cautions import CRANK, Caution
from api.inspection.acceptance_values import SheetValue, published_values, seat_values
from api.inspection.limit_data import LimitBook
from api.starters.entries import FamilyEntry

WITHOUT_SOLENOID: Final = ("inertia_drive", "movable_pole_shoe")


@attrs.frozen(kw_only=True)
class SheetStep:
    """One check: what to do, what is expected in words, values with their source, and the caution."""

    code: str
    do: str
    expect: str
    values: tuple[SheetValue, ...]
    caution: Caution


_BENCH: Final = (
    "Clamp the starter by its mounting flange (never a permanent-magnet frame in a vice), keep hands and "
    "sleeves clear of the pinion: it jumps out."
)
_SECONDS: Final = "A few seconds at a time, then let the winding cool."
_SUPPLY: Final = (
    "Batteries vent explosive gas: connect at the starter last, no sparks near the battery. Never bridge the "
    "solenoid's main terminals."
)


def acceptance_sheet(family: FamilyEntry, book: LimitBook) -> tuple[SheetStep, ...]:
    """Return the checks after reassembly of a family's starter, in order.

    Checks that the construction has not (a solenoid's, an overrunning clutch's) are left out.
    """
    return tuple(_Sheet(family, book).steps())


@attrs.frozen
class _Sheet:
    family: FamilyEntry
    book: LimitBook

    def steps(self) -> Iterator[SheetStep]:
        has_solenoid = self.family.construction not in WITHOUT_SOLENOID
        has_clutch = self.family.position("drive_clutch") is not None
        yield self._turn()
        yield self._insulation()
        if has_clutch:
            yield self._drive()
        if has_solenoid:
            yield self._pull_in()
            yield self._clearance()
        yield self._rest()
        yield self._no_load()
        yield self._fit()
        yield self._in_the_vehicle()

    def _turn(self) -> SheetStep:
        return SheetStep(
            code="turn_by_hand",
            do="Turn the armature by the pinion through several turns; push the shaft to and fro.",
            expect="It turns evenly without a tight spot; the end play is felt but small.",
            values=(),
            caution=Caution(
                "turn it by hand", "disconnected", "No supply connected; fingers out of the teeth."
            ),
        )

    def _insulation(self) -> SheetStep:
        return SheetStep(
            code="insulation",
            do="Measure from the motor terminal to the frame with the brushes of the grounded side lifted, "
            "and from "
            "the insulated holders to the frame.",
            expect="No continuity; the resistance is at least the value below.",
            values=published_values(self.book, self.family, "insulation"),
            caution=Caution(
                "measure the insulation",
                "disconnected",
                "No supply connected. Brush springs fly: eye protection. An insulation tester puts "
                "hundreds of volts on the winding: hands off, discharge it after.",
            ),
        )

    def _drive(self) -> SheetStep:
        return SheetStep(
            code="drive_slip",
            do="Turn the pinion by hand both ways; with a torque wrench load it in the driving sense, in "
            "soft jaws.",
            expect="It turns lightly one way, holds the other, and does not slip below the value below.",
            values=published_values(self.book, self.family, "drive_slip"),
            caution=Caution(
                "load the drive",
                "disconnected",
                "A drive that lets go throws the lever: stand clear of it, clamp the shaft well.",
            ),
        )

    def _pull_in(self) -> SheetStep:
        return SheetStep(
            code="pull_in",
            do="Take the motor lead off the solenoid's motor terminal and insulate it. Join the supply's "
            "minus to the motor terminal and to the body, its plus to the trigger terminal through a "
            "switch, and raise the voltage from low until the plunger pulls in. Take minus off the motor "
            "terminal alone, then open the switch.",
            expect=f"It pulls in at or below the value below, holds with minus on the body alone, and "
            f"returns at once when the switch opens. Never more than the rated {self.family.voltage} V.",
            values=published_values(self.book, self.family, "pull_in"),
            caution=Caution("energise the solenoid", "connected", f"{_BENCH} {_SECONDS} {_SUPPLY}"),
        )

    def _clearance(self) -> SheetStep:
        return SheetStep(
            code="pinion_clearance",
            do="Hold the drive out by the solenoid (wired as before, motor lead still off), push the pinion "
            "back with a wooden rod to take up play, and measure between pinion and stop.",
            expect="Within the maker's limits; out of them the lever, its pins or the plunger are worn or "
            "wrong.",
            values=published_values(self.book, self.family, "pinion_clearance"),
            caution=Caution(
                "hold the drive out", "connected", f"{_BENCH} {_SECONDS} {_SUPPLY} Gauge in, fingers out."
            ),
        )

    def _rest(self) -> SheetStep:
        return SheetStep(
            code="rest_clearance",
            do="With the drive at rest measure from the mounting face to the pinion, and on the engine "
            "from the mounting "
            "face to the ring gear; the difference is the rest clearance.",
            expect="The pinion stands clear of the ring gear, and its travel takes it fully in.",
            values=seat_values(self.family),
            caution=Caution(
                "measure at the engine",
                "disconnected",
                "Vehicle on stands, never on a jack alone; the engine must not be able to start.",
            ),
        )

    def _no_load(self) -> SheetStep:
        turns = self.family.internal_reduction_thousandths / 1000
        geared = f" The armature turns {turns:g} times as fast as the pinion." if turns != 1 else ""
        return SheetStep(
            code="no_load",
            do="Join the motor lead again. Run it unloaded for a few seconds from a good battery through a "
            "switch, with ammeter, voltmeter and tachometer; read all three at the same moment.",
            expect=f"Steady run without chatter; amperes no more and speed no less than the values, at their "
            f"voltage.{geared}",
            values=published_values(self.book, self.family, "no_load"),
            caution=Caution(
                "run it unloaded",
                "connected",
                f"{_BENCH} Eye protection. Unloaded it can over-speed and burst: a few seconds only, at no "
                f"more than "
                f"{self.family.voltage} V. No locked-rotor test outside a test bench. {_SUPPLY}",
            ),
        )

    def _fit(self) -> SheetStep:
        return SheetStep(
            code="fit_to_the_engine",
            do="Clean both faces of the joint and every terminal to bright metal; fit it, bolts and nuts as "
            "tight as the maker's manual says; ground strap, trigger lead, battery cable, the negative clamp "
            "last.",
            expect="It sits square and fast; no lead chafes or lies on the exhaust.",
            values=(),
            caution=Caution(
                "fit it to the engine",
                "disconnected",
                "Battery disconnected until the last nut is tight. Vehicle on stands, never on a jack alone; "
                "the starter is heavy, hold it until a bolt bears. The battery cable has no fuse: no rings, "
                "no tool across to ground.",
            ),
        )

    def _in_the_vehicle(self) -> SheetStep:
        return SheetStep(
            code="crank_in_the_vehicle",
            do="Crank for a few seconds and listen; let go of the key.",
            expect="It meshes without grinding, cranks evenly, and drops out at once when the key is let go.",
            values=(),
            caution=Caution("crank", "connected", CRANK.text),
        )
