"""What a fault says of its repair: parts, positions, root causes."""

import pytest
from diagnosis_of_seed import tables

from api.diagnosis.knowledge import OTHER
from api.starters.positions_of_construction import EXCLUDED


@pytest.mark.parametrize("code", ["plunger_binds", "bearing_dry"])
def test_cleaning_and_a_light_film_of_grease_costs_no_part(code: str) -> None:
    """Common practice, no source."""
    fault = tables().faults[code]
    assert not fault.needs_part
    assert fault.renew == ()
    assert "light film of grease" in fault.repair


def test_every_fault_but_the_unknown_one_names_a_root_cause_to_check_first() -> None:
    without = {fault.code for fault in tables().faults.values() if not fault.root_causes}
    assert without == {OTHER}


def test_no_construction_is_offered_a_fault_of_positions_that_it_cannot_have() -> None:
    for fault in tables().faults.values():
        for construction in fault.constructions:
            excluded = set(EXCLUDED.get(construction, ()))
            assert not fault.positions or set(fault.positions) - excluded, (fault.code, construction)


def test_a_step_with_the_battery_connected_has_a_caution_and_so_has_every_test() -> None:
    for known in tables().observations.values():
        if known.kind == "test" or known.hazard != "none":
            assert known.cautions, known.code


def test_whoever_turns_the_key_is_told_what_to_mind() -> None:
    for known in tables().observations.values():
        if "key is turned" in known.how or "turns the key" in known.how or "else cranks" in known.how:
            assert "crank" in known.cautions, known.code


def test_what_is_done_on_the_bench_is_done_with_the_battery_disconnected_save_the_spin_test() -> None:
    connected = {
        known.code
        for known in tables().observations.values()
        if known.who == "repairer" and known.battery == "connected"
    }
    assert connected == {"no_load_test", "no_load_amperes", "no_load_rpm"}
    assert all("spin_test" in tables().observations[code].cautions for code in connected)
