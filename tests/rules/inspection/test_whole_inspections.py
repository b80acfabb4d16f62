"""All places together: the worst feature, what was not read, root causes, cautions."""

import pytest
from inspection_bench import BOOK, place, read, seen

from api.inspection.bench_readings import BenchPlace
from api.inspection.cautions import AT, INSULATION, cautions_of
from api.inspection.inspect_starter import InspectedPlace, inspect_starter
from api.inspection.root_causes import ROOT_CAUSES
from api.inspection.vocabulary import FEATURES, LOOKED_OF, PLACES, features_at


def inspected(*places: BenchPlace, field: str | None = None) -> dict[str, InspectedPlace]:
    return {one.place: one for one in inspect_starter(BOOK, places, field)}


def causes(one: InspectedPlace) -> set[str]:
    return {cause.code for cause in one.causes}


def test_the_worst_feature_decides_a_place() -> None:
    found = inspected(
        place("commutator", read("run_out", 0.02, u=0.005), read("undercut", 0.1, u=0.01)),
        place("armature", read("core_run_out", 0.02, u=0.005), seen("core", "as_made")),
        place("drive_clutch", seen("action", "smooth"), read("base_tangent_2", 12.3)),
    )
    assert (found["commutator"].verdict, found["commutator"].limiting) == ("renew", "undercut")
    assert found["armature"].verdict == "good"
    assert (found["drive_clutch"].verdict, found["drive_clutch"].limiting) == (
        "cannot_tell",
        "base_tangent_2",
    )


def test_a_place_without_readings_cannot_be_told() -> None:
    found = inspected(place("plunger"))["plunger"]
    assert (found.verdict, found.inside, found.limiting) == ("cannot_tell", None, None)
    assert found.unread == ("movement",)


def test_the_chance_of_a_place_is_that_of_all_its_features() -> None:
    found = inspected(place("commutator", read("run_out", 0.05, u=0.01), read("undercut", 0.2, u=0.01)))[
        "commutator"
    ]
    assert found.inside == pytest.approx(0.25)
    assert inspected(place("plunger", seen("movement", "free")))["plunger"].inside is None


def test_a_cause_found_at_one_place_is_told_where_the_new_part_would_suffer() -> None:
    found = inspected(
        place("brush_set", seen("condition", "clean")),
        place("commutator", seen("surface", "burnt_bars")),
        place("armature", seen("core", "rubbed_bright")),
        place("drive_end_bushing"),
    )
    assert causes(found["brush_set"]) == {"commutator_wears_the_brushes", "open_armature_coil"}
    assert causes(found["drive_end_bushing"]) == {"armature_rubs"}


def test_a_sound_starter_has_no_root_cause() -> None:
    places = [
        place(
            where,
            *[
                seen(code, LOOKED_OF[code].choices[0].code)
                for code in features_at(where)
                if code in LOOKED_OF
            ],
        )
        for where in PLACES
    ]
    assert {one.place: one.causes for one in inspect_starter(BOOK, places)} == dict.fromkeys(PLACES, ())


def test_every_sign_of_a_cause_can_be_read() -> None:
    for cause in ROOT_CAUSES:
        assert set(cause.places) <= set(PLACES)
        for sign in cause.signs:
            assert sign.feature in FEATURES
            for where in sign.places:
                assert sign.feature in features_at(where), (cause.code, where)
            looked = LOOKED_OF.get(sign.feature)
            known = {one.code for one in looked.choices} if looked else {"near_limit", "renew"}
            assert set(sign.found) <= known, cause.code


def test_every_place_has_its_caution_with_the_battery_off() -> None:
    assert set(AT) == set(PLACES)
    assert {one.battery for one in AT.values()} == {"disconnected"}
    told = cautions_of(["commutator", "armature"], ["resistance_to_ground_ohms"])
    assert len(told) == len(set(told)) == 4
    assert INSULATION in told


def test_a_field_of_magnets_has_other_features_than_a_wound_one() -> None:
    assert features_at("field", "permanent_magnet") == ("magnets",)
    assert "magnets" not in features_at("field", "wound")
    assert {"magnets", "resistance_to_ground_ohms"} <= set(features_at("field"))
    magnets = inspected(place("field"), field="permanent_magnet")["field"]
    assert magnets.unread == ("magnets",)
