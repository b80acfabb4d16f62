"""Which pinion it is: seed pinions from their own figures, worn flanks, fewer figures, and contradictions."""

import math

import pytest
from seed_seats import Seat, of_kind

from api.fit.gears.involute import Gear, module_of_pitch
from api.fit.gears.pinion_identity import PinionCandidate, PinionFiguresDisagree, identify_pinion
from api.fit.gears.pinion_likelihood import PinionReadings, across_factors
from api.fit.judging.features import Feature

TWENTY = math.radians(20)
CALIPER_NM = 12_000.0
STUB = Gear(
    teeth=9, module_mm=module_of_pitch(10), pressure_angle=TWENTY, profile_shift=0.5, addendum=10 / 12
)


def read(mm: float) -> Feature:
    """Return a caliper's reading of a length."""
    return Feature.read(round(mm * 1e6), CALIPER_NM)


def readings_of(gear: Gear, wear_mm: float = 0.0, spans: tuple[int, ...] = (2, 3)) -> PinionReadings:
    """Return what a caliper reads on a gear whose spans are worn by that much."""
    return PinionReadings(
        teeth=gear.teeth,
        tip=read(gear.tip_diameter_mm),
        spans={over: read(gear.base_tangent_mm(over) - wear_mm) for over in spans},
        tip_read="true_diameter",
    )


def first(told: PinionReadings) -> PinionCandidate:
    return identify_pinion(told)[0]


def seed_readings(seat: Seat) -> PinionReadings:
    """Return a seed drive's own limits as what is known of it."""
    spans = {
        over: Feature(*seat.size_nm(f"base_tangent_{over}"))
        for over in (2, 3)
        if seat.applies(f"base_tangent_{over}")
    }
    return PinionReadings(
        teeth=seat.family.pinion.teeth,
        tip=Feature(*seat.size_nm("tip_diameter")),
        spans=spans,
        tip_read="true_diameter",
    )


def test_every_seed_pinion_is_identified_from_its_own_figures(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "drive_clutch"):
        pinion, found = seat.family.pinion, first(seed_readings(seat))
        module_mm = (
            module_of_pitch(pinion.diametral_pitch)
            if pinion.diametral_pitch
            else (pinion.module_nm or 0) / 1e6
        )
        # Module 2.117 mm is 12 DP written in millimetres.
        assert found.pitch.module_mm == pytest.approx(module_mm, abs=0.001), seat
        assert found.pressure_angle * 1000 == pinion.pressure_angle_millidegrees, seat
        lower, upper = found.shift_range
        assert lower <= pinion.profile_shift_thousandths / 1000 <= upper, seat
        assert found.worst_gap < 1, seat


# Teeth and stub pitches of SAE J543 (table as a public summary gives it), and 12/14 by the same formula.
@pytest.mark.parametrize(
    ("teeth", "pitch", "second"), [(9, 10, 12), (10, 8, 10), (11, 6, 8), (10, 12, 14), (11, 10, 12)]
)
def test_long_addendum_stub_pinions(teeth: int, pitch: int, second: int) -> None:
    gear = Gear(
        teeth=teeth,
        module_mm=module_of_pitch(pitch),
        pressure_angle=TWENTY,
        profile_shift=0.5,
        addendum=pitch / second,
    )
    found = first(readings_of(gear))
    assert (found.pitch.diametral_pitch, found.pressure_angle) == (pitch, 20.0)
    assert found.name == f"{pitch} DP at 20 degrees"
    assert found.height == f"stub {pitch}/{second}"
    assert found.profile_shift == pytest.approx(0.5, abs=0.02)
    assert found.weight > 0.95


@pytest.mark.parametrize("wear_mm", [0.05, 0.15, 0.3])
def test_worn_flanks_still_give_the_pitch(wear_mm: float) -> None:
    found = first(readings_of(STUB, wear_mm))
    assert found.name == "10 DP at 20 degrees"
    assert found.base_pitch_gap == pytest.approx(0, abs=0.01)
    # Worn flanks hide shift, never add any.
    assert found.shift_as_read is not None
    hidden = wear_mm / (2 * 2.54 * math.sin(TWENTY))
    assert found.shift_as_read == pytest.approx(0.5 - hidden, abs=1e-6)
    assert found.shift_as_read <= found.profile_shift
    assert found.shift_range[0] <= 0.5 <= found.shift_range[1]


@pytest.mark.parametrize(("degrees", "module"), [(14.5, 3.175), (25.0, 3.175), (20.0, 4.5), (20.0, 1.5)])
def test_other_angles_and_modules(degrees: float, module: float) -> None:
    gear = Gear(
        teeth=11,
        module_mm=module,
        pressure_angle=math.radians(degrees),
        profile_shift=0.5,
        addendum=0.8,
    )
    found = first(readings_of(gear))
    assert (found.pitch.module_mm, found.pressure_angle) == (module, degrees)


def test_one_span_alone_leaves_several_candidates() -> None:
    found = identify_pinion(readings_of(STUB, spans=(2,)))
    assert found[0].name == "10 DP at 20 degrees"
    assert len(found) > 3
    assert found[0].base_pitch_gap is None
    assert sum(one.weight for one in found) == pytest.approx(1)
    assert [one.weight for one in found] == sorted((one.weight for one in found), reverse=True)


def test_the_tip_diameter_alone_does_not_tell_the_pitch() -> None:
    found = identify_pinion(PinionReadings(teeth=9, tip=read(29.63)))
    assert found[0].weight < 0.6
    assert found[0].shift_as_read is None
    assert {"10 DP", "module 2.5"} <= {one.pitch.name for one in found}


def test_spans_alone_tell_pitch_and_shift() -> None:
    spans = {over: read(STUB.base_tangent_mm(over)) for over in (2, 3)}
    found = first(PinionReadings(teeth=9, spans=spans))
    assert found.name == "10 DP at 20 degrees"
    assert found.profile_shift == pytest.approx(0.5, abs=0.03)


@pytest.mark.parametrize("tip_read", ["across_tips", None])
def test_an_odd_count_reads_low_across_its_tips(tip_read) -> None:
    land = STUB.thickness_at_mm(STUB.tip_diameter_mm) / STUB.tip_diameter_mm
    for factor in (float(limit) for limit in across_factors(9, land)):
        assert factor < 0.995
        told = PinionReadings(
            teeth=9,
            tip=read(STUB.tip_diameter_mm * factor),
            spans={over: read(STUB.base_tangent_mm(over)) for over in (2, 3)},
            tip_read=tip_read,
        )
        found = first(told)
        assert found.name == "10 DP at 20 degrees"
        assert any("across its odd count" in finding for finding in found.findings)


def test_an_even_count_reads_its_tip_diameter() -> None:
    least, most = across_factors(10, 0.04)
    assert least == 1.0 == float(most)


def test_a_pointed_odd_pinion_reads_the_cosine_of_a_quarter_turn_over_its_teeth() -> None:
    # Tip diameter = greatest reading / cos(90 degrees / teeth): plane geometry.
    assert across_factors(9, 0.0)[0] == pytest.approx(math.cos(math.radians(10)))


def disagreement(told: PinionReadings) -> PinionFiguresDisagree:
    with pytest.raises(PinionFiguresDisagree) as refused:
        identify_pinion(told)
    return refused.value


def test_a_miscount_is_named() -> None:
    error = disagreement(
        PinionReadings(
            teeth=10,
            tip=read(STUB.tip_diameter_mm),
            spans={over: read(STUB.base_tangent_mm(over)) for over in (2, 3)},
        )
    )
    suspect = error.suspects[0]
    assert (suspect.name, suspect.value) == ("teeth", "10")
    assert "9 teeth" in suspect.instead and "10 DP" in suspect.instead
    assert "29.633" in error.explain()
    assert error.as_faults()[0].path == ("teeth",)


def test_a_tip_diameter_of_another_pinion_is_named() -> None:
    error = disagreement(
        PinionReadings(
            teeth=9, tip=read(40), spans={over: read(STUB.base_tangent_mm(over)) for over in (2, 3)}
        )
    )
    assert [one.name for one in error.suspects] == ["tip_diameter"]
    assert error.gap > 4
    assert all(not fault.expected.endswith(".") for fault in error.as_faults())
    assert not error.explain().endswith("..")


def test_spans_that_do_not_grow_by_a_base_pitch_are_refused() -> None:
    error = disagreement(PinionReadings(teeth=9, spans={2: read(12.44), 3: read(12.40)}))
    assert {"base_tangent_2", "base_tangent_3"} <= {fault.path[0] for fault in error.as_faults()}


def test_where_no_single_reading_is_at_fault_all_are_named() -> None:
    error = disagreement(PinionReadings(teeth=9, tip=read(500), spans={2: read(300)}))
    assert error.suspects == ()
    assert [fault.path[0] for fault in error.as_faults()] == ["teeth", "tip_diameter", "base_tangent_2"]


def test_no_tip_lies_beyond_the_point_of_its_teeth() -> None:
    for one in identify_pinion(PinionReadings(teeth=7, tip=read(26.0))):
        assert one.gear.tip_diameter_mm < one.gear.pointed_diameter_mm()


def test_jaws_that_would_run_off_the_tips_are_told() -> None:
    gear = Gear(teeth=8, module_mm=2.0, pressure_angle=TWENTY, profile_shift=0.5, addendum=0.8)
    assert gear.span_touches_mm(3) > gear.tip_diameter_mm
    assert first(readings_of(gear)).spans_off_flank == (3,)
