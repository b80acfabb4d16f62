"""Conformance probabilities and limits of wear against published values; the source beside each."""

import pytest
from inspection_bench import BOOK, judge, known, place, read

from api.inspection.conformance import PROVEN, Known, conformance, verdict_of
from api.inspection.limit_data import LimitRow


# JCGM 106:2012, clause 7, two worked examples; statements from memory, arithmetic by scipy 1.17.1.
def test_zener_diode_of_jcgm_106() -> None:
    """-5.47 V, u 0.05 V, at most -5.40 V: printed 0.92."""
    assert conformance(Known(-5.47, (), 0.05), None, -5.40).inside == pytest.approx(0.9192, abs=5e-5)


def test_container_of_jcgm_106() -> None:
    """509.7 kPa, u 8.6 kPa, at least 490 kPa: printed 0.99."""
    assert conformance(Known(509.7, (), 8.6), 490.0, None).inside == pytest.approx(0.9890, abs=5e-5)


# ISO 14253-1 (at second hand): accepted inside by more than U, rejected outside by more, between neither.
# The default of 95 % one-sided, a guard band of 1.65 u, is from memory; the distribution function at
# 1.645 is 0.950015.
@pytest.mark.parametrize(
    ("offset", "verdict"),
    [(-1.66, "good"), (-1.62, "cannot_tell"), (0.0, "cannot_tell"), (1.62, "cannot_tell"), (1.66, "renew")],
)
def test_the_decision_rule_of_iso_14253_1(offset: float, verdict: str) -> None:
    chances = conformance(Known(10.0 + offset, (), 1.0), None, 10.0)
    assert verdict_of(chances, near=False, resolves=False) == verdict


def test_the_guard_band_is_1_645_standard_uncertainties() -> None:
    assert conformance(Known(0.0, (), 1.0), None, 1.645).inside == pytest.approx(0.950015, abs=1e-6)
    assert PROVEN == 0.95


def rows(where: str, feature: str) -> list[LimitRow]:
    return list(BOOK.of(where, feature))


# Commutator service data of starters, three makes (and a fourth with the second's diameter), at second hand.
@pytest.mark.parametrize(("new", "limits"), [(30.0, {29.0}), (29.4, {28.8, 28.4}), (32.0, {31.4})])
def test_commutator_diameters_by_make(new: float, limits: set[float]) -> None:
    judged = judge(place("commutator", read("diameter", new, u=0.004), new={"diameter": new}))
    told = sorted(one.limit.least or 0.0 for one in judged.limits if one.limit.applies)
    assert told == pytest.approx([limit * 1e6 for limit in sorted(limits)])
    used = next(one.limit for one in judged.limits if one.used)
    assert used.least == pytest.approx(max(limits) * 1e6)
    worn_out = judge(
        place("commutator", read("diameter", max(limits) - 0.05, u=0.004), new={"diameter": new})
    )
    assert worn_out.verdict == "renew"


# Run-out limits of three makes differ eightfold (service data at second hand); SAE J2073 (noncurrent, at
# second hand): 0.003 in = 0.0762 mm.
def test_published_run_out_limits_differ_eightfold() -> None:
    limits = sorted(row.most or 0.0 for row in rows("commutator", "run_out"))
    assert limits == [50_000, 76_000, 100_000, 400_000]
    assert limits[-1] / limits[0] == 8
    assert limits[1] == pytest.approx(0.003 * 25.4e6, rel=0.005)


# Undercut limit 0.2 mm: service data of three makes; US Army TM 9-4940-568-34. One more page has 0.15 mm.
def test_the_undercut_limit_is_a_fifth_of_a_millimetre() -> None:
    assert sorted(row.least or 0.0 for row in rows("commutator", "undercut")) == [150_000, 200_000]
    assert judge(place("commutator", read("undercut", 0.15, u=0.01))).verdict == "renew"
    assert judge(place("commutator", read("undercut", 0.40, u=0.01))).verdict == "good"


# Brushes. Service data: 15.0 to 15.5 mm new, limit 10.0; 17 mm new, limit 11.5. US Army TM 10-3930-664-24:
# less than two thirds of the original length. US Navy NAVEDTRA 14120: 40 % of the original length.
@pytest.mark.parametrize(
    ("new", "limits_mm"),
    [
        (15.0, [6.0, 10.0, 10.0]),
        (15.5, [6.2, 10.0, 31 / 3]),
        (17.0, [6.8, 34 / 3, 11.5]),
        (20.0, [8.0, 40 / 3]),
    ],
)
def test_brush_lengths_by_source(new: float, limits_mm: list[float]) -> None:
    judged = judge(place("brush_set", read("length", new), new={"length": new}))
    told = [one.limit.least for one in judged.limits if one.limit.least is not None]
    assert sorted(told) == pytest.approx([limit * 1e6 for limit in limits_mm])
    used = next(one.limit for one in judged.limits if one.used)
    assert used.least == pytest.approx(limits_mm[-1] * 1e6)


# SAE J2241 (noncurrent, at second hand): slip torque at least 113 N m (1000 lbf in), overrun at most 0.19 N m
# (1.7 lbf in); a vehicle's service page: 68 N m (50 lbf ft). 1 lbf in = 0.112984829027617 N m, 1 lbf ft =
# 1.3558179483314 N m (scipy.constants).
def test_drive_torques() -> None:
    slip = [row.least or 0.0 for row in rows("drive_clutch", "slip_torque_newton_metres")]
    assert slip == [113.0, 68.0]
    assert slip[0] == pytest.approx(1000 * 0.112984829027617, rel=0.001)
    assert slip[1] == pytest.approx(50 * 1.3558179483314, rel=0.004)
    (overrun,) = rows("drive_clutch", "overrun_torque_newton_metres")
    assert overrun.most == pytest.approx(1.7 * 0.112984829027617, rel=0.02)
    assert judge(place("drive_clutch", read("slip_torque_newton_metres", 100.0, u=1.0))).verdict == "renew"
    assert judge(place("drive_clutch", read("slip_torque_newton_metres", 130.0, u=1.0))).verdict == "good"
    assert judge(place("drive_clutch", read("overrun_torque_newton_metres", 0.3, u=0.01))).verdict == "renew"


# Contact plate: worn by 0.9 mm at most (service data of one 12 V, 1.4 kW starter, at second hand).
@pytest.mark.parametrize(("left", "verdict"), [(2.0, "good"), (1.75, "near_limit"), (1.5, "renew")])
def test_contact_wear(left: float, verdict: str) -> None:
    at = place("battery_side_contact", read("thickness", left, u=0.012), new={"thickness": 2.5})
    assert judge(at).verdict == verdict


# US Army TM 10-3930-664-24: bore less shaft, service limit 0.2 mm.
@pytest.mark.parametrize(("bore", "verdict"), [(12.55, "good"), (12.64, "near_limit"), (12.72, "renew")])
def test_clearance_of_shaft_and_bore(bore: float, verdict: str) -> None:
    at = place(
        "drive_end_bushing",
        read("bore", bore, u=0.012),
        read("journal_diameter", 12.45, u=0.004),
        new={"bore": 12.515},
    )
    assert judge(at).verdict == verdict


def test_every_figure_has_its_origin() -> None:
    told = [*BOOK.limits, *BOOK.errors.values(), *BOOK.acceptance]
    assert all(len(row.source) > 10 for row in told)
    judged = {
        row.basis for row in told if "our judgement of" in row.source or row.source.startswith("our judg")
    }
    assert judged == {"judgement"}
    assert {row.basis for row in told if "from memory" in row.source} == {"memory"}


def test_a_known_value_is_the_one_of_its_feature() -> None:
    assert known("length", 1.0).middle == 1e6
    assert known("spring_force_newtons", 1.0).middle == 1.0
