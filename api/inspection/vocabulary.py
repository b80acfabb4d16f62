"""Where a stripped starter is inspected, and what is read or looked at there. Pure.

Places are the positions of a family and four that no wear part of the catalogue sits in: `armature`,
`commutator`, `field` and the vehicle's `ring_gear`.
"""

from typing import Final, Literal

import attrs

from api.measurement.instruments import Way
from api.starters.vocabulary import CONTACT_POSITIONS, POSITION_KINDS

Verdict = Literal["good", "near_limit", "renew", "cannot_tell"]
Sense = Literal["shrinks", "grows"]
"""Which way wear moves a value."""

FURTHER_PLACES: Final = ("armature", "commutator", "field", "ring_gear")
PLACES: Final = (*POSITION_KINDS, *FURTHER_PLACES)

BUSHINGS: Final = tuple(code for code, kind in POSITION_KINDS.items() if kind == "bushing")
BEARINGS: Final = ("drive_end_bearing", "commutator_end_bearing")


@attrs.frozen(kw_only=True)
class MeasuredLength:
    """A length that is read: how, which way it wears, and at which places.

    `from_nothing`: a new piece has none of it (run-out, a step). `may_be_none`: it can be told as `none`.
    `is_round`: several readings of it are diameters of one piece. `instrument` stands in where none is named.
    """

    code: str
    way: Way
    sense: Sense
    places: tuple[str, ...]
    from_nothing: bool = False
    may_be_none: bool = False
    is_round: bool = False
    instrument: str = "digital_caliper"


@attrs.frozen(kw_only=True)
class MeasuredNumber:
    """A force, torque or resistance that is read; its code ends in its unit. `most` bounds what is taken."""

    code: str
    unit: str
    sense: Sense
    places: tuple[str, ...]
    most: float
    from_nothing: bool = False


@attrs.frozen
class Choice:
    """One thing that a look or a turn by hand may find, and what follows from it."""

    code: str
    verdict: Verdict
    words: str


@attrs.frozen
class Looked:
    """A feature that is judged by eye or hand (common practice, no source)."""

    code: str
    places: tuple[str, ...]
    choices: tuple[Choice, ...]

    def choice(self, code: str) -> Choice | None:
        """Return the choice of this code, if there is one."""
        return next((one for one in self.choices if one.code == code), None)


LENGTHS: Final = (
    MeasuredLength(code="thickness", way="outside", sense="shrinks", places=CONTACT_POSITIONS),
    MeasuredLength(
        code="step",
        way="depth",
        sense="grows",
        places=CONTACT_POSITIONS,
        from_nothing=True,
        may_be_none=True,
    ),
    MeasuredLength(code="length", way="outside", sense="shrinks", places=("brush_set",)),
    MeasuredLength(code="holder_thickness", way="inside", sense="grows", places=("brush_set",)),
    MeasuredLength(code="holder_width", way="inside", sense="grows", places=("brush_set",)),
    MeasuredLength(code="bore", way="inside", sense="grows", places=BUSHINGS, is_round=True),
    MeasuredLength(
        code="oval", way="inside", sense="grows", places=BUSHINGS, from_nothing=True, may_be_none=True
    ),
    MeasuredLength(code="housing_bore", way="inside", sense="grows", places=BUSHINGS, is_round=True),
    MeasuredLength(code="journal_diameter", way="outside", sense="shrinks", places=BUSHINGS, is_round=True),
    MeasuredLength(code="base_tangent_2", way="span", sense="shrinks", places=("drive_clutch",)),
    MeasuredLength(code="base_tangent_3", way="span", sense="shrinks", places=("drive_clutch",)),
    MeasuredLength(code="diameter", way="outside", sense="shrinks", places=("commutator",), is_round=True),
    MeasuredLength(
        code="run_out",
        way="depth",
        sense="grows",
        places=("commutator",),
        from_nothing=True,
        may_be_none=True,
        instrument="dial_indicator",
    ),
    MeasuredLength(code="undercut", way="depth", sense="shrinks", places=("commutator",), may_be_none=True),
    MeasuredLength(
        code="shaft_run_out",
        way="depth",
        sense="grows",
        places=("armature",),
        from_nothing=True,
        may_be_none=True,
        instrument="dial_indicator",
    ),
    MeasuredLength(
        code="core_run_out",
        way="depth",
        sense="grows",
        places=("armature",),
        from_nothing=True,
        may_be_none=True,
        instrument="dial_indicator",
    ),
)
NUMBERS: Final = (
    MeasuredNumber(code="spring_force_newtons", unit="N", sense="shrinks", places=("brush_set",), most=500.0),
    MeasuredNumber(
        code="slip_torque_newton_metres", unit="N m", sense="shrinks", places=("drive_clutch",), most=5_000.0
    ),
    MeasuredNumber(
        code="overrun_torque_newton_metres",
        unit="N m",
        sense="grows",
        places=("drive_clutch",),
        most=100.0,
        from_nothing=True,
    ),
    MeasuredNumber(
        code="resistance_to_ground_ohms",
        unit="ohm",
        sense="shrinks",
        places=("armature", "field", "brush_set"),
        most=1e12,
    ),
)
_TEETH: Final = (
    Choice("sound", "good", "no burrs, full profile"),
    Choice("worn", "near_limit", "rounded or burred entry, profile still there"),
    Choice("milled", "renew", "entry milled away"),
    Choice("broken", "renew", "a tooth is cracked or missing"),
)
LOOKED: Final = (
    Looked(
        "face",
        CONTACT_POSITIONS,
        (
            Choice("clean", "good", "bright, whole face"),
            Choice("pitted", "near_limit", "pitted, still flat"),
            Choice("burnt", "renew", "burnt through or uneven"),
            Choice("welded", "renew", "has welded to its partner"),
        ),
    ),
    Looked(
        "condition",
        ("brush_set",),
        (
            Choice("clean", "good", "dry, slides freely"),
            Choice("sticking", "near_limit", "sticks in its holder"),
            Choice("oil_soaked", "renew", "soaked with oil"),
            Choice("chipped", "renew", "chipped or cracked"),
            Choice("lead_loose", "renew", "the lead is loose or burnt"),
        ),
    ),
    Looked("teeth", ("drive_clutch", "planet_gears", "ring_gear"), _TEETH),
    Looked(
        "action",
        ("drive_clutch", *BEARINGS),
        (
            Choice("smooth", "good", "runs smoothly; a drive turns freely one way and holds the other"),
            Choice("rough", "near_limit", "runs rough"),
            Choice("loose", "renew", "has play or rattles"),
            Choice("slips", "renew", "turns both ways"),
            Choice("locked", "renew", "turns neither way"),
        ),
    ),
    Looked(
        "movement",
        ("plunger",),
        (
            Choice("free", "good", "moves freely over its travel"),
            Choice("sticky", "near_limit", "sticks or drags"),
            Choice("bound", "cannot_tell", "does not move"),
        ),
    ),
    Looked(
        "spring",
        ("return_spring",),
        (
            Choice("sound", "good", "returns the drive fully"),
            Choice("weak", "renew", "set, or does not return the drive fully"),
            Choice("broken", "renew", "broken"),
        ),
    ),
    Looked(
        "core",
        ("armature",),
        (
            Choice("as_made", "good", "core untouched"),
            Choice("rubbed_bright", "near_limit", "bright rubbed patches on the core"),
            Choice("lifted", "renew", "laminations or a band lifted"),
        ),
    ),
    Looked(
        "windings",
        ("armature", "field"),
        (
            Choice("sound", "good", "insulation whole, no smell"),
            Choice("darkened", "near_limit", "darkened by heat"),
            Choice("burnt", "renew", "insulation burnt"),
            Choice("thrown_solder", "renew", "solder thrown out of the risers"),
        ),
    ),
    Looked(
        "magnets",
        ("field",),
        (
            Choice("sound", "good", "whole and fast"),
            Choice("cracked", "renew", "cracked"),
            Choice("loose", "renew", "loose in the frame"),
        ),
    ),
    Looked(
        "surface",
        ("commutator",),
        (
            Choice("smooth", "good", "smooth, even colour"),
            Choice("oily", "near_limit", "oily or smeared"),
            Choice("grooved", "near_limit", "grooved by the brushes"),
            Choice("burnt_bars", "renew", "two bars, opposite or side by side, burnt"),
        ),
    ),
)

LENGTH_OF: Final = {one.code: one for one in LENGTHS}
NUMBER_OF: Final = {one.code: one for one in NUMBERS}
LOOKED_OF: Final = {one.code: one for one in LOOKED}
FEATURES: Final = (*LENGTH_OF, *NUMBER_OF, *LOOKED_OF)


def features_at(place: str, field: str | None = None) -> tuple[str, ...]:
    """Return the codes of the features that a place has; `field` is the family's field, where known.

    A permanent-magnet field has no winding, a wound one no magnets.
    """
    codes = tuple(one.code for one in (*LENGTHS, *NUMBERS, *LOOKED) if place in one.places)
    if place != "field" or field is None:
        return codes
    if field == "permanent_magnet":
        return ("magnets",)
    return tuple(code for code in codes if code != "magnets")
