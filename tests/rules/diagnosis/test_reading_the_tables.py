"""A fault in a data file is named with file, key and what was expected; all faults at once."""

import pytest
from diagnosis_of_seed import tables, texts

from api.diagnosis.read_knowledge import read_knowledge
from api.errors import FieldFault, InvalidInput


def faults_of(file: str, old: str, new: str) -> tuple[FieldFault, ...]:
    changed = texts()
    assert old in changed[file]
    changed[file] = changed[file].replace(old, new, 1)
    with pytest.raises(InvalidInput) as caught:
        read_knowledge(changed)
    return caught.value.faults


@pytest.mark.parametrize(
    ("file", "old", "new", "key", "code"),
    [
        ("faults.toml", "[construction_weights]", "[construction_weights", (), "not_toml"),
        ("faults.toml", 'place = "outside"', 'place = "beside"', ("fault", 0, "place"), "unknown"),
        ("faults.toml", "weight = 25", "weight = 0", ("fault", 0, "prior", "weight"), "out_of_range"),
        ("faults.toml", "needs_part = false", 'needs_part = "no"', ("fault", 0, "needs_part"), "wrong_type"),
        ("faults.toml", 'code = "other"', 'code = "others"', ("fault",), "missing"),
        ("faults.toml", 'code = "battery_weak"', 'code = "other"', ("fault", 29, "code"), "repeated"),
        (
            "faults.toml",
            "renew = []",
            'renew = ["brush_set"]',
            ("fault", 0, "renew"),
            "contradicts_positions",
        ),
        (
            "faults.toml",
            "{ voltage = 24, factor = 1.3,",
            "{ factor = 1.3,",
            ("fault", 2, "prior_by", 0),
            "wrong_type",
        ),
        (
            "faults.toml",
            'constructions = ["inertia_drive"]\npositions = ["return_spring"]',
            'constructions = ["inertia_drive"]\npositions = ["drive_clutch"]',
            ("fault", 25, "constructions"),
            "contradicts_construction",
        ),
        (
            "symptoms.toml",
            "[0.15, 0.15, 0.08,",
            "[0.16, 0.15, 0.08,",
            ("observation", 0, "otherwise", "chances"),
            "wrong_sum",
        ),
        (
            "symptoms.toml",
            "[0.12, 0.20, 0.28,",
            "[0.12, 0.48, 0.0,",
            ("observation", 0, "rows", 0, "chances", 2),
            "out_of_range",
        ),
        (
            "symptoms.toml",
            'faults = ["battery_weak"]',
            'faults = ["battery_week"]',
            ("observation", 0, "rows", 0, "faults"),
            "unknown",
        ),
        (
            "symptoms.toml",
            'faults = ["feed_cable_bad"]',
            'faults = ["battery_weak"]',
            ("observation", 0, "rows", 2, "faults"),
            "repeated",
        ),
        (
            "symptoms.toml",
            'origin = "judgement", pairing',
            'origin = "guess", pairing',
            ("observation", 0, "rows", 0, "origin"),
            "unknown_origin",
        ),
        (
            "symptoms.toml",
            'cautions = ["crank"]',
            'cautions = ["krank"]',
            ("observation", 0, "cautions", 0),
            "unknown",
        ),
        (
            "symptoms.toml",
            'stops = ["crank"]',
            'stops = ["krank"]',
            ("observation", 0, "answers", 7, "stops", 0),
            "unknown",
        ),
        (
            "faults.toml",
            'cautions = ["charge_battery"]',
            'cautions = ["charge"]',
            ("fault", 0, "cautions", 0),
            "unknown",
        ),
        (
            "faults.toml",
            'prior = { weight = 25, origin = "judgement" }',
            "prior = 25",
            ("fault", 0, "prior"),
            "wrong_type",
        ),
        ("faults.toml", "weight = 25", 'weight = "25"', ("fault", 0, "prior", "weight"), "wrong_type"),
        ("faults.toml", "weight = 25", "weight = true", ("fault", 0, "prior", "weight"), "wrong_type"),
        ("faults.toml", "weight = 25", "weight = inf", ("fault", 0, "prior", "weight"), "out_of_range"),
        ("faults.toml", "renew = []", 'renew = "brush_set"', ("fault", 0, "renew"), "wrong_type"),
        (
            "faults.toml",
            'name = "battery discharged or worn out"',
            'name = " "',
            ("fault", 0, "name"),
            "wrong_type",
        ),
        (
            "faults.toml",
            'name = "battery discharged or worn out"',
            "name = 3",
            ("fault", 0, "name"),
            "wrong_type",
        ),
        (
            "vehicle_tests.toml",
            'bounds_origin = "judgement"',
            'bounds_origin = "published: "',
            ("observation", 1, "number", "bounds_origin"),
            "unknown_origin",
        ),
        (
            "symptoms.toml",
            "otherwise = { chances = [0.15, 0.15, 0.08, 0.08, 0.08, 0.16, 0.20, 0.06, 0.04], "
            'origin = "judgement" }\n',
            "",
            ("observation", 0),
            "missing",
        ),
        (
            "symptoms.toml",
            'code = "on_start_command"',
            'code = "on_start_command"\nno_load = "no_load_test"',
            ("observation", 0),
            "wrong_type",
        ),
        (
            "symptoms.toml",
            'answers = [{ code = "yes", words = "yes" }, { code = "no", words = "no" }]\n'
            "otherwise = { chances = [0.08, 0.92]",
            "otherwise = { chances = [0.08, 0.92]",
            ("observation", 3),
            "wrong_type",
        ),
        ("symptoms.toml", 'kind = "question"\n', "", ("observation", 0, "kind"), "missing"),
        (
            "symptoms.toml",
            'kind = "question"',
            'kind = "question"\nkinds = "x"',
            ("observation", 0, "kinds"),
            "unknown",
        ),
        (
            "symptoms.toml",
            "chances = [0.50, 0.05, 0.45]",
            "chances = [0.55, 0.45]",
            ("observation", 2),
            "wrong_length",
        ),
        ("symptoms.toml", 'code = "onset"', 'code = "worse_when"', ("observation", 2, "code"), "repeated"),
        (
            "vehicle_tests.toml",
            "upto = 12.0 }",
            "upto = 11.0 }",
            ("observation", 0, "number", "bands"),
            "not_ascending",
        ),
        (
            "vehicle_tests.toml",
            "celsius = -12, limit",
            "celsius = -20, limit",
            ("observation", 1, "number", "by_celsius"),
            "not_ascending",
        ),
        (
            "vehicle_tests.toml",
            'scale = "system_voltage"',
            'scale = "limit"',
            ("observation", 0),
            "wrong_type",
        ),
        (
            "vehicle_tests.toml",
            "[observation.number]\nunit",
            "may_vary = true\n[observation.numbers]\nunit",
            ("observation", 0, "numbers"),
            "unknown",
        ),
        (
            "bench_tests.toml",
            'no_load = "no_load_test"',
            'no_load = "no_load_test"\notherwise = { chances = [0.5, 0.5], origin = "judgement" }',
            ("observation", 1),
            "wrong_type",
        ),
    ],
)
def test_a_broken_file_is_refused(
    file: str, old: str, new: str, key: tuple[str | int, ...], code: str
) -> None:
    found = {(fault.path, fault.code) for fault in faults_of(file, old, new)}
    assert ((file, *key), code) in found


def test_an_origin_says_more_in_brackets_and_a_published_one_names_its_source() -> None:
    battery = tables().observations["battery_cranking_volts"].number
    assert battery is not None
    assert battery.bounds_origin.kind == "common_practice"
    assert battery.bounds_origin.source == "9.6 V while cranking; 7 V and 11.8 V are our judgement"
    rested = tables().observations["battery_open_circuit_volts"].number
    assert rested is not None
    assert rested.bounds_origin.kind == "published"
    assert rested.bounds_origin.source.startswith("US Army TM 5-3805-262-20")


def test_without_its_faults_nothing_is_read() -> None:
    with pytest.raises(InvalidInput):
        read_knowledge({name: text for name, text in texts().items() if name != "faults.toml"})


def test_faults_of_several_files_are_named_at_once() -> None:
    changed = texts()
    changed["faults.toml"] = changed["faults.toml"].replace("weight = 25", "weight = -1", 1)
    changed["symptoms.toml"] = changed["symptoms.toml"].replace('kind = "question"\n', "", 1)
    with pytest.raises(InvalidInput) as caught:
        read_knowledge(changed)
    assert {fault.path[0] for fault in caught.value.faults} == {"faults.toml", "symptoms.toml"}


def test_every_figure_has_an_origin_and_published_ones_a_source() -> None:
    origins = [origin for _, origin in tables().figures()] + list(tables().pairings())
    assert len(origins) > 500
    assert all(origin.source for origin in origins if origin.kind == "published")


def test_no_source_gives_chances_and_the_tables_do_not_pretend_one_does() -> None:
    assert {origin.kind for what, origin in tables().figures() if what in ("chance", "prior")} == {
        "judgement"
    }


def test_no_chance_is_0_or_1_and_all_of_a_row_add_up() -> None:
    for known in tables().observations.values():
        for row in (*known.rows, *([known.otherwise] if known.otherwise.chances else [])):
            assert all(0 < chance < 1 for chance in row.chances)
            assert sum(row.chances) == pytest.approx(1, abs=1e-9)
