"""Published limits and tables as evidence: each row and figure with its source.

The limits are practice, not one number; which fault a source pairs with which result is published, the
chances are our judgement.
"""

import pytest
from diagnosis_of_seed import DIRECT, chance, found, tables

from api.diagnosis.check_stated import Claim, check_stated
from api.diagnosis.diagnose import diagnose
from api.diagnosis.knowledge import ObservationKnown
from api.diagnosis.scales import edges_of, limit_of, rated_of
from api.diagnosis.subject import Subject

NO_LOAD = {
    "low_speed_high_current": {"bushings_worn", "bearing_dry", "armature_shorted"},
    "no_turn_high_current": {"armature_shorted", "bushings_worn", "bearing_dry"},
    "no_turn_no_current": {"field_open", "armature_coil_open", "brushes_worn"},
    "low_speed_low_current": {"commutator_dirty", "brushes_worn", "ground_joint_corroded"},
    "high_speed_high_current": {"field_shorted"},
}
"""The no-load table of three US Army manuals, the same six rows in each.

Low speed and high current: friction, shorted or grounded armature. No turning and high current: direct ground
or frozen bearings. No turning and no current: open field or coils, bad brushes or springs. Low speed and low
current: high internal resistance (dirty commutators, brushes in poor contact, corroded joints: judgement).
High speed and high current: shorted fields. Rated speed and current: good.
"""


def known(code: str) -> ObservationKnown:
    return tables().observations[code]


def odds_factors(told: dict[str, str | float]) -> dict[str, float]:
    """Return by how much the odds of each fault grow through what was told."""
    before = {one.known.code: one.chance for one in found({}).faults}
    return {
        one.known.code: one.chance / (1 - one.chance) * (1 / before[one.known.code] - 1)
        for one in found(told).faults
    }


@pytest.mark.parametrize("row", NO_LOAD)
def test_each_row_of_the_no_load_table_raises_its_published_faults_above_all_others(row: str) -> None:
    factors = odds_factors({"no_load_test": row})
    best = sorted(factors, key=lambda code: -factors[code])[: len(NO_LOAD[row])]
    assert set(best) == NO_LOAD[row]
    assert all(factors[code] > 3 for code in NO_LOAD[row])


def test_a_rated_no_load_test_clears_the_motor() -> None:
    factors = odds_factors({"no_load_test": "rated"})
    assert all(factors[fault] < 0.5 for faults in NO_LOAD.values() for fault in faults)


@pytest.mark.parametrize(
    ("row", "amperes", "rpm"),
    [
        ("low_speed_high_current", 200.0, 3000.0),
        ("no_turn_high_current", 300.0, 0.0),
        ("no_turn_no_current", 0.0, 0.0),
        ("low_speed_low_current", 40.0, 3000.0),
        ("high_speed_high_current", 180.0, 12_000.0),
        ("rated", 90.0, 7000.0),
    ],
)
def test_amperes_and_rpm_against_the_rated_range_fill_the_same_rows(
    row: str, amperes: float, rpm: float
) -> None:
    """Rated 70 to 110 A and 5,500 to 9,000 rpm at 20 V: US Army TM 5-3810-303-24, Table 10D-1."""
    lorry = Subject(voltage=24, construction="direct_drive", field="wound")
    by_row = {one.known.code: one.chance for one in found({"no_load_test": row}, lorry).faults}
    by_numbers = found({"no_load_amperes": amperes, "no_load_rpm": rpm}, lorry).faults
    assert by_numbers[0].known.code == max(by_row, key=lambda code: by_row[code])
    for one in by_numbers:
        assert one.chance == pytest.approx(by_row[one.known.code], abs=0.06), one.known.code


def test_the_rated_range_of_24_volts_is_the_published_one() -> None:
    """US Army TM 5-3810-303-24, Table 10D-1."""
    number = known("no_load_amperes").number
    assert number is not None
    assert rated_of(number, Subject(voltage=24)).values == (70, 110)
    number = known("no_load_rpm").number
    assert number is not None
    assert rated_of(number, Subject(voltage=24)).values == (5500, 9000)


@pytest.mark.parametrize(
    ("volts", "band"), [(11.7, 1), (11.5, 0), (12.0, 2), (12.2, 3), (12.4, 4), (12.6, 5), (12.9, 5)]
)
def test_charge_by_open_circuit_voltage(volts: float, band: int) -> None:
    """US Army TM 5-3805-262-20: 12.6 V 100 %, 12.4 V 75 %, 12.2 V 50 %, 12.0 V 25 %, 11.7 V and less 0 %."""
    number = known("battery_open_circuit_volts").number
    assert number is not None
    edges = edges_of(number, DIRECT, None)
    assert sum(volts >= edge for edge in edges[1:-1]) == band
    assert edges_of(number, Subject(voltage=24), None) == pytest.approx([2 * edge for edge in edges])


@pytest.mark.parametrize(
    ("celsius", "volts"),
    [
        (20, 9.6),
        (16, 9.5),
        (10, 9.4),
        (4, 9.3),
        (-1, 9.1),
        (-7, 8.9),
        (-12, 8.7),
        (-18, 8.5),
        (-40, 8.5),
        (7, 9.35),
    ],
)
def test_the_least_volts_of_a_load_test_by_temperature(celsius: float, volts: float) -> None:
    """Service pages, 15 s, read at second hand; between and beyond the steps as the tables say."""
    number = known("battery_load_test_volts").number
    assert number is not None
    held = limit_of(number, DIRECT, celsius)
    assert held is not None
    assert held.values[0] == pytest.approx(volts)


@pytest.mark.parametrize(
    ("code", "limit", "texts"),
    [
        # US Army TM 5-2420-230-24-2: 1.0 V (12 V), 2.0 (24 V); TM 5-3820-256-24-4: 0.5 V, any one wire 0.1 V
        ("control_circuit_drop_volts", 1.0, ("1.0 V", "2.0 V at 24 V", "0.5 V", "0.1 V")),
        # service pages: 0.5 V, in all 0.8 = 0.5 + 0.3; TM 10-3930-671-24: 0.4 V, 0.20 V per 100 A;
        # older make 0.1 V
        ("feed_drop_volts", 0.5, ("0.5 V", "0.8 V", "0.4 V", "0.20 V for each 100 A", "0.1 V each")),
        # US Army TM 5-3820-256-24-4: ground side 0.2 V; service pages 0.3 V
        ("ground_drop_volts", 0.2, ("0.2 V", "0.3 V")),
        # US Army TM 5-3820-256-24-4: solenoid switch 0.2, magnetic switch 0.3, mechanical switch 0.1
        ("solenoid_drop_volts", 0.2, ("0.2 V", "0.3 V", "0.1 V")),
    ],
)
def test_voltage_drop_limits_are_shown_with_the_sources_that_differ(
    code: str, limit: float, texts: tuple[str, ...]
) -> None:
    number = known(code).number
    assert number is not None
    assert number.limit is not None
    assert (number.limit.figure.value, number.limit.figure.origin.kind) == (limit, "published")
    told = " ".join(one.text for one in number.published)
    assert all(text in told for text in texts)
    assert all(one.source for one in number.published)


def test_a_control_circuit_may_lose_twice_as_much_on_24_volts() -> None:
    """US Army TM 5-2420-230-24-2: 1.0 V at 12 V, 2.0 V at 24 V."""
    number = known("control_circuit_drop_volts").number
    assert number is not None
    held = limit_of(number, Subject(voltage=24), None)
    assert held is not None
    assert held.values == (2.0,)


def test_the_caller_may_state_his_own_limit() -> None:
    """0.45 V passes the 0.5 V of the service pages and fails the 0.4 V of US Army TM 10-3930-671-24."""
    chances = []
    for limit in (None, 0.4):
        stated = check_stated(tables(), DIRECT, [Claim(code="feed_drop_volts", value=0.45, limit=limit)])
        faults = diagnose(tables(), DIRECT, "repairer", stated).faults
        chances.append(next(one.chance for one in faults if one.known.code == "feed_cable_bad"))
    assert chances[0] < chance({}, "feed_cable_bad") < chances[1]


def test_pull_in_is_enough_from_8_volts_on() -> None:
    """Service page of a 12 V 1.4 kW unit, at second hand: it pulls in at 8 V or less."""
    low = chance({"trigger_volts": 6.0}, "control_circuit_open")
    enough = chance({"trigger_volts": 9.0}, "control_circuit_open")
    assert low > chance({}, "control_circuit_open") > enough
