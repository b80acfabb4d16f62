"""The caution at each place is that of the work done there."""

import pytest

from api.inspection.cautions import AT, cautions_of
from api.inspection.root_causes import ROOT_CAUSES
from api.inspection.vocabulary import PLACES


def test_every_place_has_its_caution_and_nothing_is_measured_with_the_battery_connected() -> None:
    assert set(AT) == set(PLACES)
    assert {one.battery for one in AT.values()} == {"disconnected"}


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("planet_gears", "Retaining rings fly"),
        ("drive_end_bearing", "never by compressed air"),
        ("drive_end_bushing", "never ream one"),
        ("drive_clutch", "No solvent wash"),
        ("field", "do not strike a permanent-magnet frame"),
        ("brush_set", "no blowing out"),
        ("ring_gear", "wheels chocked"),
        ("plunger", "The spring flies"),
        ("armature", "draws it in with force"),
    ],
)
def test_the_hazard_of_the_place_is_named(place: str, words: str) -> None:
    assert words in AT[place].text


def test_the_makers_manual_stands_before_all_steps_and_each_caution_once() -> None:
    told = cautions_of(["armature", "commutator", "field"], ["resistance_to_ground_ohms"])
    assert "maker's service manual" in told[0].text
    assert len(set(told)) == len(told)
    assert told[-1].step == "measure the resistance to ground"


def test_a_check_of_a_root_cause_at_the_vehicle_carries_its_own_cautions() -> None:
    """Before any crank: out of gear, brake, chocks, fuel or ignition off (common practice, no source)."""
    told = {one.code: one for one in ROOT_CAUSES if one.cautions}
    at_the_vehicle = {one.code for one in ROOT_CAUSES if "engine" in one.check or "cranking" in one.check}
    assert set(told) == at_the_vehicle
    for one in told.values():
        for caution in one.cautions:
            assert "wheels chocked" in caution.text
            assert "brake on" in caution.text
        by_hand = [caution for caution in one.cautions if "by hand" in caution.step]
        assert bool(by_hand) == ("by hand" in one.check)
        assert {caution.battery for caution in by_hand} <= {"disconnected"}
    (crank,) = told["contacts_arc"].cautions
    assert crank.battery == "connected"
    assert "fuel or ignition disabled, nobody under the vehicle" in crank.text
    assert "Never bridge" in crank.text
