"""Two contacts and their disc: studs, heights, travel, overlap, wear, heat; worked by hand."""

import math

import pytest

from api.fit.contacts.contact_heating import CopperBody, heat_bodies, judge_drop, judge_rise, published_drops
from api.fit.contacts.contact_pair import (
    ContactDisc,
    FixedContact,
    covered_square_mm,
    edge_from_rod,
    judge_heights,
    judge_pair,
    judge_span,
    judge_travel,
)
from api.fit.contacts.contact_wear import judge_step, judge_thickness
from api.fit.contacts.stud_fit import UNKNOWN_STUD, Stud, judge_nut, judge_stud
from api.fit.contacts.threads import read_thread
from api.fit.judging.features import Feature
from api.fit.judging.reasons import Reason, grade_of

MM = 1_000_000
M8 = Stud(Feature(7_760_000, 7_970_000), read_thread("M8x1.25"))


def mm(lower: float, upper: float | None = None, u: float = 0.0) -> Feature:
    return Feature(round(lower * MM), round((lower if upper is None else upper) * MM), u * MM)


def figure(reason: Reason, name: str) -> float:
    return next(one.value for one in reason.figures if one.name == name)


@pytest.mark.parametrize(
    ("hole", "verdict"),
    [
        (mm(8.4, 8.6), "fits"),
        (mm(9.9, 10.0), "fits"),
        (mm(10.0, 10.4), "unknown"),
        (mm(11.5), "unknown"),
        (mm(11.7), "does_not_fit"),
        (mm(7.9, 8.1), "unknown"),
        (mm(7.7), "does_not_fit"),
    ],
)
def test_a_hole_goes_over_its_stud_and_is_no_wider_than_the_coarse_one(hole: Feature, verdict: str) -> None:
    reason = judge_stud(M8, hole)
    assert (reason.dimension, reason.verdict) == ("stud_hole", verdict)
    assert figure(reason, "coarse_hole_mm") == 10.0
    assert figure(reason, "least_clearance_mm") == pytest.approx(hole.lower_nm / MM - 7.97)


@pytest.mark.parametrize(
    ("hole", "verdict"),
    [(mm(8.4, 8.6), "fits"), (mm(9.4), "unknown"), (mm(11.2), "does_not_fit"), (mm(7), "does_not_fit")],
)
def test_without_a_thread_the_clearance_alone_decides(hole: Feature, verdict: str) -> None:
    assert judge_stud(Stud(M8.diameter), hole).verdict == verdict


def test_a_reading_widens_the_clearance_by_twice_its_uncertainty() -> None:
    reason = judge_stud(M8, mm(8.0, u=0.02))
    assert figure(reason, "least_clearance_mm") == pytest.approx(8.0 - 0.04 - 7.97)
    assert reason.verdict == "unknown"


def test_what_is_not_known_of_studs_is_unknown() -> None:
    assert judge_stud(UNKNOWN_STUD, mm(8.5)).verdict == "unknown"
    assert judge_stud(M8).verdict == "unknown"
    assert judge_stud(M8, own=UNKNOWN_STUD).verdict == "unknown"
    assert judge_nut(UNKNOWN_STUD, read_thread("M8")).verdict == "unknown"


def test_a_stud_of_its_own_needs_the_thread_and_not_only_the_diameter() -> None:
    own = Stud(thread=read_thread("5/16-18"))
    assert judge_stud(M8, own=own).verdict == "does_not_fit"
    assert judge_stud(M8, own=Stud(thread=read_thread("M8"))).verdict == "fits"
    alike = judge_stud(M8, own=Stud(mm(7.80, 7.90)))
    assert alike.verdict == "unknown"
    assert "5/16-18" in alike.text
    assert judge_stud(M8, own=Stud(mm(9.73, 9.97))).verdict == "does_not_fit"
    assert judge_stud(Stud(mm(9)), own=Stud(mm(9))).text.count("no thread of the table") == 1


def test_a_nut_of_another_thread_is_refused() -> None:
    assert judge_nut(M8, read_thread("M8")).verdict == "fits"
    assert judge_nut(M8, read_thread("M8x1")).verdict == "does_not_fit"


def test_faces_within_the_over_travel_are_met_both() -> None:
    # 9.0 and 8.6 mm, each +/- 0.1: they differ by 0.2 to 0.6 mm; over-travel 1.2 mm leaves 0.6 mm for wear.
    reason = judge_heights(mm(8.9, 9.1), mm(8.5, 8.7), mm(1.2, 1.8), mm(38))
    assert reason.verdict == "fits"
    assert figure(reason, "least_height_difference_mm") == pytest.approx(0.2)
    assert figure(reason, "most_height_difference_mm") == pytest.approx(0.6)
    assert figure(reason, "least_over_travel_left_mm") == pytest.approx(0.6)
    assert figure(reason, "most_tilt_degrees") == pytest.approx(math.degrees(math.atan(0.6 / 38)))


@pytest.mark.parametrize(
    ("other", "verdict"),
    [(mm(7.9, 8.1), "unknown"), (mm(6.9, 7.1), "does_not_fit"), (mm(10.9, 11.1), "does_not_fit")],
)
def test_faces_beyond_the_over_travel_are_not(other: Feature, verdict: str) -> None:
    assert judge_heights(mm(8.9, 9.1), other, mm(1.2, 1.8)).verdict == verdict


def test_a_disc_opens_only_if_it_travels_farther_than_it_presses() -> None:
    opens = judge_travel(mm(1.2, 1.8), mm(2.4, 3.2))
    assert (opens.verdict, figure(opens, "least_open_gap_mm")) == ("fits", pytest.approx(0.6))
    assert judge_travel(mm(1.2, 1.8), mm(1.7, 3.2)).verdict == "unknown"
    assert judge_travel(mm(1.8, 2.0), mm(1.5, 1.7)).verdict == "does_not_fit"
    assert judge_travel(None, mm(1)).verdict == "unknown"


def test_a_disc_reaches_over_the_edge_of_a_face() -> None:
    # Studs 38 mm apart, the face begins 8.5 mm from its stud: 10.5 mm from the rod. Disc 26 mm: 2.5 mm over.
    edge = edge_from_rod(mm(38), mm(8.5))
    assert edge == mm(10.5)
    reason = judge_span(mm(26), edge, mm(14))
    assert (reason.verdict, figure(reason, "least_overlap_mm")) == ("fits", pytest.approx(2.5))
    assert judge_span(mm(22.5), edge).verdict == "unknown"
    assert judge_span(mm(21), edge).verdict == "does_not_fit"
    assert judge_span(None, edge).verdict == "unknown"


def test_a_face_that_would_reach_the_rod_has_no_edge() -> None:
    assert edge_from_rod(mm(38), mm(19)) is None
    assert edge_from_rod(None, mm(8)) is None


def test_the_covered_face_is_a_segment_of_the_disc() -> None:
    # Wide face: segment of a circle, r2 (a - sin a cos a) with cos a = e / r.
    angle = math.acos(10.5 / 13)
    segment = 13**2 * (angle - math.sin(angle) * math.cos(angle))
    assert covered_square_mm(13e6, 10.5e6, 100e6) == pytest.approx(segment)
    # Narrow face: nearly a rectangle of width times overlap.
    assert covered_square_mm(13e6, 10.5e6, 0.1e6) == pytest.approx(0.1 * 2.5, rel=1e-3)
    assert covered_square_mm(13e6, 13e6, 14e6) == 0.0


def test_wear_is_judged_against_the_stated_limit_else_the_published_one() -> None:
    # New 2.5 +/- 0.05 mm, measured 2.05 mm: 0.40 to 0.50 mm worn of 0.9 mm.
    reason = judge_thickness(mm(2.05), mm(2.45, 2.55))
    assert (reason.verdict, figure(reason, "most_wear_mm")) == ("fits", pytest.approx(0.5))
    assert judge_thickness(mm(1.6), mm(2.45, 2.55)).verdict == "unknown"
    assert judge_thickness(mm(1.5), mm(2.45, 2.55)).verdict == "does_not_fit"
    assert judge_thickness(mm(2.05), mm(2.45, 2.55), wear_limit_nm=MM // 4).verdict == "does_not_fit"
    assert judge_thickness(mm(2.05), least_thickness_nm=2 * MM).verdict == "fits"
    assert judge_thickness(mm(1.95), least_thickness_nm=2 * MM).verdict == "does_not_fit"
    assert judge_thickness(mm(2.05)).verdict == "unknown"
    assert judge_thickness(None, mm(2.5)).verdict == "unknown"


def test_a_step_is_no_deeper_than_the_most_wear() -> None:
    assert judge_step(mm(0.9)).verdict == "fits"
    assert judge_step(mm(0.95)).verdict == "does_not_fit"
    assert judge_step(mm(0.9, u=0.02)).verdict == "unknown"
    assert judge_step(mm(0.5), MM // 4).verdict == "does_not_fit"
    assert judge_step(None).verdict == "unknown"


def test_copper_bodies_in_a_row_lose_what_ohm_says() -> None:
    # Two plates 1 x 8 x 20 mm: 2 x 43.1 micro-ohm, at 300 A 25.9 mV and 7.76 W.
    plates = (
        CopperBody("battery_side", mm(20), mm(8), mm(1)),
        CopperBody("motor_side", mm(20), mm(8), mm(1)),
    )
    heating = heat_bodies(plates, 300)
    assert heating.bodies[0].resistance_microohms == pytest.approx(43.1, abs=0.05)
    assert heating.volts == pytest.approx(300 * 2 * 43.103e-6, rel=1e-4)
    assert heating.watts == pytest.approx(300 * heating.volts)
    assert heating.bodies[0].amperes_per_square_mm == pytest.approx(300 / 8)
    assert heating.bodies[0].rise_kelvin is None
    assert judge_drop(heating, 0.02).verdict == "does_not_fit"
    assert judge_drop(heating, 0.2).verdict == "fits"


def test_the_rise_is_an_upper_bound_and_never_refuses() -> None:
    plate = (CopperBody("disc", mm(20), mm(8), mm(1)),)
    warmed = heat_bodies(plate, 300, 5)
    rise = warmed.bodies[0].rise_kelvin
    # First order: J2 rho t / (density x heat) = 37.5e6^2 / 58e6 x 5 / (8890 x 385) = 35.4 K; growing with it.
    assert rise is not None and 35.4 < rise < 38.5
    assert judge_rise(warmed, 50).verdict == "fits"
    assert judge_rise(warmed, 30).verdict == "unknown"
    melting = heat_bodies(plate, 3_000, 10)
    assert melting.bodies[0].rise_kelvin is None
    assert judge_rise(melting, 1_000).verdict == "unknown"
    assert heat_bodies(plate, 5_000, 120).bodies[0].rise_kelvin is None


def test_published_drops_differ_by_source() -> None:
    assert [volts for _, volts in published_drops(300)] == pytest.approx([0.2, 0.6])


def contact(**changes: object) -> FixedContact:
    told = {
        "face_height": mm(8.9, 9.1),
        "seat_offset": mm(8.3, 8.7),
        "width": mm(14),
        "stud_hole": mm(8.4, 8.6),
        "seat_stud": M8,
    }
    return FixedContact(**{**told, **changes})  # type: ignore[arg-type]  # named above


DISC = ContactDisc(diameter=mm(25.85, 26.15), over_travel=mm(1.2, 1.8))


def test_a_pair_fits_only_where_every_check_does() -> None:
    reasons = judge_pair(contact(), contact(), DISC, stud_spacing=mm(38), disc_travel=mm(2.4, 3.2))
    assert [reason.dimension for reason in reasons] == [
        "battery_side.stud_hole",
        "battery_side.disc_diameter",
        "motor_side.stud_hole",
        "motor_side.disc_diameter",
        "face_height",
        "over_travel",
    ]
    assert grade_of(reasons) == "fits"


@pytest.mark.parametrize("missing", ["face_height", "seat_offset", "stud_hole"])
def test_a_pair_with_a_missing_dimension_is_unknown(missing: str) -> None:
    reasons = judge_pair(
        contact(), contact(**{missing: None}), DISC, stud_spacing=mm(38), disc_travel=mm(2.4, 3.2)
    )
    assert grade_of(reasons) == "unknown"


def test_one_wrong_dimension_refuses_a_pair() -> None:
    reasons = judge_pair(
        contact(), contact(face_height=mm(5)), DISC, stud_spacing=mm(38), disc_travel=mm(2.4, 3.2)
    )
    assert grade_of(reasons) == "does_not_fit"
