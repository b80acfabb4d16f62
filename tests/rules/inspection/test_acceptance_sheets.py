"""The checks after reassembly of the seed families: order, values that apply, cautions."""

import attrs
import pytest
from inspection_bench import BOOK

from api.inspection.acceptance import SheetStep, acceptance_sheet
from api.inspection.acceptance_values import answered_by_manual, seat_values
from api.starters.entries import FamilyEntry, SeatFeatureEntry


def steps(family: FamilyEntry) -> dict[str, SheetStep]:
    return {one.code: one for one in acceptance_sheet(family, BOOK)}


def test_every_sheet_begins_by_hand_and_ends_in_the_vehicle(families: dict[str, FamilyEntry]) -> None:
    for family in families.values():
        codes = list(steps(family))
        assert (codes[0], codes[-1]) == ("turn_by_hand", "crank_in_the_vehicle")
        assert codes.index("insulation") < codes.index("no_load")


def test_it_is_fitted_with_the_battery_off_and_cranked_only_with_the_vehicle_made_safe(
    families: dict[str, FamilyEntry],
) -> None:
    for family in families.values():
        found = steps(family)
        assert list(found)[-2:] == ["fit_to_the_engine", "crank_in_the_vehicle"]
        assert found["fit_to_the_engine"].caution.battery == "disconnected"
        crank = found["crank_in_the_vehicle"].caution.text
        for word in ("Neutral or park", "brake on", "wheels chocked", "fuel or ignition disabled", "nobody"):
            assert word in crank, (family.code, word)


def test_a_solenoid_on_the_bench_can_hold_with_its_motor_terminal_free(
    families: dict[str, FamilyEntry],
) -> None:
    """Common practice, no source: the pull-in winding ends at the motor terminal, the hold-in winding at the
    body."""
    step = steps(families["D12-01"])["pull_in"]
    assert "minus to the motor terminal and to the body" in step.do
    assert "holds with minus on the body alone" in step.expect
    assert "A few seconds at a time" in step.caution.text


def test_what_moves_by_current_is_done_with_the_battery_connected(families: dict[str, FamilyEntry]) -> None:
    connected = {"pull_in", "pinion_clearance", "no_load", "crank_in_the_vehicle"}
    for family in families.values():
        for code, step in steps(family).items():
            assert (step.caution.battery == "connected") == (code in connected), code
            assert step.caution.text


@pytest.mark.parametrize(
    ("code", "solenoid", "clutch"),
    [("D12-01", True, True), ("M12-01", False, True), ("I12-01", False, False)],
)
def test_checks_follow_the_construction(
    families: dict[str, FamilyEntry], code: str, solenoid: bool, clutch: bool
) -> None:
    found = steps(families[code])
    assert ("pull_in" in found) is solenoid
    assert ("pinion_clearance" in found) is solenoid
    assert ("drive_slip" in found) is clutch


def test_the_published_pull_in_voltage_is_for_12_volts_only(families: dict[str, FamilyEntry]) -> None:
    """8 V or less: service data of one 12 V, 1.4 kW gear-reduction starter, at second hand."""
    (value,) = steps(families["D12-01"])["pull_in"].values
    assert (value.text, value.applies) == ("at most 8", True)
    found = steps(families["D24-01"])["pull_in"]
    assert found.values == ()
    assert answered_by_manual(found.values)


def test_no_load_values_apply_only_to_units_like_the_published_one(families: dict[str, FamilyEntry]) -> None:
    """90 A at 11.5 V is of a 12 V, 1.4 kW gear-reduction starter (second hand); the 24 V row of US Army TM
    5-3810-303-24, table 10D-1 (20 V, 70 to 110 A, 5500 to 9000 rpm) is of one crane's starter."""
    for family in families.values():
        values = steps(family)["no_load"].values
        geared = family.construction in ("offset_gear_reduction", "planetary_gear_reduction")
        like_it = family.voltage == 12 and geared and 1300 <= family.rated_power_w <= 1500
        assert any(one.applies for one in values) is like_it, family.code
        if family.voltage == 24:
            assert [one.text for one in values] == ["70 to 110 at 20 V", "5500 to 9000 at 20 V"]


def test_rest_clearance_and_travel_are_the_familys_own(families: dict[str, FamilyEntry]) -> None:
    found = steps(families["D12-01"])["rest_clearance"]
    assert [one.quantity for one in found.values] == ["rest_clearance", "travel"]
    assert {one.basis for one in found.values} == {"family"}


def test_a_geared_starter_tells_how_fast_its_armature_turns(families: dict[str, FamilyEntry]) -> None:
    assert "4.4 times as fast" in steps(families["P12-01"])["no_load"].expect
    assert "times as fast" not in steps(families["D12-01"])["no_load"].expect


def test_a_seat_that_gives_a_count_or_a_word_is_told_as_it_is(families: dict[str, FamilyEntry]) -> None:
    drive = families["D12-01"].position("drive_clutch")
    assert drive is not None
    told = [
        SeatFeatureEntry(feature="rest_clearance", text="as on the engine"),
        SeatFeatureEntry(feature="travel", count=15),
    ]
    changed = attrs.evolve(drive, seat=tuple(told))
    positions = tuple(changed if one.code == drive.code else one for one in families["D12-01"].positions)
    family = attrs.evolve(families["D12-01"], positions=positions)
    assert [one.text for one in seat_values(family)] == ["as on the engine", "15"]
    without = attrs.evolve(family, positions=())
    assert seat_values(without) == ()
