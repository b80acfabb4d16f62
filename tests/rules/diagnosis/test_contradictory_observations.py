"""Contradictory observations are named and still answered."""

import pytest
from diagnosis_of_seed import DIRECT, GOOD_SUPPLY, claim, found, tables

from api.diagnosis.check_stated import Claim, check_stated
from api.diagnosis.diagnose import Diagnosis, diagnose
from api.diagnosis.subject import Subject


def of(*claims: Claim, subject: Subject = DIRECT) -> Diagnosis:
    return diagnose(tables(), subject, "repairer", check_stated(tables(), subject, claims))


def test_no_sound_and_much_current_are_explained_by_no_single_fault() -> None:
    answer = found({"on_start_command": "no_sound", "cranking_amperes": 600.0})
    assert [one.codes for one in answer.contradictions] == [("cranking_amperes", "on_start_command")]
    assert sum(one.chance for one in answer.faults) == pytest.approx(1)


def test_what_one_fault_explains_is_no_contradiction() -> None:
    answer = found({**GOOD_SUPPLY, "on_start_command": "single_click", "light_tap_helps": "yes"})
    assert answer.contradictions == ()


def test_a_field_of_magnets_cannot_go_to_ground() -> None:
    magnets = Subject(voltage=12, construction="planetary_gear_reduction", field="permanent_magnet")
    told = Claim(code="winding_to_ground", answer="field")
    (named,) = of(told, subject=magnets).contradictions
    assert named.codes == ("winding_to_ground",)
    assert named.words == "winding_to_ground cannot be answered with field on permanent_magnet"
    assert of(told).contradictions == ()
    assert of(Claim(code="winding_to_ground", answer="armature"), subject=magnets).contradictions == ()


def test_two_answers_to_one_question_are_named_and_count_once_each_half() -> None:
    both = of(Claim(code="worse_when", answer="cold"), Claim(code="worse_when", answer="hot"))
    assert [one.codes for one in both.contradictions] == [("worse_when",)]
    assert len(both.evidence) == 1


def test_a_click_one_day_and_no_sound_the_next_is_no_contradiction() -> None:
    both = of(
        Claim(code="on_start_command", answer="single_click"),
        Claim(code="on_start_command", answer="no_sound"),
    )
    assert both.contradictions == ()


def test_two_numbers_far_apart_are_named_and_two_close_ones_are_not() -> None:
    far = of(claim("battery_open_circuit_volts", 12.7), claim("battery_open_circuit_volts", 11.2))
    assert [one.codes for one in far.contradictions] == [("battery_open_circuit_volts",)]
    near = of(claim("battery_open_circuit_volts", 12.65), claim("battery_open_circuit_volts", 12.66))
    assert near.contradictions == ()


def test_of_many_numbers_the_two_farthest_apart_are_named_once() -> None:
    many = of(*(claim("feed_drop_volts", 0.1 * step) for step in range(20)))
    (found_one,) = many.contradictions
    assert "as 0 and as 1.9" in found_one.words
    rated = of(
        claim("no_load_amperes", 10.0),
        claim("no_load_amperes", 90.0),
        claim("no_load_rpm", 900.0),
        claim("no_load_rpm", 5000.0),
    )
    assert {one.codes for one in rated.contradictions} == {("no_load_amperes",), ("no_load_rpm",)}


def test_the_volts_of_one_battery_on_a_24_volt_system_are_questioned() -> None:
    answer = of(claim("battery_open_circuit_volts", 12.6), subject=Subject(voltage=24))
    assert "one of two" in answer.contradictions[0].words


def test_an_observation_that_this_starter_cannot_have_is_named() -> None:
    movable = Subject(voltage=12, construction="movable_pole_shoe")
    answer = of(claim("plunger_moves_freely", "no"), subject=movable)
    assert [one.codes for one in answer.contradictions] == [("plunger_moves_freely",)]
