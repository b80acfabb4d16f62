"""Each construction has the positions that it has, and no others."""

from api.exchange.catalogue import Catalogue
from api.starters.entries import FamilyEntry

SOLENOID = {"battery_side_contact", "motor_side_contact", "contact_disc", "plunger"}


def positions(family: FamilyEntry) -> set[str]:
    return {entry.code for entry in family.positions}


def of(catalogue: Catalogue, construction: str) -> list[FamilyEntry]:
    found = [entry for entry in catalogue.families if entry.construction == construction]
    assert found
    return found


def test_movable_pole_families_have_no_solenoid_contacts_or_plunger(catalogue: Catalogue) -> None:
    for family in of(catalogue, "movable_pole_shoe"):
        assert not positions(family) & SOLENOID, family.code
        assert family.field == "wound", family.code


def test_inertia_families_have_no_overrunning_clutch(catalogue: Catalogue) -> None:
    for family in of(catalogue, "inertia_drive"):
        assert "drive_clutch" not in positions(family), family.code


def test_families_with_a_solenoid_have_all_of_it_and_a_clutch(catalogue: Catalogue) -> None:
    for construction in ("direct_drive", "offset_gear_reduction", "planetary_gear_reduction"):
        for family in of(catalogue, construction):
            assert positions(family) >= SOLENOID | {"drive_clutch", "brush_set"}, family.code


def test_only_planetary_families_have_planet_gears(catalogue: Catalogue) -> None:
    for family in catalogue.families:
        is_planetary = family.construction == "planetary_gear_reduction"
        assert ("planet_gears" in positions(family)) == is_planetary, family.code


def test_only_reductions_reduce(catalogue: Catalogue) -> None:
    for family in catalogue.families:
        reduces = family.construction in {"offset_gear_reduction", "planetary_gear_reduction"}
        assert (family.internal_reduction_thousandths > 1000) == reduces, family.code


def test_notes_of_magnet_fields_warn_at_least_once(catalogue: Catalogue) -> None:
    magnets = [entry for entry in catalogue.families if entry.field == "permanent_magnet"]
    assert any("never strike" in entry.notes for entry in magnets)


def test_positions_that_no_kind_covers_have_no_kind(catalogue: Catalogue) -> None:
    kinds = {
        "battery_side_contact": "contact",
        "motor_side_contact": "contact",
        "contact_disc": "contact",
        "drive_end_bushing": "bushing",
        "commutator_end_bushing": "bushing",
        "intermediate_bushing": "bushing",
        "brush_set": "brush_set",
        "drive_clutch": "drive_clutch",
    }
    for family in catalogue.families:
        for position in family.positions:
            assert position.kind == kinds.get(position.code), (family.code, position.code)
