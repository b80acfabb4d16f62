"""One reading for each dimension, whatever came in."""

import math

import attrs
import pytest
from bush_kind import BUSHING, counted, read, seen

from api.errors import InvalidInput
from api.matching.readings import AbsentReading, CountReading, LengthReading, settle_readings


def settled(*readings):
    return settle_readings(BUSHING, readings)


def test_readings_come_out_in_the_order_of_the_kind():
    given = (seen("hole"), read("length", 12.0), counted(2), read("bore", 12.6))
    codes = [one.dimension for one in settled(*given).readings]
    assert codes == ["bore", "length", "holes", "oil_supply"]


def test_of_two_readings_of_an_oval_bore_the_smaller_counts():
    only = settled(read("bore", 12.70), read("bore", 12.62))
    assert only.readings == (read("bore", 12.62),)
    assert only.disagreeing == ()


def test_of_two_readings_of_a_shrinking_length_the_greater_counts():
    assert settled(read("length", 11.8), read("length", 11.9)).readings == (read("length", 11.9),)


def test_an_unworn_surface_goes_before_a_worn_one():
    unworn = read("bore", 12.51, worn=False)
    assert settled(read("bore", 12.50), unworn).readings == (unworn,)


def test_repeats_of_what_does_not_wear_give_their_weighted_mean():
    (mean,) = settled(read("flange_diameter", 20.00, 10_000), read("flange_diameter", 20.05, 20_000)).readings
    assert mean.value_nm == pytest.approx(20_010_000)  # weights 4 to 1
    assert mean.uncertainty_nm == pytest.approx(10_000 / math.sqrt(1.25))


def test_repeats_of_what_does_not_wear_disagree_beyond_three_joint_uncertainties():
    joint_mm = 3 * math.hypot(0.0233, 0.0233)
    assert (
        settled(read("flange_diameter", 20.0), read("flange_diameter", 20.0 + 0.99 * joint_mm)).disagreeing
        == ()
    )
    apart = settled(read("flange_diameter", 20.0), read("flange_diameter", 20.0 + 1.01 * joint_mm))
    assert apart.disagreeing == ("flange_diameter",)


def test_readings_of_a_worn_bore_may_differ_by_wear_but_not_by_a_millimetre():
    assert settled(read("bore", 12.5), read("bore", 12.8)).disagreeing == ()
    assert settled(read("bore", 12.5), read("bore", 13.5)).disagreeing == ("bore",)


def test_the_same_count_twice_is_one_count_and_two_counts_tell_nothing():
    assert settled(counted(2), counted(2)).readings == (counted(2),)
    assert settled(counted(2), counted(3)) == settled(counted(3), counted(2))
    assert settled(counted(2), counted(3)).readings == ()
    assert settled(counted(2), counted(3)).disagreeing == ("holes",)


def test_a_flange_that_is_absent_and_measured_tells_nothing():
    both = settled(AbsentReading(dimension="flange_diameter"), read("flange_diameter", 20.0))
    assert both.readings == ()
    assert both.disagreeing == ("flange_diameter",)


@pytest.mark.parametrize(
    ("reading", "code"),
    [
        (read("thread", 8.0), "unknown"),
        (read("holes", 8.0), "wrong_measure"),
        (read("bore", math.nan), "implausible"),
        (read("bore", math.inf), "implausible"),
        (read("bore", -12.0), "implausible"),
        (read("bore", 0.0), "implausible"),
        (read("bore", 1.9), "implausible"),
        (read("bore", 80.1), "implausible"),
        (read("bore", 12.0, 0.0), "not_positive"),
        (read("bore", 12.0, math.nan), "not_positive"),
        (CountReading(dimension="bore", count=3), "wrong_measure"),
        (counted(10), "implausible"),
        (counted(-1), "implausible"),
        (seen("spiral"), "unknown"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_at_its_dimension(reading, code):
    with pytest.raises(InvalidInput) as refused:
        settled(reading)
    assert [(fault.path, fault.code) for fault in refused.value.faults] == [((reading.dimension,), code)]


def test_a_choice_of_what_is_counted_is_refused():
    from_oil = seen("hole")
    wrong = type(from_oil)(dimension="holes", choice="hole")
    with pytest.raises(InvalidInput) as refused:
        settled(wrong, read("bore", 500.0))
    assert [fault.code for fault in refused.value.faults] == ["wrong_measure", "implausible"]


def test_two_point_is_the_default_of_a_length():
    assert LengthReading(dimension="bore", value_nm=1.0, uncertainty_nm=1.0).two_point


def test_a_reading_that_stands_for_disagreeing_repeats_is_used_and_named():
    apart = attrs.evolve(read("bore", 12.62), repeats_disagree=True)
    assert settled(apart) == settled(apart, read("bore", 12.62))
    assert settled(apart).readings == (read("bore", 12.62),)
    assert settled(apart).disagreeing == ("bore",)
