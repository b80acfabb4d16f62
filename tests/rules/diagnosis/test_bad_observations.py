"""What cannot be taken as an observation, each named with place, value and what was expected."""

from typing import Any

import pytest
from diagnosis_of_seed import DIRECT, tables

from api.diagnosis.check_stated import Claim, check_stated
from api.diagnosis.stated import Measured
from api.diagnosis.subject import Subject
from api.errors import FieldFault, InvalidInput

LORRY = Subject(voltage=24)


def refused(*claims: Claim, subject: Subject = DIRECT) -> tuple[FieldFault, ...]:
    with pytest.raises(InvalidInput) as caught:
        check_stated(tables(), subject, claims)
    return caught.value.faults


@pytest.mark.parametrize(
    ("stated", "member", "code"),
    [
        ({"code": "light_tap", "answer": "yes"}, "code", "unknown_observation"),
        ({"code": "onset", "answer": "suden"}, "answer", "unknown_answer"),
        ({"code": "onset"}, "answer", "missing"),
        ({"code": "onset", "value": 1.0}, "value", "not_taken"),
        ({"code": "feed_drop_volts"}, "value", "missing"),
        ({"code": "feed_drop_volts", "answer": "yes"}, "answer", "not_taken"),
        ({"code": "feed_drop_volts", "value": -0.2}, "value", "wrong_sign"),
        ({"code": "cranking_amperes", "value": -200.0}, "value", "wrong_sign"),
        ({"code": "cranking_amperes", "value": 1e6}, "value", "implausible"),
        ({"code": "battery_open_circuit_volts", "value": 25.2}, "value", "other_system_voltage"),
        ({"code": "battery_cranking_volts", "value": 19.0}, "value", "other_system_voltage"),
        ({"code": "battery_open_circuit_volts", "value": 220.0}, "value", "implausible"),
        ({"code": "no_load_rpm", "value": 1e5}, "value", "implausible"),
        ({"code": "feed_drop_volts", "value": 0.2, "uncertainty": 0.0}, "uncertainty", "out_of_range"),
        ({"code": "feed_drop_volts", "value": 0.2, "limit": 0.0}, "limit", "out_of_range"),
        ({"code": "feed_drop_volts", "value": 0.2, "limit": 9.0}, "limit", "out_of_range"),
        ({"code": "trigger_volts", "value": 9.0, "limit": 8.0}, "limit", "not_taken"),
        ({"code": "trigger_volts", "value": 9.0, "celsius": 20.0}, "celsius", "not_taken"),
        ({"code": "battery_load_test_volts", "value": 9.0, "celsius": 200.0}, "celsius", "out_of_range"),
        ({"code": "feed_drop_volts", "value": 0.2, "rated_upper": 1.0}, "rated_upper", "not_taken"),
        ({"code": "no_load_amperes", "value": 80.0, "rated_lower": 70.0}, "rated_upper", "missing"),
        (
            {"code": "no_load_amperes", "value": 80.0, "rated_lower": 110.0, "rated_upper": 70.0},
            "rated_lower",
            "out_of_range",
        ),
    ],
)
def test_it_is_refused_and_named(stated: dict[str, Any], member: str, code: str) -> None:
    (fault,) = refused(Claim(**stated))
    assert fault.path == ("observations", 0, member)
    assert fault.code == code


def test_the_nearest_known_code_and_answer_are_named() -> None:
    one, two = refused(Claim(code="light_tap", answer="yes"), Claim(code="onset", answer="suden"))
    assert (one.nearest, two.nearest) == ("light_tap_helps", "sudden")
    assert [one.path[1], two.path[1]] == [0, 1]


def test_volts_of_a_24_volt_system_are_taken_on_one() -> None:
    assert check_stated(tables(), LORRY, [Claim(code="battery_open_circuit_volts", value=25.2)])
    (fault,) = refused(Claim(code="battery_open_circuit_volts", value=50.0), subject=LORRY)
    assert fault.code == "implausible"


def test_the_same_value_twice_is_refused_and_a_no_load_test_told_both_ways() -> None:
    (fault,) = refused(Claim(code="onset", answer="sudden"), Claim(code="onset", answer="sudden"))
    assert (fault.path, fault.code) == (("observations", 1, "code"), "repeated")
    (fault,) = refused(Claim(code="no_load_amperes", value=80.0), Claim(code="no_load_test", answer="rated"))
    assert (fault.path, fault.code) == (("observations", 0, "code"), "told_twice")


def test_a_range_that_the_caller_states_is_held_against() -> None:
    (stated,) = check_stated(
        tables(), DIRECT, [Claim(code="no_load_amperes", value=80.0, rated_lower=60.0, rated_upper=85.0)]
    )
    assert isinstance(stated, Measured)
    assert stated.held is not None
    assert (stated.held.values, stated.held.stated) == ((60.0, 85.0), True)


def test_a_battery_temperature_moves_the_limit_of_its_load_test() -> None:
    """Service pages at second hand: 9.6 V at 20 degrees Celsius, 8.5 V at -18."""
    (cold,) = check_stated(
        tables(), DIRECT, [Claim(code="battery_load_test_volts", value=9.0, celsius=-18.0)]
    )
    assert isinstance(cold, Measured)
    assert cold.held is not None
    assert cold.held.values == (8.5,)
