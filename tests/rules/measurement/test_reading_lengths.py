"""What a length may look like, and what each refusal says."""

from fractions import Fraction

import pytest

from api.errors import FieldFault
from api.measurement.lengths import Length, format_length, millimetres, parse_length
from api.measurement.refusals import UnreadableLength
from api.measurement.units import parse_unit


@pytest.mark.parametrize(
    ("text", "nm"),
    [
        ("12.62 mm", 12_620_000),
        ("12.62mm", 12_620_000),
        ("  12.62\u00a0MM\r\n", 12_620_000),
        ("+12.62 mm", 12_620_000),
        ("12,62 mm", 12_620_000),
        ("1,234 mm", 1_234_000),
        (".5 in", 12_700_000),
        (",5 in", 12_700_000),
        ("1.262 cm", 12_620_000),
        ("2 centimetres", 20_000_000),
        ("12620 µm", 12_620_000),
        ("12620 μm", 12_620_000),
        ("40 microns", 40_000),
        ("0.497 in", 12_623_800),
        ("0.497 in.", 12_623_800),
        ('0.497"', 12_623_800),
        ("0.497″", 12_623_800),
        ("0.497”", 12_623_800),
        ("1 inch", 25_400_000),
        ("497 thou", 12_623_800),
        ("497 mil", 12_623_800),
        ("31/64 in", 12_303_125),
        ("31 / 64 in", 12_303_125),
        ("31⁄64 in", 12_303_125),
        ('1-1/16"', 26_987_500),
        ("1–1/16″", 26_987_500),
        ("1 1/16 in", 26_987_500),
        ("1½ in", 38_100_000),
        ("1 ½ in", 38_100_000),
        ("1-½ in", 38_100_000),
        ("½ in", 12_700_000),
        ("⅟64 in", 396_875),
        ("17/16 in", 26_987_500),
        ("0 1/2 in", 12_700_000),
        ("１２．６２ｍｍ", 12_620_000),
        ("12.62㎜", 12_620_000),
        ("12㎛", 12_000),
        ("10000 mm", 10_000_000_000),
        ("0.000001 mm", 1),
    ],
)
def test_a_length_is_read_exactly(text: str, nm: int) -> None:
    assert parse_length(text).nm == nm


def test_a_vulgar_fraction_after_a_whole_number_is_not_run_together_with_it() -> None:
    assert parse_length("1½ in").nm != parse_length("11/2 in").nm


@pytest.mark.parametrize(
    ("text", "nm"),
    [
        ("1/3 in", 8_466_667),  # 8 466 666.67
        ("0.0000015 mm", 2),  # halves go to the even neighbour
        ("0.0000025 mm", 2),
    ],
)
def test_what_falls_between_two_nanometres_is_rounded_half_to_even(text: str, nm: int) -> None:
    assert parse_length(text).nm == nm


@pytest.mark.parametrize(
    ("text", "resolution_nm", "is_fraction"),
    [
        ("12.62 mm", Fraction(10_000), False),
        ("12.620 mm", Fraction(1_000), False),
        ("12 mm", Fraction(1_000_000), False),
        ("0.497 in", Fraction(25_400), False),
        ("31/64 in", Fraction(396_875), True),
        ("32/64 in", Fraction(396_875), True),
        ("1½ in", Fraction(12_700_000), True),
        ("1/3 in", Fraction(25_400_000, 3), True),
    ],
)
def test_a_text_tells_how_finely_it_resolves(text: str, resolution_nm: Fraction, is_fraction: bool) -> None:
    length = parse_length(text)
    assert (length.resolution_nm, length.is_fraction) == (resolution_nm, is_fraction)


def test_the_default_unit_stands_in_for_a_missing_one_only() -> None:
    assert parse_length("12,62", "mm").nm == 12_620_000
    assert parse_length("31/64", "inch").nm == 12_303_125
    assert parse_length("0.497 in", "mm").nm == 12_623_800


def test_a_bare_fraction_is_not_taken_as_millimetres() -> None:
    with pytest.raises(UnreadableLength) as refused:
        parse_length("31/64", "mm")
    assert refused.value.code == "no_unit"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "empty"),
        (" \t ", "empty"),
        pytest.param("9" * 10_000 + " mm", "too_long", id="10000 digits"),
        ("12\x00mm", "control_character"),
        ("12\u200bmm", "control_character"),
        pytest.param("12 \ud800", "control_character", id="lone surrogate"),
        ("nan", "not_finite"),
        ("NaN mm", "not_finite"),
        ("inf mm", "not_finite"),
        ("-Infinity mm", "not_finite"),
        ("∞ mm", "not_finite"),
        ("1e400", "exponent"),
        ("1e400 mm", "exponent"),
        ("12.5E-3 in", "exponent"),
        ("mm", "unreadable"),
        ("-", "unreadable"),
        ("abc", "unreadable"),
        ("mm 12", "unreadable"),
        ("12. mm", "unreadable"),
        ("12 5 mm", "unreadable"),
        ("12-13 mm", "unreadable"),
        ("½5 in", "unreadable"),
        ("½½ in", "unreadable"),
        ("1.5 1/2 in", "unreadable"),
        ("1/2/3 in", "unreadable"),
        ("1/2.5 in", "unreadable"),
        ("٣ mm", "unreadable"),
        ("1,234.5 mm", "ambiguous_number"),
        ("1.234,5 mm", "ambiguous_number"),
        ("1,234,567 um", "ambiguous_number"),
        ("1..2 mm", "ambiguous_number"),
        ("-12 mm", "negative"),
        ("−12 mm", "negative"),
        ("-1-1/16 in", "negative"),
        ("0 mm", "zero"),
        ("0.000 in", "zero"),
        ("0/64 in", "zero"),
        ("31/0 in", "zero_denominator"),
        ("1 17/16 in", "improper_fraction"),
        ("12.62", "no_unit"),
        ("12 furlong", "unknown_unit"),
        ("12² mm", "unknown_unit"),
        ("12 m", "unknown_unit"),
        ('12 mm"', "two_units"),
        ("12 mm 0.5 in", "two_units"),
        ("12 in mm", "two_units"),
        ("1'", "feet"),
        ("1′ 2″", "feet"),
        ("12''", "feet"),
        ("1 ft", "feet"),
        ("0.0000001 mm", "too_small"),
        ("10000.000001 mm", "too_large"),
        ("9" * 30 + " mm", "too_large"),
    ],
)
def test_each_refusal_has_its_own_code(text: str, code: str) -> None:
    with pytest.raises(UnreadableLength) as refused:
        parse_length(text)
    assert refused.value.code == code
    assert refused.value.explain().startswith(repr(refused.value.value))
    assert len(refused.value.value) <= 80
    assert refused.value.value.isprintable()


@pytest.mark.parametrize(
    ("unit", "nearest"), [("milimeter", "mm"), ("inchs", "in"), ("m", "mm"), ("thuo", "thou"), ("qq", None)]
)
def test_an_unknown_unit_is_answered_with_the_nearest_one(unit: str, nearest: str | None) -> None:
    with pytest.raises(UnreadableLength) as refused:
        parse_length(f"12 {unit}")
    assert refused.value.nearest == nearest
    assert ("nearest" in refused.value.explain()) == (nearest is not None)


def test_a_refusal_becomes_a_fault_at_its_path() -> None:
    with pytest.raises(UnreadableLength) as refused:
        parse_length("12 xyz")
    fault = refused.value.as_fault("readings", "bore")
    assert fault == FieldFault(
        ("readings", "bore"), "12 xyz", "a unit that is known (mm, cm, um, in or thou)", "unknown_unit"
    )


@pytest.mark.parametrize(("text", "code"), [("MM", "mm"), (" Inch ", "in"), ("″", "in"), ("µm", "um")])
def test_a_unit_is_known_by_its_names(text: str, code: str) -> None:
    assert parse_unit(text) == code


def test_an_unknown_default_unit_is_refused_by_its_own_name() -> None:
    with pytest.raises(UnreadableLength) as refused:
        parse_length("12.62", "zoll")
    assert (refused.value.value, refused.value.code) == ("zoll", "unknown_unit")


@pytest.mark.parametrize(
    ("nm", "unit", "digits", "text"),
    [
        (12_500_000, "mm", None, "12.500 mm"),
        (12_303_125, "mm", None, "12.303125 mm"),
        (12_620_000, "mm", 2, "12.62 mm"),
        (12_625_000, "mm", 2, "12.625 mm"),
        (12_000_000, "mm", 0, "12 mm"),
        (12_623_800, "in", None, "0.497 in"),
        (1, "in", None, "0.00000004 in"),
        (12_620_000, "cm", None, "1.262 cm"),
        (12_620_000, "um", None, "12620 um"),
        (12_623_800, "thou", None, "497 thou"),
        (-102_000, "mm", None, "-0.102 mm"),
        (0, "mm", None, "0.000 mm"),
    ],
)
def test_a_length_is_written_without_losing_a_nanometre(
    nm: int, unit: str, digits: int | None, text: str
) -> None:
    assert format_length(nm, unit, digits) == text


@pytest.mark.parametrize(("unit", "digits"), [("furlong", None), ("mm", -1), ("mm", 13)])
def test_writing_in_an_unknown_unit_or_with_odd_decimals_is_a_mistake_of_the_caller(
    unit: str, digits: int | None
) -> None:
    with pytest.raises(ValueError, match=r"no unit code|cannot be written"):
        format_length(1, unit, digits)


def test_millimetres_are_the_nearest_number() -> None:
    assert millimetres(12_620_000) == 12.62
    assert millimetres(Length(12_303_125).nm) == 12.303125
