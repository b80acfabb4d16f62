"""A Weibull life: its bounds, and ages at which next to nothing survives."""

import math

import numpy as np
import pytest

from api.wear_life.refusals import AgeRefused, ScaleRefused, ShapeRefused
from api.wear_life.weibull import WeibullLife


@pytest.mark.parametrize("shape", [0.499, 10.001, -1.0, 0.0, math.nan, math.inf])
def test_a_shape_outside_its_bounds_is_refused(shape: float) -> None:
    with pytest.raises(ShapeRefused) as caught:
        WeibullLife(shape, 100.0)
    fault = caught.value.as_fault("positions", 0, "life", "shape")
    assert (fault.code, fault.expected) == ("shape_out_of_range", "0.5 to 10")
    assert fault.path == ("positions", 0, "life", "shape")
    assert f"{shape:g}" in caught.value.explain() and "0.5 to 10" in caught.value.explain()


@pytest.mark.parametrize("scale", [0.0, -5.0, math.nan, math.inf])
def test_a_scale_that_is_no_time_is_refused(scale: float) -> None:
    with pytest.raises(ScaleRefused) as caught:
        WeibullLife(2.0, scale)
    assert (caught.value.code, caught.value.expected) == ("scale_out_of_range", "a number above 0")


@pytest.mark.parametrize("age", [-1e-9, math.nan, math.inf])
def test_an_age_that_is_no_time_is_refused(age: float) -> None:
    life = WeibullLife(2.0, 100.0)
    for ask in (
        life.residual_mean,
        lambda a: life.conditional_survival(a, 1.0),
        lambda a: life.quantile(0.5, a),
    ):
        with pytest.raises(AgeRefused):
            ask(age)


def test_an_age_of_which_no_double_survives_still_has_a_conditional_life() -> None:
    # Shape 10, five scales old: survival exp(-5^10) is 0 in double precision.
    life = WeibullLife(10.0, 1000.0)
    assert life.survival(5000.0) == 0.0
    # The hazard hardly changes over so short a time, so that what is left is exponential.
    rate = float(life.hazard(5000.0))
    assert life.conditional_survival(5000.0, 1.0 / rate) == pytest.approx(math.exp(-1.0), rel=1e-5)
    assert life.residual_mean(5000.0) == pytest.approx(1.0 / rate, rel=1e-5)
    assert life.quantile(0.5, 5000.0) == pytest.approx(math.log(2.0) / rate, rel=1e-5)


def test_minute_chances_keep_their_digits() -> None:
    life = WeibullLife(10.0, 1.0)
    assert life.failed(1e-3) == pytest.approx(1e-30, rel=1e-12)
    assert life.conditional_failed(1.0, 1e-20) == pytest.approx(1e-19, rel=1e-12)


@pytest.mark.parametrize("shape", [0.5, 1.0, 3.0, 10.0])
@pytest.mark.parametrize("age", [0.0, 1e-200, 1e-8, 0.5, 40.0])
def test_growth_and_time_are_inverse(shape: float, age: float) -> None:
    life, growth = WeibullLife(shape, 7.0), np.array([0.0, 1e-12, 0.3, 20.0])
    assert life.hazard_growth(age, life.time_of_growth(age, growth)) == pytest.approx(growth, rel=1e-11)


def test_at_time_zero_nothing_has_failed() -> None:
    life = WeibullLife(0.5, 1.0)
    assert (life.failed(0.0), life.survival(0.0), life.quantile(0.0)) == (0.0, 1.0, 0.0)
    assert life.hazard(0.0) == math.inf


def test_beyond_every_double_nothing_survives() -> None:
    life = WeibullLife(10.0, 1e-300)
    assert life.survival(1e300) == 0.0
    assert life.conditional_survival(1e-300, 1e300) == 0.0
