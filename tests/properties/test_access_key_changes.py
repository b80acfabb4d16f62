"""Whatever is changed about a key, it is refused before anything is looked up."""

import string

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from api.access.keys import KEY_LENGTH, KeyRefused, make_key, read_key

BYTES = st.binary(min_size=37, max_size=37)
PLACES = st.integers(0, KEY_LENGTH - 1)


def key_of(drawn: bytes) -> str:
    """Return the key that these bytes make."""
    parts = iter((drawn[:5], drawn[5:]))
    return make_key(lambda wanted: next(parts)[:wanted]).text


def refused(text: str) -> bool:
    try:
        read_key(text)
    except KeyRefused:
        return True
    return False


def test_every_change_of_one_character_to_any_other_printable_one_is_refused() -> None:
    text = key_of(bytes(range(37)))
    changed = [
        text[:place] + char + text[place + 1 :]
        for place in range(KEY_LENGTH)
        for char in string.printable
        if char != text[place]
    ]
    assert len(changed) == KEY_LENGTH * (len(string.printable) - 1)
    assert [one for one in changed if not refused(one)] == []


@settings(max_examples=200)
@given(BYTES, PLACES, st.characters())
def test_a_change_of_one_character_is_refused(drawn: bytes, place: int, char: str) -> None:
    text = key_of(drawn)
    changed = text[:place] + char + text[place + 1 :]
    assert refused(changed) == (changed != text)


@settings(max_examples=50)
@given(BYTES, st.integers(0, KEY_LENGTH - 1))
@example(bytes(37), 0)
def test_every_truncation_at_either_end_is_refused(drawn: bytes, kept: int) -> None:
    text = key_of(drawn)
    assert refused(text[:kept])
    assert refused(text[KEY_LENGTH - kept :])


@settings(max_examples=100)
@given(BYTES, st.text(min_size=1, max_size=20), st.integers(0, KEY_LENGTH))
def test_every_extension_is_refused(drawn: bytes, more: str, place: int) -> None:
    text = key_of(drawn)
    assert refused(text[:place] + more + text[place:])


@settings(max_examples=100)
@given(BYTES, PLACES)
def test_a_character_left_out_is_refused(drawn: bytes, place: int) -> None:
    text = key_of(drawn)
    assert refused(text[:place] + text[place + 1 :])


@settings(max_examples=300)
@given(st.text(max_size=2 * KEY_LENGTH))
def test_any_text_is_refused_by_the_same_error(text: str) -> None:
    with pytest.raises(KeyRefused):
        read_key(text)


@settings(max_examples=100)
@given(BYTES)
def test_every_key_is_read_back_with_its_own_digest(drawn: bytes) -> None:
    text = key_of(drawn)
    parts = read_key(text)
    assert text.startswith(parts.shown + "_")
    assert parts == read_key(text)
