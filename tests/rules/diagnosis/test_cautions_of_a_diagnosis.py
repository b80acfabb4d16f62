"""What was observed may forbid a test; every repair and every test carries the cautions of its step."""

import pytest
from diagnosis_of_seed import found, tables

from api.diagnosis.cautions import CAUTIONS
from api.diagnosis.knowledge import OTHER
from api.diagnosis.next_test import Person

PEOPLE: tuple[Person, ...] = ("do_it_yourselfer", "repairer")


def cautions_of_tests(told: dict[str, str | float], person: Person) -> set[str]:
    return {code for one in found(told, person=person).advice for code in one.known.cautions}


@pytest.mark.parametrize("person", PEOPLE)
@pytest.mark.parametrize(
    ("code", "answer", "caution"),
    [
        ("on_start_command", "keeps_running", "keeps_running"),
        ("on_start_command", "grinds", "grinds"),
        ("engine_turns_freely", "no", "engine_stuck"),
    ],
)
def test_nobody_is_told_to_crank_on_when_that_does_harm(
    person: Person, code: str, answer: str, caution: str
) -> None:
    """Welded contacts start the engine again, a milled pinion mills on, a stuck engine breaks."""
    assert "crank" in cautions_of_tests({}, person)
    assert "crank" not in cautions_of_tests({code: answer}, person)
    assert found({code: answer}, person=person).cautions == (caution,)


@pytest.mark.parametrize("person", PEOPLE)
def test_a_starter_that_keeps_running_is_not_connected_again_to_be_measured(person: Person) -> None:
    told: dict[str, str | float] = {"on_start_command": "keeps_running"}
    advice = found(told, person=person).advice
    assert advice
    on_the_vehicle = {"crank", "battery_gas", "no_bridging", "light_tap"}
    assert not on_the_vehicle & cautions_of_tests(told, person)


def test_deep_water_and_a_stalled_starter_call_for_a_caution_and_still_leave_their_tests() -> None:
    for told, caution in (
        ({"been_in_deep_water": "yes"}, "deep_water"),
        ({"on_start_command": "hums_without_turning"}, "stalls"),
    ):
        answer = found(dict(told))
        assert answer.cautions == (caution,)
        assert answer.advice
    assert found({"been_in_deep_water": "no"}).cautions == ()


def test_every_repair_carries_its_cautions_and_how_the_battery_has_to_be() -> None:
    for fault in tables().faults.values():
        assert fault.cautions or fault.code == OTHER
        states = {CAUTIONS[code].battery for code in fault.cautions}
        traced_live = fault.code == "control_circuit_open"
        assert ("connected" in states) == traced_live, fault.code


def test_what_is_mended_in_the_starter_is_mended_with_the_battery_off_and_the_starter_out() -> None:
    for fault in tables().faults.values():
        if fault.place in ("starter", "joint"):
            assert "remove" in fault.cautions, fault.code


def test_a_drive_or_a_porous_bush_is_not_washed_wherever_one_is_repaired() -> None:
    for fault in tables().faults.values():
        if "drive_clutch" in fault.positions:
            assert "no_solvent" in fault.cautions, fault.code
        if any("bushing" in position for position in fault.positions):
            assert {"no_solvent", "press_bush"} & set(fault.cautions), fault.code


def test_whoever_works_with_an_insulation_tester_is_told_of_its_voltage() -> None:
    for known in tables().observations.values():
        if "nsulation tester" in known.how:
            assert "insulation_tester" in known.cautions, known.code


def test_nothing_tells_anybody_to_strike_magnets_bridge_terminals_or_lock_the_rotor() -> None:
    """Wherever these words stand, they stand as a prohibition."""
    told = [caution.text for caution in CAUTIONS.values()]
    told += [known.how for known in tables().observations.values()]
    told += [fault.repair for fault in tables().faults.values()]
    for text in told:
        for sentence in text.replace(";", ".").replace(":", ".").split("."):
            low = sentence.casefold()
            if any(word in low for word in ("bridg", "locked-rotor", "strike", "blows on")):
                assert any(word in low for word in ("never", "no ", "not ")), sentence


@pytest.mark.parametrize(
    ("words", "caution"),
    [
        ("turns the key", "crank"),
        ("somebody else cranks", "crank"),
        ("battery's positive post", "battery_gas"),
        ("battery's negative post", "battery_gas"),
        ("across the posts", "battery_gas"),
        ("solenoid's control terminal", "no_bridging"),
        ("Clamp meter", "beneath_the_vehicle"),
        ("crankshaft", "turn_by_hand"),
        ("Draw the armature", "magnets"),
    ],
)
def test_what_a_test_has_the_hand_do_is_cautioned_there(words: str, caution: str) -> None:
    """Batteries vent gas, magnets draw an armature in, engines kick back (common practice, no source)."""
    asked = [known for known in tables().observations.values() if words in known.how]
    assert asked
    assert {known.code for known in asked if caution not in known.cautions} == set()
