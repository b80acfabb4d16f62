"""Entity tags as RFC 9110 compares and lists them, and the order in which conditions are judged."""

from contextlib import suppress
from typing import Literal

import pytest

from api.wire.conditions import (
    LONGEST,
    HeaderRefused,
    PreconditionFailed,
    PreconditionRequired,
    check_conditions,
    is_unchanged,
    read_tags,
)

Comparison = Literal["strong", "weak"]

TABLE_3 = [
    # RFC 9110 section 8.8.3.2, table 3: ETag 1, ETag 2, strong comparison, weak comparison
    ('W/"1"', 'W/"1"', False, True),
    ('W/"1"', 'W/"2"', False, False),
    ('W/"1"', '"1"', False, True),
    ('"1"', '"1"', True, True),
]


@pytest.mark.parametrize(
    ("sent", "own", "strong", "weak"), [row for row in TABLE_3 if not row[1].startswith("W/")]
)
def test_tags_compare_as_the_standards_table_says(sent: str, own: str, strong: bool, weak: bool) -> None:
    """The service's own tags are strong, so that the rows with two weak ones meet nothing here."""
    tags = read_tags("If-Match", sent)
    assert tags.matches(own, "strong") is strong
    assert tags.matches(own, "weak") is weak


@pytest.mark.parametrize("comparison", ["strong", "weak"])
@pytest.mark.parametrize("sent", ['W/"2"', '"2"', '""', '"W/1"', '"01"'])
def test_a_tag_of_other_characters_never_matches(sent: str, comparison: Comparison) -> None:
    assert not read_tags("If-Match", sent).matches('"1"', comparison)


@pytest.mark.parametrize(
    ("sent", "strong", "weak"),
    [
        # RFC 9110 sections 13.1.1, 13.1.2 and 8.8.3: the examples of the standard
        ('"xyzzy"', ['"xyzzy"'], []),
        ('"xyzzy", "r2d2xxxx", "c3piozzzz"', ['"xyzzy"', '"r2d2xxxx"', '"c3piozzzz"'], []),
        ('W/"xyzzy"', [], ['"xyzzy"']),
        ('W/"xyzzy", W/"r2d2xxxx", W/"c3piozzzz"', [], ['"xyzzy"', '"r2d2xxxx"', '"c3piozzzz"']),
        ('""', ['""'], []),
        # RFC 9110 section 5.6.1.2: a reader passes over empty elements
        (', "a" ,, \t W/"b" ,', ['"a"'], ['"b"']),
        # section 8.8.3: a comma or an apostrophe is a character of a tag, a blank and a quote are not
        ('"a,b","it\'s"', ['"a,b"', '"it\'s"'], []),
        ('"\xe9\xff"', ['"\xe9\xff"'], []),
    ],
)
def test_a_list_of_tags_is_read(sent: str, strong: list[str], weak: list[str]) -> None:
    tags = read_tags("If-None-Match", sent)
    assert (list(tags.strong), list(tags.weak), tags.everything) == (strong, weak, False)


@pytest.mark.parametrize("sent", ["*", " * "])
def test_an_asterisk_stands_for_every_tag(sent: str) -> None:
    tags = read_tags("If-Match", sent)
    assert tags.everything and tags.matches('"1"', "strong") and tags.matches('"1"', "weak")


@pytest.mark.parametrize(
    "sent",
    [
        "",
        " ",
        ",",
        "xyzzy",
        "'xyzzy'",
        '"a" "b"',
        '"a""b"',
        '"a"b"',
        '"a',
        'a"',
        'w/"a"',
        'W/ "a"',
        "W/a",
        '"a", *',
        '*, "a"',
        "**",
        '"a b"',
        '"a\x7f"',
        '"a\n"',
        '"a",b',
        '"' + "a" * LONGEST + '"',
    ],
)
def test_what_is_no_list_of_tags_is_refused(sent: str) -> None:
    for header in ("If-Match", "If-None-Match"):
        with pytest.raises(HeaderRefused) as refused:
            read_tags(header, sent)
        assert header in refused.value.explain()


@pytest.mark.parametrize("sent", [",\t" * 4_999, " ," * 4_999 + '"', '"a" ' + " " * 9_900, '"a" , ' * 1_600])
def test_a_long_field_is_judged_at_once(sent: str) -> None:
    """Each blank and comma is looked at a few times at most: ten thousand pass in well under a second."""
    with suppress(HeaderRefused):
        assert read_tags("If-Match", sent).strong


def test_a_list_as_long_as_may_be_is_read_whole() -> None:
    tags = [f'"{number}"' for number in range(1_200)]
    assert read_tags("If-Match", ",".join(tags)).strong == tuple(tags)


OWN = '"now"'


@pytest.mark.parametrize(
    ("if_match", "if_none_match", "raised", "header"),
    [
        # RFC 9110 section 13.2.2: step 1 is If-Match, step 3 is If-None-Match; either ends a write with 412
        ('"now"', None, None, ""),
        ('"before", "now"', None, None, ""),
        ("*", None, None, ""),
        ('"before"', None, PreconditionFailed, "If-Match"),
        ('W/"now"', None, PreconditionFailed, "If-Match"),
        ('"now"', '"before"', None, ""),
        ('"now"', '"now"', PreconditionFailed, "If-None-Match"),
        ('"now"', 'W/"now"', PreconditionFailed, "If-None-Match"),
        ('"now"', "*", PreconditionFailed, "If-None-Match"),
        ('"before"', '"now"', PreconditionFailed, "If-Match"),
        ('"before"', "no tag", PreconditionFailed, "If-Match"),
        ("no tag", '"now"', HeaderRefused, "If-Match"),
        (None, '"now"', PreconditionFailed, "If-None-Match"),
        (None, "*", PreconditionFailed, "If-None-Match"),
        # RFC 6585 section 3: a change that names no state it is for
        (None, None, PreconditionRequired, ""),
        (None, '"before"', PreconditionRequired, ""),
    ],
)
def test_a_change_is_judged_in_the_standards_order(
    if_match: str | None, if_none_match: str | None, raised: type[Exception] | None, header: str
) -> None:
    if raised is None:
        check_conditions(OWN, if_match, if_none_match)
        return
    with pytest.raises(raised) as refused:
        check_conditions(OWN, if_match, if_none_match)
    assert getattr(refused.value, "header", "") == header


@pytest.mark.parametrize(
    ("sent", "taken"),
    [
        ('"own.now"', True),
        ('"own.before"', True),
        ('"before", "own.before"', True),
        ('W/"own.now"', False),
        ('"other.now"', False),
        ('"ow.now"', False),
        ('"own"', False),
        ('".now"', False),
    ],
)
def test_a_change_is_for_the_things_own_state_and_a_reader_has_all_of_an_answer(
    sent: str, taken: bool
) -> None:
    """The half before the dot is the thing's own state: what else is told of it is no conflict (13.1.1)."""
    tag = '"own.now"'
    if taken:
        check_conditions(tag, sent, None)
    else:
        with pytest.raises(PreconditionFailed):
            check_conditions(tag, sent, None)
    assert is_unchanged(tag, None, sent) is ("own.now" in sent)


@pytest.mark.parametrize(
    ("if_match", "if_none_match", "unchanged"),
    [
        (None, None, False),
        (None, '"now"', True),
        (None, 'W/"now"', True),
        (None, '"before", W/"now"', True),
        (None, "*", True),
        (None, '"before"', False),
        ('"now"', None, False),
        ('"now"', '"now"', True),
        ("*", '"now"', True),
        ('"now"', '"before"', False),
    ],
)
def test_a_reader_is_told_that_nothing_changed(
    if_match: str | None, if_none_match: str | None, unchanged: bool
) -> None:
    """RFC 9110 section 13.2.2, step 3: 304 for GET and HEAD; compared weakly (section 13.1.2)."""
    assert is_unchanged(OWN, if_match, if_none_match) is unchanged


@pytest.mark.parametrize("if_match", ['"before"', 'W/"now"'])
@pytest.mark.parametrize("if_none_match", [None, '"now"', '"before"'])
def test_a_reader_whose_state_is_gone_is_told_so_first(if_match: str, if_none_match: str | None) -> None:
    with pytest.raises(PreconditionFailed):
        is_unchanged(OWN, if_match, if_none_match)
