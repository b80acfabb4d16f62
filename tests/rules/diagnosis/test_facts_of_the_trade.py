"""What everybody in the trade concludes from a few observations; common practice, no source, each of them.

Given a rested good battery, trigger voltage at the solenoid and cable drops within limits, unless said
otherwise.
"""

import pytest
from diagnosis_of_seed import DIRECT, GOOD_SUPPLY, chance, ranked

from api.diagnosis.subject import Subject
from api.starters.vocabulary import CONSTRUCTIONS

NOT_KNOWN = Subject(voltage=12)
LORRY = Subject(voltage=24, construction="direct_drive", field="wound", rated_power_w=3500)
"""Volts are doubled for it, drops are within the same limits."""
OFFSET = Subject(voltage=12, construction="offset_gear_reduction", field="wound")
PLANETARY = Subject(voltage=12, construction="planetary_gear_reduction", field="wound")
SUBJECTS = pytest.mark.parametrize(
    "subject",
    [DIRECT, OFFSET, PLANETARY, NOT_KNOWN],
    ids=["direct_drive", "offset_gear_reduction", "planetary_gear_reduction", "not_known"],
)


@SUBJECTS
def test_now_and_then_only_a_click_and_later_never_means_worn_contacts(subject: Subject) -> None:
    told = {**GOOD_SUPPLY, "on_start_command": "single_click", "onset": "now_and_then_then_never"}
    assert ranked(told, subject)[0] == "contacts_worn"


@SUBJECTS
def test_works_only_after_a_light_tap_means_contacts_a_sticking_plunger_or_short_brushes(
    subject: Subject,
) -> None:
    told = {**GOOD_SUPPLY, "light_tap_helps": "yes"}
    assert set(ranked(told, subject)[:3]) == {"contacts_worn", "plunger_binds", "brushes_worn"}


@SUBJECTS
def test_a_whine_without_cranking_that_is_worse_in_the_cold_means_a_slipping_clutch(subject: Subject) -> None:
    told = {**GOOD_SUPPLY, "on_start_command": "spins_without_cranking", "worse_when": "cold"}
    assert ranked(told, subject)[0] == "drive_clutch_slips"


SLOW_WITH_MUCH_CURRENT = {
    **GOOD_SUPPLY,
    "on_start_command": "cranks_slowly",
    "cranking_amperes": 450.0,
    "engine_turns_freely": "yes",
}


@SUBJECTS
def test_slow_with_much_current_and_a_free_engine_means_shorted_fields_or_worn_bushings(
    subject: Subject,
) -> None:
    assert set(ranked(SLOW_WITH_MUCH_CURRENT, subject)[:2]) == {"field_shorted", "bushings_worn"}


def test_shorted_fields_are_likelier_after_long_cranking() -> None:
    told = {**SLOW_WITH_MUCH_CURRENT, "after_long_cranking": "yes"}
    assert chance(told, "field_shorted") > chance(SLOW_WITH_MUCH_CURRENT, "field_shorted")
    assert set(ranked(told)[:2]) == {"field_shorted", "bushings_worn"}


@SUBJECTS
def test_worn_bushings_are_likelier_with_bright_rubbed_patches(subject: Subject) -> None:
    told = {**SLOW_WITH_MUCH_CURRENT, "armature_rubbed_patches": "yes"}
    assert chance(told, "bushings_worn", subject) > chance(SLOW_WITH_MUCH_CURRENT, "bushings_worn", subject)
    assert ranked(told, subject)[:2] == ["bushings_worn", "field_shorted"]


@SUBJECTS
@pytest.mark.parametrize("heard", [None, "single_click", "no_sound"])
def test_works_again_after_being_turned_a_little_means_an_open_armature_coil(
    subject: Subject, heard: str | None
) -> None:
    """The pull-in winding returns through the armature: without it there may be no click either."""
    told: dict[str, str | float] = {**GOOD_SUPPLY, "works_after_turning_by_hand": "yes"}
    if heard is not None:
        told["on_start_command"] = heard
    assert ranked(told, subject)[0] == "armature_coil_open"


@SUBJECTS
def test_no_sound_at_all_means_a_bound_plunger_or_brushes_off_the_commutator(subject: Subject) -> None:
    told = {**GOOD_SUPPLY, "on_start_command": "no_sound"}
    assert set(ranked(told, subject)[:2]) == {"plunger_binds", "brushes_worn"}


def test_a_bound_plunger_is_likelier_after_deep_water_and_some_days_standing() -> None:
    dry = {**GOOD_SUPPLY, "on_start_command": "no_sound"}
    wet = {**dry, "been_in_deep_water": "yes", "stood_for_days": "yes"}
    assert chance(wet, "plunger_binds") > chance(dry, "plunger_binds")
    assert ranked(wet)[:2] == ["plunger_binds", "brushes_worn"]


@SUBJECTS
@pytest.mark.parametrize("heard", ["single_click", "no_sound"])
def test_aluminium_over_steel_after_salt_water_means_a_joint_that_breaks_the_ground(
    subject: Subject, heard: str
) -> None:
    told = {
        **GOOD_SUPPLY,
        "on_start_command": heard,
        "nose_and_body": "aluminium_over_steel",
        "been_in_salt_water": "yes",
    }
    assert ranked(told, subject)[0] == "ground_joint_corroded"


@pytest.mark.parametrize("voltage", [12, 24])
@pytest.mark.parametrize("construction", [None, *CONSTRUCTIONS])
@pytest.mark.parametrize("heard", ["single_click", "no_sound"])
def test_without_those_givens_battery_terminals_and_control_circuit_come_first(
    voltage: int, construction: str | None, heard: str
) -> None:
    expected = {"battery_weak", "terminals_corroded", "control_circuit_open"}
    subject = Subject(voltage=voltage, construction=construction)
    assert set(ranked({"on_start_command": heard}, subject)[:3]) == expected
    at_last_never: dict[str, str | float] = {"on_start_command": heard, "onset": "now_and_then_then_never"}
    assert set(ranked(at_last_never, subject)[:3]) == expected


@pytest.mark.parametrize("voltage", [12, 24])
def test_a_movable_pole_shoe_is_never_offered_a_fault_of_plunger_or_contacts(voltage: int) -> None:
    offered = ranked({}, Subject(voltage=voltage, construction="movable_pole_shoe"))
    assert {"plunger_binds", "contacts_worn", "contacts_welded", "solenoid_winding_open"} & set(
        offered
    ) == set()
    assert {"movable_pole_sticks", "remote_switch_worn", "drive_clutch_slips"} <= set(offered)


def test_an_inertia_drive_has_no_overrunning_clutch() -> None:
    offered = ranked(
        {"on_start_command": "spins_without_cranking"}, Subject(voltage=12, construction="inertia_drive")
    )
    assert offered[0] == "inertia_drive_sticks"
    assert {"drive_clutch_slips", "pinion_worn", "planet_gears_broken"} & set(offered) == set()


def test_a_field_of_magnets_has_no_windings_to_short() -> None:
    magnets = Subject(voltage=12, construction="planetary_gear_reduction", field="permanent_magnet")
    offered = ranked(SLOW_WITH_MUCH_CURRENT, magnets)
    assert {"field_shorted", "field_open"} & set(offered) == set()
    assert "magnets_cracked" in offered
    assert "magnets_cracked" not in ranked({})


def test_a_lorry_is_judged_by_twice_the_volts() -> None:
    told = {
        "battery_open_circuit_volts": 25.3,
        "trigger_volts": 23.6,
        "feed_drop_volts": 0.4,
        "ground_drop_volts": 0.2,
        "on_start_command": "single_click",
        "onset": "now_and_then_then_never",
    }
    assert ranked(told, LORRY)[0] == "contacts_worn"


def test_a_known_family_is_offered_no_fault_of_positions_that_it_has_not() -> None:
    without_bushes = Subject(
        voltage=12,
        construction="direct_drive",
        field="wound",
        positions=("battery_side_contact", "motor_side_contact", "brush_set"),
    )
    offered = set(ranked({}, without_bushes))
    assert {"contacts_worn", "brushes_worn", "battery_weak", "field_shorted"} <= offered
    assert not {"bushings_worn", "bearing_dry", "drive_clutch_slips", "plunger_binds"} & offered
