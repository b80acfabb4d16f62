"""The diagnosis on the tables that travel with the package, for the tests: from codes to ranked faults."""

from functools import cache
from pathlib import Path

from api.diagnosis.check_stated import Claim, check_stated
from api.diagnosis.diagnose import Diagnosis, diagnose
from api.diagnosis.knowledge import Knowledge
from api.diagnosis.next_test import Person
from api.diagnosis.read_knowledge import read_knowledge
from api.diagnosis.subject import Subject

FOLDER = Path(__file__).parents[1] / "seed_catalog" / "diagnosis"
DIRECT = Subject(voltage=12, construction="direct_drive", field="wound")

GOOD_SUPPLY = {
    "battery_open_circuit_volts": 12.65,
    "trigger_volts": 11.8,
    "feed_drop_volts": 0.2,
    "ground_drop_volts": 0.1,
}
"""A rested good battery, trigger voltage at the solenoid, cable drops within limits."""


def texts() -> dict[str, str]:
    """Return the data files' texts by name."""
    return {path.name: path.read_text("utf-8") for path in FOLDER.glob("*.toml")}


@cache
def tables() -> Knowledge:
    """Return the tables."""
    return read_knowledge(texts())


def claim(code: str, told: str | float) -> Claim:
    """Return an answer or a number as a caller states it."""
    return Claim(code=code, answer=told) if isinstance(told, str) else Claim(code=code, value=told)


def found(
    told: dict[str, str | float], subject: Subject = DIRECT, person: Person = "do_it_yourselfer"
) -> Diagnosis:
    """Diagnose from answers and numbers by code."""
    claims = [claim(code, one) for code, one in told.items()]
    return diagnose(tables(), subject, person, check_stated(tables(), subject, claims))


def ranked(told: dict[str, str | float], subject: Subject = DIRECT) -> list[str]:
    """Return the faults' codes, likeliest first."""
    return [one.known.code for one in found(told, subject).faults]


def chance(told: dict[str, str | float], code: str, subject: Subject = DIRECT) -> float:
    """Return a fault's chance after what was told."""
    return next(one.chance for one in found(told, subject).faults if one.known.code == code)
