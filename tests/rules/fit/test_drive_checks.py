"""What a starter says of a drive: rotation, splines, helix, length, rest clearance, travel; overspeed."""

import attrs
import pytest

from api.fit.gears.drive_checks import Drive, DriveSeat, armature_speed, check_drive, check_reach
from api.fit.judging.features import Feature
from api.fit.judging.reasons import Grade, Reason, grade_of


def mm(lower: float, upper: float | None = None) -> Feature:
    return Feature(round(lower * 1e6), round((lower if upper is None else upper) * 1e6))


DRIVE = Drive(
    rotation="clockwise",
    spline_count=10,
    spline_major_diameter=mm(17.0, 17.1),
    helix_hand="right",
    helix_lead=mm(159, 161),
    overall_length=mm(61.7, 62.3),
    face_width=mm(15.8, 16.2),
)
SEAT = DriveSeat(
    rotation="clockwise",
    spline_count=10,
    spline_major_diameter=mm(16.85, 16.95),
    helix_hand="right",
    helix_lead=mm(159, 161),
    drive_length=mm(61.7, 62.3),
    rest_clearance=mm(2.5, 3.5),
    travel=mm(16, 17.5),
)


def said(dimension: str, drive: Drive, seat: DriveSeat = SEAT) -> Reason:
    (reason,) = [one for one in check_drive(drive, seat) if one.dimension == dimension]
    return reason


def test_the_drive_that_belongs_there_fits() -> None:
    assert grade_of(check_drive(DRIVE, SEAT)) == "fits"


@pytest.mark.parametrize(
    ("dimension", "change", "verdict"),
    [
        ("rotation", {"rotation": "counter_clockwise"}, "does_not_fit"),
        ("rotation", {"rotation": None}, "unknown"),
        ("spline_count", {"spline_count": 8}, "does_not_fit"),
        ("helix_hand", {"helix_hand": "left"}, "does_not_fit"),
        ("spline_major_diameter", {"spline_major_diameter": mm(16.7, 16.8)}, "does_not_fit"),
        ("spline_major_diameter", {"spline_major_diameter": mm(16.9, 17.0)}, "unknown"),
        ("spline_major_diameter", {"spline_major_diameter": mm(18.5)}, "does_not_fit"),
        ("spline_major_diameter", {"spline_major_diameter": None}, "unknown"),
        ("helix_lead", {"helix_lead": mm(165)}, "unknown"),
        ("helix_lead", {"helix_lead": mm(140)}, "does_not_fit"),
        ("helix_lead", {"helix_lead": None}, "unknown"),
        ("overall_length", {"overall_length": mm(64)}, "unknown"),
        ("overall_length", {"overall_length": mm(67)}, "does_not_fit"),
        ("overall_length", {"overall_length": None}, "unknown"),
        ("travel", {"overall_length": mm(55)}, "unknown"),
        ("travel", {"overall_length": mm(50)}, "does_not_fit"),
        ("travel", {"overall_length": mm(40)}, "does_not_fit"),
        ("travel", {"face_width": None}, "unknown"),
    ],
)
def test_each_dimension_is_judged(dimension: str, change: dict[str, object], verdict: Grade) -> None:
    assert said(dimension, attrs.evolve(DRIVE, **change)).verdict == verdict


def test_a_count_or_a_hand_is_no_matter_of_tolerance() -> None:
    assert said("spline_count", DRIVE).exact
    assert not said("helix_lead", DRIVE).exact


def test_a_longer_drive_rests_nearer_and_reaches_further() -> None:
    plain = {figure.name: figure.value for one in check_reach(DRIVE, SEAT) for figure in one.figures}
    longer = attrs.evolve(DRIVE, overall_length=mm(62.7, 63.3))
    moved = {figure.name: figure.value for one in check_reach(longer, SEAT) for figure in one.figures}
    for name, by in (("rest_clearance", -1), ("engaged", 1)):
        for end in ("least", "most"):
            assert moved[f"{end}_{name}_mm"] == pytest.approx(plain[f"{end}_{name}_mm"] + by)
    # 2.5 - (62.3 - 61.7) and 3.5 + 0.6; 16 - 4.1 and 17.5 - 1.9.
    assert plain["least_rest_clearance_mm"] == pytest.approx(1.9)
    assert plain["most_rest_clearance_mm"] == pytest.approx(4.1)
    assert plain["least_engaged_mm"] == pytest.approx(11.9)
    assert plain["most_engaged_mm"] == pytest.approx(15.6)


def test_what_the_seat_does_not_record_is_unknown() -> None:
    assert {reason.verdict for reason in check_drive(DRIVE, DriveSeat())} == {"unknown"}


# Worked by hand: 800 rpm x 130 / 9 = 11,556 rpm; with an internal reduction of 3.5, 40,444 rpm.
@pytest.mark.parametrize(("reduction", "rpm"), [(1.0, 11_555.6), (3.5, 40_444.4)])
def test_the_armature_runs_at_engine_speed_times_both_ratios(reduction: float, rpm: float) -> None:
    assert armature_speed(130, 9, reduction, 800) == pytest.approx(rpm, abs=0.1)
