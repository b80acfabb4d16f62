"""The caution at each place is that of the work done there."""

import pytest

from api.inspection.cautions import AT, cautions_of
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
