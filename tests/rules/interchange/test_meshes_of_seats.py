"""A drive meshes with its family's ring gear at every centre distance that the starter may have."""

import math

import pytest
from bench import DRIVE, DRIVE_SEAT, Said, family, position, size

from api.fit.judging.reasons import Reason
from api.interchange.check_seat import check_seat


def mesh(part: dict[str, Said] | None = None, **seat: Said) -> Reason:
    place = position("drive_clutch", "drive_clutch", **{**DRIVE_SEAT, **seat})
    said = check_seat(family(), place, size(**{**DRIVE, **(part or {})}))
    return next(reason for reason in said if reason.dimension == "tip_diameter")


def test_backlash_is_that_of_the_spread_centre_distance() -> None:
    """By the linear rule of SAE J543's public summary, j = 2 dC tan(a), at the angle without backlash.

    9 teeth shifted by 0.5 and 130 teeth of module 2.5: inv(aw) = inv(20 degrees) + 2 tan(20 degrees) 0.5 /
    139 gives 21.069 degrees and a distance of 174.9685 mm; the linear rule is good to some per cent.
    """
    reason = mesh()
    figures = {figure.name: figure.value for figure in reason.figures}
    assert reason.verdict == "fits"
    for name, distance in (("least_backlash_mm", 175.5), ("most_backlash_mm", 175.9)):
        by_rule = 2 * (distance - 174.9685) * math.tan(math.radians(21.069))
        assert figures[name] == pytest.approx(by_rule, rel=0.03)
    assert figures["least_contact_ratio"] < figures["most_contact_ratio"]


@pytest.mark.parametrize(
    ("part", "seat", "verdict"),
    [
        ({}, {"centre_distance": (174.0, 174.4)}, "does_not_fit"),  # the teeth jam
        ({}, {"centre_distance": (174.8, 175.2)}, "unknown"),
        ({}, {"centre_distance": (181.0, 181.4)}, "does_not_fit"),  # the tips do not reach
        ({"tip_diameter": (36.0, 36.1)}, {}, "does_not_fit"),  # beyond the point of any such tooth
        ({"tip_diameter": (20.0, 20.1)}, {}, "does_not_fit"),  # within the base circle
        ({"tip_diameter": None}, {}, "unknown"),
        ({}, {"ring_gear_teeth": "130"}, "unknown"),  # no count
    ],
)
def test_teeth_that_jam_strike_or_do_not_reach_never_fit(
    part: dict[str, Said], seat: dict[str, Said], verdict: str
) -> None:
    assert mesh(part, **seat).verdict == verdict


def test_the_tip_clears_the_root_that_was_cut_for_it() -> None:
    assert mesh({"tip_diameter": (29.4, 29.5)}).verdict == "fits"
