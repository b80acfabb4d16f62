"""What can hurt at the step where the hand is about to do it. Pure data.

Common practice of the trade, no source, save where one is named. The maker's service manual, local rules
and a licensed repairer come first.
"""

from typing import Final, Literal

import attrs


@attrs.frozen
class Caution:
    """A caution: at which step, how the battery has to be there, and what to mind."""

    step: str
    battery: Literal["disconnected", "connected"]
    text: str


REMOVE: Final = Caution(
    "remove the starter",
    "disconnected",
    "Disconnect the battery first: negative first off, last on. Cranking current welds rings and tools. The "
    "starter is heavy: stands, not a jack, and hold it before the last bolt.",
)
FIRST: Final = Caution(
    "before any work",
    "disconnected",
    "The maker's service manual, local rules and a licensed repairer come first. Not for aircraft, marine or "
    "medical use.",
)
CRANK: Final = Caution(
    "crank, to measure the voltage lost",
    "connected",
    "Neutral or park, brake on, wheels chocked, fuel or ignition disabled, nobody under the vehicle. No "
    "longer than the maker allows, and let it cool (US Army TM 10-3930-671-24: 30 seconds at most, then "
    "2 minutes of rest). Batteries vent explosive gas. Never bridge the solenoid's terminals.",
)
CONTACT_CAUTIONS: Final = (
    FIRST,
    REMOVE,
    Caution(
        "open the solenoid",
        "disconnected",
        "Plunger and contact springs are under tension and fly: eye protection.",
    ),
    Caution(
        "clean the contacts",
        "disconnected",
        "Copper dust and soot harm: wipe, no blowing out. No grease on the contacts. Dressing a burnt face "
        "is a temporary fix.",
    ),
    Caution(
        "run the nut on the stud",
        "disconnected",
        "Start it by hand. A nut of another thread starts and then strips; a loose stud heats and can set "
        "fire.",
    ),
    CRANK,
)
BRUSH_CAUTIONS: Final = (
    FIRST,
    REMOVE,
    Caution(
        "lift the brush springs",
        "disconnected",
        "Springs fly: eye protection, and hold the spring with a hook, not with the fingers.",
    ),
    Caution(
        "clean the holders",
        "disconnected",
        "Brush dust harms and conducts: wipe or draw it off, no blowing out. No grease on commutator or "
        "brushes.",
    ),
    Caution(
        "weld or braze a lead",
        "disconnected",
        "Hot metal, fumes, fire: away from battery and fuel, eyes and hands protected. Soft solder melts out "
        "while cranking.",
    ),
    CRANK,
)
