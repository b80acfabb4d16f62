"""What can hurt at each observation and each repair, by the words of the data files. Pure data.

Common practice of the trade, no source, save where one is named. The maker's service manual, local rules
and a licensed repairer come first.
"""

from typing import Final

from api.fit.judging.cautions import FIRST, REMOVE, Caution

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
    "insulation_tester": Caution(
        "test the insulation",
        "disconnected",
        "An insulation tester puts hundreds of volts on the winding: hands off while testing, discharge it "
        "after. Not on a starter that is still wired to the vehicle.",
    ),
    "keeps_running": Caution(
        "it keeps running when the key is let go",
        "disconnected",
        "Get the current off at once: battery switch, or the negative clamp pulled away with a gloved hand, "
        "face turned aside, since it sparks and battery gas explodes. Keep clear of drive, belts and fan. "
        "Connect nothing and turn no key before it is mended: contacts that have welded start it at once.",
    ),
    "grinds": Caution(
        "it grinds",
        "disconnected",
        "Do not crank on: every try mills pinion and ring gear further. Look at both, battery disconnected.",
    ),
    "stalls": Caution(
        "it hums and does not turn",
        "connected",
        "Let go of the key at once: standing still it draws its greatest current and burns windings and "
        "cables within seconds. A second or two for a reading, then let it cool.",
    ),
    "engine_stuck": Caution(
        "the engine does not turn",
        "disconnected",
        "Do not crank: water or fuel in a cylinder does not yield and breaks the engine. Find out why by the "
        "maker's manual, or have it found out.",
    ),
    "deep_water": Caution(
        "it was in deep water",
        "disconnected",
        "Water in a cylinder does not yield: have the engine turned a full turn by hand, as its maker says, "
        "before anybody cranks.",
    ),
    "charge_battery": Caution(
        "charge or change the battery",
        "disconnected",
        "In open air; the charger is switched off while its clips go on and off. Never a frozen, cracked or "
        "leaking battery. Eye protection, no flame; negative clamp first off, last on; it is heavy.",
    ),
    "clean_terminals": Caution(
        "clean the terminals",
        "disconnected",
        "Negative clamp first off, last on; no tool across the posts. The bloom is acid: gloves and eye "
        "protection, rinse, no blowing.",
    ),
    "cables": Caution(
        "work on the battery cables",
        "disconnected",
        "Negative clamp first off, last on: the starter's cable has no fuse, and a tool that touches ground "
        "welds to it. Lay it clear of exhaust, edges and whatever turns.",
    ),
    "skim": Caution(
        "skim and undercut the commutator",
        "disconnected",
        "Rotating work catches sleeves and gloves; chips and copper dust harm eyes and lungs. No blowing "
        "out.",
    ),
    "hot_joint": Caution(
        "solder or braze a joint",
        "disconnected",
        "Hot metal, fumes, fire: away from battery and fuel, eyes and hands protected.",
    ),
    "press_bush": Caution(
        "press a bush in or out",
        "disconnected",
        "Eye protection, pressed squarely, no blows on a permanent-magnet frame: magnets crack. A porous "
        "bush is neither reamed nor washed in solvent.",
    ),
}
"""By code; the data files name them."""

OF_EVERY_DIAGNOSIS: Final = (FIRST,)
