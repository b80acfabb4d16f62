"""Rates from strings, hours and chances from JSON numbers."""

import json
from fractions import Fraction

import pytest

from api.money.fractions import RateRefused, exact, number_text, parse_fraction


@pytest.mark.parametrize(
    ("text", "rate"),
    [
        ("0", Fraction(0)),
        ("0.05", Fraction(1, 20)),
        ("0.00000001", Fraction(1, 10**8)),
        ("1", Fraction(1)),
        ("1.00", Fraction(1)),
    ],
)
def test_rates_are_read_exactly(text: str, rate: Fraction) -> None:
    assert parse_fraction(text) == rate


@pytest.mark.parametrize(
    "text",
    [
        "",
        "5%",
        "0,05",
        ".05",
        "-0.1",
        "1.01",
        "2",
        "1e-2",
        "NaN",
        "inf",
        "1/20",
        "0.05\n",
        "0.123456789",
        "0" * 99,
    ],
)
def test_what_is_not_a_rate_is_refused(text: str) -> None:
    with pytest.raises(RateRefused) as refused:
        parse_fraction(text)
    assert "'0.05' for 5 %" in refused.value.explain()
    fault = refused.value.fault("tax", "parts")
    assert (fault.path, fault.code) == (("tax", "parts"), "not_a_rate")


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("0.1", Fraction(1, 10)),
        ("1.2", Fraction(6, 5)),
        ("3", Fraction(3)),
        ("1e-3", Fraction(1, 1000)),
        ("-0.0", 0),
    ],
)
def test_a_json_number_means_the_decimal_that_was_written(written: str, value: Fraction) -> None:
    assert exact(json.loads(written)) == value


def test_numbers_in_sentences_are_short() -> None:
    assert number_text(Fraction(6, 5)) == "1.2"
    assert number_text(Fraction(1, 3)) == "0.333333"
