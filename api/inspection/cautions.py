"""What can hurt at the steps of an inspection and of the checks after reassembly. Pure data.

Common practice of the trade, no source. The maker's service manual, local rules and a licensed repairer come
first.
"""

from collections.abc import Iterable
from typing import Final

from api.fit.judging.cautions import FIRST, REMOVE, Caution
from api.inspection.vocabulary import BEARINGS, BUSHINGS
from api.starters.vocabulary import CONTACT_POSITIONS

CONTACTS: Final = Caution(
    "open the solenoid",
    "disconnected",
    "Plunger and contact springs are under tension and fly: eye protection. Copper dust and soot harm: "
    "wipe, no "
    "blowing out. No grease on the contacts.",
)
BRUSHES: Final = Caution(
    "lift the brushes and read the springs",
    "disconnected",
    "Springs fly: eye protection, hold them with a hook. Brush dust harms and conducts: wipe or draw it "
    "off, no "
    "blowing out. No grease on commutator or brushes.",
)
BUSHES: Final = Caution(
    "measure bores and journals",
    "disconnected",
    "Bore edges and shafts cut: deburr with care. No solvent wash of a porous bush; never ream one. A bush "
    "is pressed out, not driven out of a permanent-magnet frame: magnets crack.",
)
ROLLING: Final = Caution(
    "try the bearings",
    "disconnected",
    "Turn a bearing by hand, never by compressed air: it bursts. A puller under load throws its parts: eye "
    "protection.",
)
GEARS: Final = Caution(
    "look at the planet gears",
    "disconnected",
    "Retaining rings fly: eye protection. Wipe the gears; no solvent wash where the overrunning clutch "
    "shares their shaft.",
)
DRIVE: Final = Caution(
    "load the drive with a torque wrench",
    "disconnected",
    "Clamp the shaft in soft jaws and stand clear of the lever: a drive lets go at once. No solvent wash "
    "of an "
    "overrunning clutch.",
)
ARMATURE: Final = Caution(
    "turn the armature between centres, true the commutator",
    "disconnected",
    "Rotating work catches sleeves and gloves; chips and copper dust harm eyes and lungs. Carry the "
    "armature by its shaft: it is heavy, and a permanent-magnet frame draws it in with force.",
)
FIELD: Final = Caution(
    "inspect the frame",
    "disconnected",
    "Magnets crack under a blow and pinch fingers: do not strike a permanent-magnet frame nor clamp it in "
    "a vice.",
)
INSULATION: Final = Caution(
    "measure the resistance to ground",
    "disconnected",
    "An insulation tester puts hundreds of volts on the winding: hands off while testing, discharge it "
    "after.",
)
RING_GEAR: Final = Caution(
    "turn the engine to look at the ring gear",
    "disconnected",
    "Battery off, gear in neutral, brake on, wheels chocked, fuel or ignition disabled; turn by hand at the "
    "crankshaft only, pull the wrench, fingers out of the housing, vehicle on stands, never on a jack alone.",
)
PLUNGER: Final = Caution(
    "free the plunger and the return spring",
    "disconnected",
    "The spring flies when the lever comes off: eye protection, hold the plunger down while the screws "
    "come out.",
)
TURN_THE_ENGINE: Final = Caution("turn the engine by hand", "disconnected", RING_GEAR.text)
TIMING: Final = Caution(
    "check the timing",
    "connected",
    "By the maker's manual: neutral or park, brake on, wheels chocked. Belts and fan catch sleeves and "
    "leads, hot parts burn, ignition leads carry thousands of volts: hands clear.",
)

AT: Final = {
    **dict.fromkeys(CONTACT_POSITIONS, CONTACTS),
    **dict.fromkeys(BUSHINGS, BUSHES),
    **dict.fromkeys(BEARINGS, ROLLING),
    "brush_set": BRUSHES,
    "drive_clutch": DRIVE,
    "planet_gears": GEARS,
    "armature": ARMATURE,
    "commutator": ARMATURE,
    "field": FIELD,
    "ring_gear": RING_GEAR,
    "plunger": PLUNGER,
    "return_spring": PLUNGER,
}


def cautions_of(places: Iterable[str], features: Iterable[str]) -> tuple[Caution, ...]:
    """Return the cautions of the steps that an inspection took, each once, those of all work first."""
    found = [FIRST, REMOVE, *(AT[place] for place in places)]
    if "resistance_to_ground_ohms" in set(features):
        found.append(INSULATION)
    return tuple(dict.fromkeys(found))
