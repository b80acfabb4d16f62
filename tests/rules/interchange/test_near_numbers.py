"""Numbers that are nearly the one asked for."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import OSA

from api.interchange.near_numbers import (
    LETTERS_AND_DIGITS,
    edits_between,
    gtin_state,
    looked_up_as,
    most_edits,
    one_edit_away,
)

FORMS = st.text(LETTERS_AND_DIGITS, min_size=1, max_size=9)


@given(FORMS)
def test_every_neighbour_is_one_edit_away(form: str) -> None:
    """Optimal string alignment distance, as the rapidfuzz library counts it."""
    for other in list(one_edit_away(form))[:400]:
        assert min(OSA.distance(base, other) for base in looked_up_as(form)) <= 1
        assert other != form
        assert other


@given(FORMS, FORMS)
def test_every_number_one_edit_away_is_a_neighbour(form: str, other: str) -> None:
    if OSA.distance(form, other) == 1:
        assert other in one_edit_away(form)


@given(FORMS.filter(lambda form: len(form) > 1), st.data())
def test_two_neighbouring_characters_swapped_are_found(form: str, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(form) - 2))
    swapped = form[:place] + form[place + 1] + form[place] + form[place + 2 :]
    assert swapped == form or swapped in one_edit_away(form)
    assert edits_between(form, swapped) <= 1


def test_a_gtin_is_near_its_fourteen_digits() -> None:
    assert looked_up_as("036000241457") == ("036000241457", "00036000241457")
    assert edits_between("036000241458", "00036000241457") == 1
    assert "00036000241457" in one_edit_away("036000241458")


def test_a_long_number_has_no_neighbours_listed() -> None:
    assert one_edit_away("A" * 33) == frozenset()
    assert len(one_edit_away("A" * 32)) < 3000


def test_fewer_slips_are_forgiven_in_a_short_number() -> None:
    assert (most_edits("AB123"), most_edits("AB1234")) == (1, 2)


@pytest.mark.parametrize(
    ("text", "state", "digits"),
    [
        # gs1.org's example 629104150021 -> 3; the UPC-12 03600024145 -> 7; GS1 Sweden's 730001100001 -> 7.
        ("6291041500213", "right", "06291041500213"),
        ("036000241457", "right", "00036000241457"),
        ("7300011000017", "right", "07300011000017"),
        ("6291041500214", "wrong_check_digit", None),
        ("036000241450", "wrong_check_digit", None),
        ("OM3335", "not_a_gtin", None),
        ("12345", "not_a_gtin", None),
    ],
)
def test_the_check_digit_of_a_gtin_is_told(text: str, state: str, digits: str | None) -> None:
    found = gtin_state(text)
    assert found[:2] == (state, digits)
    assert (found[2] is not None) == (state == "wrong_check_digit")
