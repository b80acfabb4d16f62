"""The age of a piece from how much of it is worn away."""

import math

import pytest

from api.wear_life.ages import age_from_wear_share, counts_as_failed
from api.wear_life.refusals import AgeRefused
from api.wear_life.weibull import WeibullLife


def test_wear_is_even_over_the_mean_life() -> None:
    life = WeibullLife(2.0, 20_000.0)
    assert age_from_wear_share(life, 0.0) == 0.0
    assert age_from_wear_share(life, 0.4) == pytest.approx(0.4 * 17724.538509, rel=1e-9)


@pytest.mark.parametrize("share", [1.0, 1.3, 50.0])
def test_a_piece_worn_to_its_limit_counts_as_failed(share: float) -> None:
    assert counts_as_failed(share)
    assert age_from_wear_share(WeibullLife(2.0, 20_000.0), share) is None


def test_a_piece_just_short_of_it_does_not() -> None:
    assert not counts_as_failed(math.nextafter(1.0, 0.0))


@pytest.mark.parametrize("share", [-0.01, math.nan, math.inf])
def test_a_share_that_is_none_is_refused(share: float) -> None:
    with pytest.raises(AgeRefused) as caught:
        age_from_wear_share(WeibullLife(2.0, 20_000.0), share)
    assert caught.value.quantity == "wear share"
