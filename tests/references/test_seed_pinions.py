"""Pinions of the seed catalogue against the formulas of involute gearing and published pinions.

Span over k teeth: W = m cos(a) (pi (k - 0.5) + z inv a) + 2 x m sin(a). Tip diameter of a long-addendum
stub: the blank of one tooth more (N1 = N2 + 1, equal to a profile shift of 0.5) plus twice the addendum
1/P2 (SAE J543 NOV95, its table as a public summary gives it). By module the addendum is 0.8 of the
module: our judgement, ISO 9457 was not seen.
"""

import math

import pytest
from seed_seats import Seat, of_kind

from api.starters.entries import PinionEntry

MM = 1_000_000
INCH_MM = 25.4
STUB_PITCH = {6: 8, 8: 10, 10: 12, 12: 14}
METRIC_ADDENDUM = 0.8
# The catalogue rounds to 0.01 mm or 0.0001 in and puts the nominal at its upper limit.
ROUNDING_MM = 0.006
WIDEST_TIP_MM = 0.13
WIDEST_SPAN_MM = 0.07


def involute(angle: float) -> float:
    return math.tan(angle) - angle


def span_mm(module: float, teeth: int, shift: float, over: int, angle_degrees: float = 20) -> float:
    angle = math.radians(angle_degrees)
    turned = math.pi * (over - 0.5) + teeth * involute(angle)
    return module * math.cos(angle) * turned + 2 * shift * module * math.sin(angle)


def module_mm(pinion: PinionEntry) -> float:
    if pinion.diametral_pitch is not None:
        return INCH_MM / pinion.diametral_pitch
    return pinion.module_nm / MM


def tip_mm(pinion: PinionEntry) -> float:
    module = module_mm(pinion)
    pitch = pinion.diametral_pitch
    addendum = METRIC_ADDENDUM * module if pitch is None else INCH_MM / STUB_PITCH[pitch]
    return module * (pinion.teeth + 2 * pinion.profile_shift_thousandths / 1000) + 2 * addendum


def pinion_span_mm(pinion: PinionEntry, over: int) -> float:
    shift = pinion.profile_shift_thousandths / 1000
    return span_mm(module_mm(pinion), pinion.teeth, shift, over, pinion.pressure_angle_millidegrees / 1000)


def test_the_span_formula_gives_the_published_example() -> None:
    # Public worked example: module 2, 20 teeth, over 3, no shift: 15.321 mm.
    assert span_mm(2, 20, 0, 3) == pytest.approx(15.321, abs=0.0005)


# SAE J543 (table as a public summary gives it): outside diameters 1.167 in and 1.575 in. Its 6/8 row
# disagrees with its own formula and is left out.
@pytest.mark.parametrize(("pitch", "teeth", "inches"), [(10, 9, 1.167), (8, 10, 1.575)])
def test_the_tip_formula_gives_the_published_pinions(pitch: int, teeth: int, inches: float) -> None:
    pinion = PinionEntry(
        teeth=teeth,
        diametral_pitch=pitch,
        module_nm=None,
        pressure_angle_millidegrees=20_000,
        profile_shift_thousandths=500,
    )
    assert tip_mm(pinion) / INCH_MM == pytest.approx(inches, abs=0.0005)


def test_tip_diameters_agree_with_teeth_pitch_and_shift(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "drive_clutch"):
        lower, upper = seat.size_nm("tip_diameter")
        nominal = tip_mm(seat.family.pinion)
        assert upper / MM == pytest.approx(nominal, abs=ROUNDING_MM), seat
        assert 0 < (upper - lower) / MM <= WIDEST_TIP_MM, seat


@pytest.mark.parametrize("over", [2, 3])
def test_spans_agree_with_teeth_pitch_and_shift(seats: list[Seat], over: int) -> None:
    checked = 0
    for seat in of_kind(seats, "drive_clutch"):
        if not seat.applies(f"base_tangent_{over}"):
            continue
        checked += 1
        lower, upper = seat.size_nm(f"base_tangent_{over}")
        assert upper / MM == pytest.approx(pinion_span_mm(seat.family.pinion, over), abs=ROUNDING_MM), seat
        assert 0 < (upper - lower) / MM <= WIDEST_SPAN_MM, seat
    assert checked >= 20


def test_spans_over_two_and_three_teeth_differ_by_the_base_pitch(seats: list[Seat]) -> None:
    # Base pitch pi m cos(a): 7.49841 mm at 10 DP and 20 degrees.
    assert math.pi * 2.54 * math.cos(math.radians(20)) == pytest.approx(7.49841, abs=5e-6)
    for seat in of_kind(seats, "drive_clutch"):
        if seat.applies("base_tangent_3"):
            pitch = math.pi * module_mm(seat.family.pinion) * math.cos(math.radians(20))
            apart = (seat.size_nm("base_tangent_3")[1] - seat.size_nm("base_tangent_2")[1]) / MM
            assert apart == pytest.approx(pitch, abs=2 * ROUNDING_MM), seat


def test_a_span_is_recorded_where_the_jaws_still_touch_the_flanks(seats: list[Seat]) -> None:
    # The jaws touch the flanks on the circle of diameter sqrt(base diameter squared + span squared).
    recorded = set()
    for seat in of_kind(seats, "drive_clutch"):
        pinion = seat.family.pinion
        base = module_mm(pinion) * pinion.teeth * math.cos(math.radians(20))
        assert seat.applies("base_tangent_2"), seat
        touches = math.hypot(base, pinion_span_mm(pinion, 3)) < tip_mm(pinion) - 0.3
        assert seat.applies("base_tangent_3") == touches, seat
        recorded.add(touches)
    assert recorded == {True, False}


def test_the_tip_is_not_pointed(seats: list[Seat]) -> None:
    # Our judgement: a tip narrower than 0.15 of the module would chip at the first start.
    for seat in of_kind(seats, "drive_clutch"):
        pinion = seat.family.pinion
        module, shift = module_mm(pinion), pinion.profile_shift_thousandths / 1000
        angle = math.radians(20)
        tip = tip_mm(pinion)
        at_tip = math.acos(module * pinion.teeth * math.cos(angle) / tip)
        half = (math.pi / 2 + 2 * shift * math.tan(angle)) / pinion.teeth + involute(angle) - involute(at_tip)
        assert tip * half > 0.15 * module, seat
