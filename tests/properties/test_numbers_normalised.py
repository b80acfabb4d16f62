"""Properties of the normalised form: stable, blind to case and marks, within the letters and digits."""

import string

from hypothesis import given
from hypothesis import strategies as st

from api.errors import InvalidInput
from api.wear_parts.numbers import check_gtin, normalise_number

PLAIN = st.text(string.ascii_letters + string.digits, min_size=1, max_size=20)
MARKS = st.text(" -./_,:;()\u2013\u00a0'\"*", max_size=2)


@given(st.text(max_size=64))
def test_normalising_twice_changes_nothing(text: str) -> None:
    try:
        form = normalise_number(text)
    except InvalidInput:
        return
    assert normalise_number(form) == form
    assert all(char.isalnum() for char in form)


@given(
    st.lists(st.sampled_from("\u1100\u1161\u11a8\u0130\u0131\u0149ßﬁ\u01f0Ǆǅ\u0345\u03b1-ａ"), max_size=12)
)
def test_characters_that_join_or_unfold_settle(chars: list[str]) -> None:
    try:
        form = normalise_number("".join(chars))
    except InvalidInput:
        return
    assert normalise_number(form) == form


@given(PLAIN, st.data())
def test_case_and_marks_do_not_matter(number: str, data: st.DataObject) -> None:
    written = "".join(char + data.draw(MARKS) for char in number)
    assert normalise_number(written) == normalise_number(number) == number.upper()
    assert normalise_number(written.lower()) == normalise_number(written.upper())


@given(st.sampled_from((7, 11, 12, 13)), st.data())
def test_a_gtin_has_one_right_check_digit_and_any_changed_digit_is_noticed(
    length: int, data: st.DataObject
) -> None:
    stem = data.draw(st.text(string.digits, min_size=length, max_size=length))
    taken = []
    for digit in string.digits:
        try:
            taken.append((digit, check_gtin(stem + digit)))
        except InvalidInput:
            continue
    ((right, form),) = taken
    assert form.lstrip("0") == (stem + right).lstrip("0")
    assert len(form) == 14
    place = data.draw(st.integers(0, length - 1))
    other = data.draw(st.sampled_from([digit for digit in string.digits if digit != stem[place]]))
    changed = stem[:place] + other + stem[place + 1 :] + right
    try:
        check_gtin(changed)
    except InvalidInput as refused:
        assert refused.faults[0].code == "gtin_check_digit"
    else:
        raise AssertionError(f"{changed} was taken")
