"""What to do next: hazard and person first, then minutes for each bit that it is expected to tell."""

from math import log2

import pytest
from diagnosis_of_seed import DIRECT, GOOD_SUPPLY, found, tables

from api.diagnosis.likelihood import chance_table
from api.diagnosis.next_test import LEAST_BITS, is_allowed
from api.diagnosis.posterior import weigh
from api.diagnosis.subject import Subject, weigh_faults

CLICK: dict[str, str | float] = {**GOOD_SUPPLY, "on_start_command": "single_click"}


def test_a_do_it_yourselfer_is_sent_to_no_bench_and_to_no_great_hazard() -> None:
    for told in ({}, CLICK, {"on_start_command": "cranks_slowly"}):
        for advice in found(told).advice:
            assert advice.known.who == "anyone"
            assert advice.known.hazard != "high"


def test_a_repairer_is_also_sent_to_the_bench() -> None:
    told = {**GOOD_SUPPLY, "on_start_command": "cranks_slowly", "cranking_amperes": 450.0}
    assert {one.known.who for one in found(told, person="repairer").advice} == {"anyone", "repairer"}


def test_tests_come_in_order_of_minutes_for_each_bit_and_none_twice() -> None:
    advice = found(CLICK, person="repairer").advice
    ratios = [one.minutes_per_bit for one in advice]
    assert ratios == sorted(ratios)
    assert not {one.known.code for one in advice} & set(CLICK)
    assert all(one.bits >= LEAST_BITS for one in advice)
    assert all(one.minutes_per_bit == pytest.approx(one.known.minutes.value / one.bits) for one in advice)


def test_bits_are_the_expected_fall_of_entropy() -> None:
    """Shannon's mutual information, added up here from its definition over faults and answers."""
    advice = next(one for one in found({}).advice if one.known.code == "lamps_when_starting")
    prior = weigh_faults(tables(), DIRECT)
    table = chance_table(advice.known, prior.faults)
    answers = prior.chances @ table
    told = sum(
        float(prior.chances[fault] * table[fault, answer] * log2(table[fault, answer] / answers[answer]))
        for fault in range(table.shape[0])
        for answer in range(table.shape[1])
    )
    assert advice.bits == pytest.approx(told, rel=1e-9)


def test_the_expected_answers_add_up_and_say_which_fault_would_lead() -> None:
    for advice in found(CLICK).advice:
        assert sum(one.chance for one in advice.answers) == pytest.approx(1)
        likeliest = advice.answers[0]
        if advice.known.number is None:
            after = found({**CLICK, advice.known.code: likeliest.answer.code})
            assert after.faults[0].known.code == likeliest.leading
            assert after.faults[0].chance == pytest.approx(likeliest.leading_chance, abs=1e-4)


def test_nobody_is_told_to_tap_a_starter_that_has_no_solenoid() -> None:
    movable = Subject(voltage=12, construction="movable_pole_shoe")
    codes = {one.known.code for one in found({}, movable, "repairer").advice}
    assert not codes & {"light_tap_helps", "contacts_burnt_seen", "plunger_moves_freely", "magnets_whole"}


def test_the_joint_is_measured_after_salt_water() -> None:
    told = {**CLICK, "nose_and_body": "aluminium_over_steel", "been_in_salt_water": "yes"}
    assert "body_to_engine_drop_volts" in [one.known.code for one in found(told).advice[:2]]


def test_no_bench_test_of_high_hazard_is_for_anyone() -> None:
    assert not is_allowed(tables().observations["no_load_test"], "do_it_yourselfer")
    assert is_allowed(tables().observations["no_load_test"], "repairer")


def test_without_evidence_the_chances_are_those_beforehand() -> None:
    prior = weigh_faults(tables(), DIRECT)
    assert weigh(prior, ()).chances == pytest.approx(prior.chances)
