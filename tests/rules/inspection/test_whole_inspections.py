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


def test_what_wears_one_bush_or_winding_is_not_told_of_the_others() -> None:
    """A worn housing bore at one end says nothing of the seat at the other (common practice, no source)."""
    found = inspected(
        place(
            "drive_end_bushing", read("housing_bore", 16.3, u=0.01), stated={"housing_bore": (None, 16.02)}
        ),
        place(
            "commutator_end_bushing",
            read("bore", 12.9, u=0.01),
            read("journal_diameter", 12.45, u=0.003),
        ),
        place("armature", read("resistance_to_ground_ohms", 850.0, u=10.0)),
        place("field", read("resistance_to_ground_ohms", 5e6, u=1e4)),
    )
    assert causes(found["drive_end_bushing"]) == {"bush_turned_in_its_seat"}
    assert causes(found["commutator_end_bushing"]) == {"journal_or_seat_eats_the_bush"}
    assert causes(found["armature"]) == {"damp_or_brush_dust"}
    assert causes(found["field"]) == set()


def test_the_wear_of_a_place_is_the_greatest_of_its_features() -> None:
    """By hand: 0.02 of 0.05 mm of run-out, 1.0 of 1.2 mm of diameter."""
    found = inspected(
        place(
            "commutator",
            read("run_out", 0.02, u=0.001),
            read("diameter", 31.0, u=0.005),
            new={"diameter": 32.0},
            stated={"diameter": (30.8, None), "run_out": (None, 0.05)},
        ),
        place("plunger", seen("movement", "free")),
    )
    assert found["commutator"].wear == pytest.approx(1.0 / 1.2)
    assert found["plunger"].wear is None


@pytest.mark.parametrize(
    ("where", "feature", "choice"),
    [
        (where, feature, choice.code)
        for feature, looked in LOOKED_OF.items()
        for where in looked.places
        for choice in looked.choices
        if choice.verdict in ("near_limit", "cannot_tell")
    ],
)
def test_whatever_is_near_its_limit_by_eye_says_what_to_check_next(
    where: str, feature: str, choice: str
) -> None:
    (told,) = inspected(place(where, seen(feature, choice)))[where].features
    assert told.further_check


def test_a_limit_shown_for_comparison_is_told_as_such() -> None:
    """14 N: one make's 18 N is judged by, 13.7 and 22.3 N are shown; service data of three makes."""
    (told,) = inspected(place("brush_set", read("spring_force_newtons", 14.0, u=0.3)))["brush_set"].features
    assert told.judged.why_limit == "the only one that applies, others are shown for comparison"
    assert told.further_check is not None
    assert "13.7" in told.further_check


def test_every_size_that_limits_are_known_for_is_named_where_none_applies() -> None:
    """New diameters of three makes: 30.0, 29.4 and 32.0 mm (service data); a lorry's has 44 mm."""
    (told,) = inspected(place("commutator", read("diameter", 42.6, u=0.01), new={"diameter": 44.0}))[
        "commutator"
    ].features
    assert told.judged.verdict == "cannot_tell"
    assert all(f"{low:.3f}" in told.judged.why_limit for low in (29.95, 29.35, 31.95))


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
