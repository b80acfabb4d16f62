"""The limits' data file: what it says, and what is said when it is wrong."""

import pytest
from inspection_bench import BOOK, LIMITS_TEXT

from api.errors import InvalidInput
from api.inspection.limit_data import read_limits
from api.inspection.vocabulary import LENGTH_OF, LOOKED_OF, NUMBER_OF, PLACES, features_at

LIMIT = """
[[limit]]
feature = "length"
at = ["brush_set"]
least = "10 mm"
basis = "published"
source = "a source of the test"
"""


def faults(text: str) -> dict[tuple[str | int, ...], str]:
    with pytest.raises(InvalidInput) as refused:
        read_limits(text)
    return {one.path: one.code for one in refused.value.faults}


def with_row(row: str) -> str:
    """Return the shipped file with one more row, whose number is 0 among those of a file of its own."""
    rest = LIMITS_TEXT[LIMITS_TEXT.index("[[error]]\nfeature") :]
    return row + rest


def test_every_measured_feature_has_a_limit_or_none_was_found() -> None:
    limited = {row.feature for row in BOOK.limits}
    seats = {"housing_bore", "holder_thickness", "holder_width"}
    spans = {"base_tangent_2", "base_tangent_3"}  # no published limit was found
    assert limited == {*LENGTH_OF, *NUMBER_OF} - seats - spans


def test_limits_stand_where_their_feature_is_read() -> None:
    for row in BOOK.limits:
        for place in row.at:
            assert row.feature in features_at(place), (row.feature, place)


def test_every_place_has_something_to_read() -> None:
    assert [place for place in PLACES if not features_at(place) and place != "planet_gears"] == []


def test_choices_of_a_feature_differ_and_one_is_good() -> None:
    for looked in LOOKED_OF.values():
        codes = [one.code for one in looked.choices]
        assert len(codes) == len(set(codes))
        assert [one.code for one in looked.choices if one.verdict == "good"] == codes[:1]


def test_a_sound_row_is_taken() -> None:
    (row,) = read_limits(with_row(LIMIT)).limits
    assert (row.feature, row.least, row.most) == ("length", 10e6, None)


@pytest.mark.parametrize(
    ("old", "new", "path", "code"),
    [
        ('feature = "length"', 'feature = "lenght"', ("limit", 0, "feature"), "unknown"),
        ('feature = "length"', "feature = 3", ("limit", 0, "feature"), "unknown"),
        ('at = ["brush_set"]', 'at = ["brushes"]', ("limit", 0, "at"), "unknown"),
        ('at = ["brush_set"]', "at = []", ("limit", 0, "at"), "wrong_type"),
        ('least = "10 mm"', 'least = "10"', ("limit", 0, "least"), "no_unit"),
        ('least = "10 mm"', "least = 10", ("limit", 0), "wrong_type"),
        ('least = "10 mm"', "least = -1", ("limit", 0, "least"), "out_of_range"),
        ('least = "10 mm"', 'least = "10 mm"\nmost = "9 mm"', ("limit", 0, "least"), "reversed"),
        ('least = "10 mm"', "", ("limit", 0), "no_limit"),
        ('least = "10 mm"', 'least_share_of_new = "2/0"', ("limit", 0, "least_share_of_new"), "wrong_type"),
        ('least = "10 mm"', "least_share_of_new = 1.5", ("limit", 0, "least_share_of_new"), "out_of_range"),
        ('least = "10 mm"', "most_wear = 1", ("limit", 0, "most_wear"), "wrong_type"),
        (
            'least = "10 mm"',
            'least = "10 mm"\nwhen_new = "2..1 mm"',
            ("limit", 0, "when_new"),
            "reversed_range",
        ),
        ('least = "10 mm"', 'least = "10 mm"\nshown_only = "yes"', ("limit", 0, "shown_only"), "wrong_type"),
        ('least = "10 mm"', 'least = "10 mm"\nleats = 3', ("limit", 0, "leats"), "unknown"),
        ('basis = "published"', 'basis = "hearsay"', ("limit", 0, "basis"), "unknown"),
        ('basis = "published"', "", ("limit", 0, "basis"), "missing"),
        ('source = "a source of the test"', 'source = " "', ("limit", 0, "source"), "wrong_type"),
        ('feature = "length"', 'feature = "face"', ("limit", 0), "wrong_type"),
    ],
)
def test_a_faulty_limit_is_named(old: str, new: str, path: tuple[str | int, ...], code: str) -> None:
    assert old in LIMIT
    assert faults(with_row(LIMIT.replace(old, new)))[path] == code


def test_other_faults_are_named() -> None:
    assert faults("[[limit]") == {(): "not_toml"}
    found = faults("[[limits]]\nfeature = 1\n")
    assert found["limits",] == "unknown"
    assert {found[name,] for name in ("limit", "error", "acceptance")} == {"missing"}
    assert "missing" in faults(LIMITS_TEXT.replace("share = 0.04", "")).values()
    assert faults(LIMITS_TEXT.replace("share = 0.04", "share = 0.5"))["error", 1, "share"] == "out_of_range"
    power = LIMITS_TEXT.replace("power_w = [1300, 1500]", "power_w = [1500, 1300]")
    assert "reversed" in faults(power).values()
    voltage = LIMITS_TEXT.replace("voltage = [24]", 'voltage = ["24"]')
    assert "wrong_type" in faults(voltage).values()
