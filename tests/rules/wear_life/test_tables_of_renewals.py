"""Tables made once give what a fresh evaluation gives, whatever was asked of them before."""

import numpy as np
import pytest

from api.wear_life.renewal import AgedLife, NewLife, UnknownAge, discounted_renewals
from api.wear_life.renewal_tables import RenewalTables
from api.wear_life.weibull import WeibullLife


@pytest.mark.parametrize("shape", [0.5, 1.4, 3.0, 10.0])
def test_tables_give_what_a_fresh_evaluation_gives(shape: float) -> None:
    tables = RenewalTables()
    near, far = np.array([0.5, 7.0]), np.array([30.0, 4.0, 900.0])
    for scale in (10.0, 12.0):
        life = WeibullLife(shape, scale)
        for first in (NewLife(), AgedLife(4.0), AgedLife(4.5), UnknownAge()):
            for rate in (0.0, 0.004, 0.3):
                for horizons in (near, far, near):
                    found = tables.discounted_renewals(life, first, horizons, rate)
                    fresh = discounted_renewals(life, first, horizons, rate)
                    assert found == pytest.approx(fresh, rel=1e-9)
