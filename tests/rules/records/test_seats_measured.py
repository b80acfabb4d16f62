"""Which features can be measured of the seat of a position: those that its catalogue describes seats by."""

from api.records.measurables import measurables_of_seat
from api.starters.entries import FamilyEntry
from api.starters.vocabulary import POSITION_KINDS, SEAT_FEATURES


def test_every_feature_of_the_seed_can_be_measured_where_it_stands(families: dict[str, FamilyEntry]) -> None:
    told = {
        (place.code, feature.feature)
        for family in families.values()
        for place in family.positions
        for feature in place.seat
    }
    assert len(told) > 30
    assert {pair for pair in told if pair[1] not in measurables_of_seat(pair[0])} == set()


def test_every_feature_of_seats_can_be_measured_at_some_position_with_a_kind() -> None:
    kinds = [measurables_of_seat(code) for code, kind in POSITION_KINDS.items() if kind is not None]
    assert {code for features in kinds for code in features} == set(SEAT_FEATURES)


def test_a_bush_has_no_holder_and_a_place_of_no_kind_may_have_anything() -> None:
    assert "holder_width" not in measurables_of_seat("drive_end_bushing")
    assert set(measurables_of_seat("plunger")) == set(SEAT_FEATURES)
