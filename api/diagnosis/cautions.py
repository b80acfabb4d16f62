"""What can hurt at each observation, by the words of the data files. Pure data.

Common practice of the trade, no source, save where one is named. The maker's service manual, local rules
and a licensed repairer come first.
"""

from typing import Final

from api.fit.cautions import FIRST, REMOVE, Caution

CAUTIONS: Final = {
    "crank": Caution(
        "turn the key to start",
        "connected",
        "Neutral or park, brake on, wheels chocked, fuel or ignition disabled, nobody under the vehicle, "
        "hands, leads and sleeves clear of belts and fan. No longer than the maker allows, and let it "
        "cool (US Army TM 10-3930-671-24: 30 seconds at most, then 2 minutes of rest).",
    ),
    "battery_gas": Caution(
        "work at the battery",
        "connected",
        "Batteries vent explosive gas and hold acid: no flame or spark, eye protection, no ring, no tool "
        "across the posts.",
    ),
    "load_test": Caution(
        "load the battery",
        "disconnected",
        "Only a charged, whole, unfrozen battery that is off the vehicle's cables; follow the tester's "
        "maker. The load gets hot, and a spark beside gas explodes.",
    ),
    "beneath_the_vehicle": Caution(
        "reach the starter",
        "disconnected",
        "Fix meter leads with the battery disconnected, then stand clear. Nobody beneath a vehicle that "
        "stands on a jack, and nobody beneath it while the key is turned.",
    ),
    "no_bridging": Caution(
        "measure at the solenoid",
        "connected",
        "Never bridge the solenoid's terminals: the engine may start in gear, and the arc burns. The "
        "battery stud is live without a fuse: insulated clips, no rings, no bare tools.",
    ),
    "light_tap": Caution(
        "tap the solenoid",
        "connected",
        "A light tap on the solenoid's body alone, hands clear of drive, belts and fan, nobody beneath "
        "the vehicle. Never strike a permanent-magnet frame: its magnets crack. A start got this way is "
        "temporary.",
    ),
    "turn_by_hand": Caution(
        "turn it by hand",
        "disconnected",
        "Battery disconnected first, negative first off; out of gear, brake on, wheels chocked. An engine "
        "can kick back: pull the wrench, do not push. Take it off again before anybody cranks.",
    ),
    "remove": REMOVE,
    "springs": Caution(
        "open the starter",
        "disconnected",
        "Springs fly: eye protection. Dust harms: wipe, no blowing out. No grease on commutator or contacts.",
    ),
    "spin_test": Caution(
        "spin the starter",
        "connected",
        "Only on a bench made for it, the starter clamped by its mounting flange, never a "
        "permanent-magnet frame in a vice. A few seconds: unloaded it can over-speed and burst. Clear of "
        "the pinion. Feed it through a switch, never by bridging terminals; no locked-rotor test outside "
        "a test bench.",
    ),
    "no_solvent": Caution(
        "clean the drive",
        "disconnected",
        "An overrunning clutch and a porous bush are not washed in solvent: it takes their grease away.",
    ),
    "magnets": Caution(
        "handle a permanent-magnet frame",
        "disconnected",
        "Do not strike or clamp it: magnets crack. The armature is drawn in with force: mind the fingers.",
    ),
}
"""By code; the data files name them."""

OF_EVERY_DIAGNOSIS: Final = (FIRST,)
