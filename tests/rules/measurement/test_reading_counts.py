"""Counts are plain whole numbers."""

import pytest

from api.measurement.counts import parse_count
from api.measurement.refusals import UnreadableCount


@pytest.mark.parametrize(
    ("value", "count"),
    [("9", 9), (" 13 ", 13), ("+4", 4), ("１１", 11), (9, 9), (0, 0), ("999", 999), ("009", 9)],
)
def test_a_count_is_read(value: str | int, count: int) -> None:
    assert parse_count(value) == count


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("", "empty"),
        pytest.param("9" * 10_000, "too_long", id="10000 digits"),
        ("9\x00", "control_character"),
        ("9.0", "not_whole"),
        ("9 teeth", "not_whole"),
        ("1e3", "not_whole"),
        ("½", "not_whole"),
        ("²", "not_whole"),
        ("nan", "not_whole"),
        (True, "not_whole"),
        (-1, "negative"),
        ("-1", "negative"),
        (1000, "too_large"),
        ("1000", "too_large"),
        pytest.param(10**20_000, "too_large", id="20001 digits"),
        pytest.param(-(10**20_000), "negative", id="20001 digits below zero"),
    ],
)
def test_anything_else_is_refused_with_its_code(value: str | int, code: str) -> None:
    with pytest.raises(UnreadableCount) as refused:
        parse_count(value)
    assert refused.value.code == code
    assert "a whole number from 0 to 999" in refused.value.explain()
    assert len(refused.value.value) <= 80
