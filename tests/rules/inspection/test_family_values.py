"""What a family tells of features when new, from its seats and the sizes listed for it."""

import attrs
import pytest

from api.inspection.family_values import KnownFamily
from api.starters.entries import FamilyEntry
from api.wear_parts.entries import SizeValueEntry


def size(**ranges: tuple[int, int] | None) -> dict[str, SizeValueEntry]:
    """Return the values of a size; None records nothing of the dimension."""
    found = {}
    for code, ends in ranges.items():
        lower, upper = (None, None) if ends is None else ends
        found[code] = SizeValueEntry(dimension=code, provenance="drawing", lower_nm=lower, upper_nm=upper)
    return found


@pytest.fixture
def family(families: dict[str, FamilyEntry]) -> FamilyEntry:
    return families["D12-01"]


def test_seats_tell_what_they_were_when_new_and_their_upper_end_is_a_limit(family: FamilyEntry) -> None:
    known = KnownFamily(family, {})
    (journal,) = known.new_at("drive_end_bushing")["journal_diameter"]
    assert journal.known.middle == 12_459_000
    limits = known.limits_at("drive_end_bushing")
    assert limits["housing_bore"].most == 16_018_000
    assert "D12-01" in limits["housing_bore"].source
    assert set(known.limits_at("brush_set")) == {"holder_thickness", "holder_width"}
    assert known.new_at("armature") == {} and known.limits_at("armature") == {}
    assert known.new_at("plunger") == {} and known.limits_at("plunger") == {}


def test_sizes_that_overlap_are_one_value_and_others_are_open(family: FamilyEntry) -> None:
    sizes = {
        "brush_set": (
            size(length=(15_700_000, 16_300_000)),
            size(length=(19_700_000, 20_300_000)),
            size(length=(16_200_000, 16_400_000)),
            size(length=None, thickness=(1, 2)),
            size(),
        )
    }
    found = KnownFamily(family, sizes).new_at("brush_set")["length"]
    assert [one.known.middle for one in found] == [16_050_000, 20_000_000]
    assert [one.known.widths for one in found] == [(700_000.0,), (600_000.0,)]


def test_what_no_size_records_is_not_known(family: FamilyEntry) -> None:
    assert "length" not in KnownFamily(family, {"brush_set": (size(),)}).new_at("brush_set")


def test_a_new_bore_is_said_to_be_free(family: FamilyEntry) -> None:
    known = KnownFamily(family, {"drive_end_bushing": (size(bore=(12_506_000, 12_524_000)),)})
    (bore,) = known.new_at("drive_end_bushing")["bore"]
    assert "pressing closes it in" in bore.source


def test_a_seat_without_figures_tells_nothing(family: FamilyEntry) -> None:
    position = family.position("brush_set")
    assert position is not None
    bare = attrs.evolve(family, positions=(attrs.evolve(position, seat=()),))
    known = KnownFamily(bare, {})
    assert known.limits_at("brush_set") == {}
    assert known.new_at("brush_set") == {}
