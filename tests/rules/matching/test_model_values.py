"""The model refuses figures that cannot be, all at once, each at its field."""

import math

import attrs
import pytest
from bush_kind import BORE, BUSHING, HOLES, OIL

from api.errors import InvalidInput
from api.matching.model import KindModel


def faulty_fields(make):
    with pytest.raises(InvalidInput) as refused:
        make()
    return [fault.path for fault in refused.value.faults]


@pytest.mark.parametrize(
    ("dimension", "change", "field"),
    [
        (BORE, {"slip_chance": 0.0}, "slip_chance"),
        (BORE, {"slip_chance": math.nan}, "slip_chance"),
        (BORE, {"wear_scale_nm": 0}, "wear_scale_nm"),
        (BORE, {"wear_sense": "none"}, "wear_scale_nm"),
        (BORE, {"wear_scale_nm": math.inf}, "wear_scale_nm"),
        (BORE, {"span_upper": 4_000_000}, "span_upper"),
        (BORE, {"agrees_within": 0.0}, "agrees_within"),
        (BORE, {"worn_within": math.inf}, "worn_within"),
        (HOLES, {"miscount_chance": 1.0}, "miscount_chance"),
        (HOLES, {"span_lower": 10}, "span_upper"),
        (OIL, {"choices": ()}, "choices"),
        (OIL, {"choices": ("hole", "hole")}, "choices"),
        (OIL, {"wear_sense": "grows"}, "wear_sense"),
    ],
)
def test_a_figure_that_cannot_be_is_refused_at_its_field(dimension, change, field):
    assert faulty_fields(lambda: attrs.evolve(dimension, **change)) == [(dimension.code, field)]


def test_all_faults_of_a_dimension_are_named_at_once():
    paths = faulty_fields(lambda: attrs.evolve(BORE, slip_chance=2.0, worn_within=-1.0, wear_scale_nm=-5))
    assert {path[1] for path in paths} == {"slip_chance", "worn_within", "wear_scale_nm"}


def test_a_kind_refuses_a_prior_outside_0_to_1_a_double_and_a_pointer_to_no_count():
    tips = attrs.evolve(BORE, code="tip_diameter", two_point_over="oil_supply")
    paths = faulty_fields(lambda: KindModel(kind="x", dimensions=(BORE, BORE, OIL, tips), unlisted_prior=1.0))
    assert paths == [("x", "unlisted_prior"), ("x", "dimensions"), ("x", "tip_diameter", "two_point_over")]


def test_a_kind_without_dimensions_is_refused():
    assert faulty_fields(lambda: KindModel(kind="x", dimensions=())) == [("x", "dimensions")]


def test_a_dimension_is_found_by_its_code():
    assert BUSHING.dimension("holes") is HOLES
    with pytest.raises(KeyError):
        BUSHING.dimension("teeth")


def test_an_even_reading_has_the_density_of_the_span_or_one_over_the_outcomes():
    assert math.exp(BORE.log_even) == pytest.approx(1 / 36_000_000)
    assert math.exp(HOLES.log_even) == pytest.approx(0.1)
    assert math.exp(OIL.log_even) == pytest.approx(1 / 3)
