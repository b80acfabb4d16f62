"""What to check once a starter is together again, in order, with values where they are known. Pure.

The order and the steps are common practice, no source; values stand with their own.
"""

from collections.abc import Iterator, Sequence
from typing import Final

import attrs

from api.fit.cautions import Caution
from api.inspection.limit_data import AcceptanceRow, LimitBook
from api.starters.entries import FamilyEntry, SeatFeatureEntry
from api.wear_parts.value_text import range_text

MANUAL: Final = "by the maker's manual"
WITHOUT_SOLENOID: Final = ("inertia_drive", "movable_pole_shoe")


@attrs.frozen(kw_only=True)
class SheetValue:
    """A value of a check: the family's own, or published. `applies` false: for comparison only."""

    quantity: str
    text: str
    source: str
    basis: str
    applies: bool


@attrs.frozen(kw_only=True)
class SheetStep:
    """One check: what to do, what is expected in words, values with their source, and the caution."""

    code: str
    do: str
    expect: str
    values: tuple[SheetValue, ...]
    caution: Caution


_BENCH: Final = (
    "Clamp the starter (not a permanent-magnet frame in a vice: strap it), keep hands and sleeves clear of "
    "the "
    "pinion: it jumps out."
)
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
            values=self._published("insulation"),
            caution=Caution(
                "measure the insulation",
                "disconnected",
                "An insulation tester puts hundreds of volts on the winding: hands off, discharge it after.",
            ),
        )

    def _drive(self) -> SheetStep:
        return SheetStep(
            code="drive_slip",
            do="Turn the pinion by hand both ways; with a torque wrench load it in the driving sense, in "
            "soft jaws.",
            expect="It turns lightly one way, holds the other, and does not slip below the value below.",
            values=self._published("drive_slip"),
            caution=Caution(
                "load the drive",
                "disconnected",
                "A drive that lets go throws the lever: stand clear of it, clamp the shaft well.",
            ),
        )

    def _pull_in(self) -> SheetStep:
        return SheetStep(
            code="pull_in",
            do="Take the motor lead off the solenoid's motor terminal and insulate it. Raise the voltage "
            "between "
            "trigger and motor terminal from low until the plunger pulls in; then take the motor terminal "
            "off, "
            "and then the trigger.",
            expect=f"It pulls in at or below the value below, holds with the motor terminal off, and "
            f"returns at once "
            f"without supply. Never more than the rated {self.family.voltage} V, a few seconds at a time.",
            values=self._published("pull_in"),
            caution=Caution("energise the solenoid", "connected", f"{_BENCH} {_SUPPLY}"),
        )

    def _clearance(self) -> SheetStep:
        return SheetStep(
            code="pinion_clearance",
            do="Hold the drive out by the solenoid (motor lead still off), push the pinion back to take up "
            "play, and "
            "measure between pinion and stop.",
            expect="Within the maker's limits; out of them the lever, its pins or the plunger are worn or "
            "wrong.",
            values=self._published("pinion_clearance"),
            caution=Caution("hold the drive out", "connected", f"{_BENCH} {_SUPPLY} Gauge in, fingers out."),
        )

    def _rest(self) -> SheetStep:
        return SheetStep(
            code="rest_clearance",
            do="With the drive at rest measure from the mounting face to the pinion, and on the engine "
            "from the mounting "
            "face to the ring gear; the difference is the rest clearance.",
            expect="The pinion stands clear of the ring gear, and its travel takes it fully in.",
            values=tuple(self._of_seat()),
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
            do="Join the motor lead again. Run it unloaded for a few seconds from a good battery with "
            "ammeter, "
            "voltmeter and tachometer; read all three at the same moment.",
            expect=f"Steady run without chatter; amperes no more and speed no less than the values, at their "
            f"voltage.{geared}",
            values=self._published("no_load"),
            caution=Caution(
                "run it unloaded",
                "connected",
                f"{_BENCH} Eye protection. Unloaded it can over-speed and burst: a few seconds only, at no "
                f"more than "
                f"{self.family.voltage} V. No locked-rotor test outside a test bench. {_SUPPLY}",
            ),
        )

    def _in_the_vehicle(self) -> SheetStep:
        return SheetStep(
            code="crank_in_the_vehicle",
            do="Fit it, ground strap and terminals clean and tight, negative cable on last; crank and "
            "listen.",
            expect="It meshes without grinding, cranks evenly, and drops out at once when the key is let go.",
            values=(),
            caution=Caution(
                "crank",
                "connected",
                "Neutral or park, brake on, wheels chocked, nobody under the vehicle. No longer than the "
                "maker allows "
                "(US Army TM 10-3930-671-24: 30 seconds at most, then 2 minutes of rest).",
            ),
        )

    def _published(self, check: str) -> tuple[SheetValue, ...]:
        rows = [
            row for row in self.book.acceptance if row.check == check and self.family.voltage in row.voltage
        ]
        return tuple(self._value(row) for row in rows)

    def _value(self, row: AcceptanceRow) -> SheetValue:
        power, made = self.family.rated_power_w, self.family.construction
        applies = (
            not row.shown_only
            and (row.power_w is None or row.power_w[0] <= power <= row.power_w[1])
            and (not row.constructions or made in row.constructions)
        )
        where = f" {row.at}" if row.at else ""
        return SheetValue(
            quantity=row.quantity,
            text=f"{_bounds(row)}{where}",
            source=row.source,
            basis=row.basis,
            applies=applies,
        )

    def _of_seat(self) -> Iterator[SheetValue]:
        drive = self.family.position("drive_clutch")
        for feature in ("rest_clearance", "travel"):
            entry = None if drive is None else drive.feature(feature)
            if entry is not None:
                yield SheetValue(
                    quantity=feature,
                    text=_seat_text(entry),
                    source=f"family {self.family.code}",
                    basis="family",
                    applies=True,
                )


def answered_by_manual(values: Sequence[SheetValue]) -> bool:
    """Return whether no value applies, so that the maker's manual has to tell."""
    return not any(one.applies for one in values)


def _bounds(row: AcceptanceRow) -> str:
    if row.least is not None and row.most is not None:
        return f"{row.least:.10g} to {row.most:.10g}"
    return f"at least {row.least:.10g}" if row.least is not None else f"at most {row.most:.10g}"


def _seat_text(entry: SeatFeatureEntry) -> str:
    if entry.lower_nm is None or entry.upper_nm is None:
        return str(entry.count if entry.count is not None else entry.text)
    return range_text(entry.lower_nm, entry.upper_nm)
