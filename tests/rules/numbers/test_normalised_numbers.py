"""Numbers are compared without case, spaces, dashes and other marks."""

import pytest

from api.errors import FieldFault, InvalidInput
from api.wear_parts.numbers import LONGEST_NUMBER, check_gtin, comparison_forms, normalise_number


def fault_of(text: str) -> FieldFault:
    with pytest.raises(InvalidInput) as refused:
        normalise_number(text)
    (fault,) = refused.value.faults
    return fault


@pytest.mark.parametrize(
    "written",
    [
        "AB125C",
        "ab125c",
        "AB-12.5/C",
        " ab 12 5 c ",
        "AB–12·5_C",
        "(AB) 12,5:C",
        "ＡＢ１２５Ｃ",
        "A\u00adB125C",
    ],
)
def test_ways_of_writing_one_number_are_equal(written: str) -> None:
    assert normalise_number(written) == "AB125C"


def test_letters_are_not_taken_for_digits() -> None:
    assert len({normalise_number(text) for text in ("O1", "01", "OI", "0I")}) == 4


def test_letters_of_other_alphabets_stay() -> None:
    assert normalise_number("ж-12 é") == "Ж12É"
    assert normalise_number("E\u0301-1") == normalise_number("É1")


@pytest.mark.parametrize("written", ["", " ", "--/.", "…", "\u0301"])
def test_number_without_letters_or_digits_is_refused(written: str) -> None:
    fault = fault_of(written)
    assert (fault.code, fault.path) == ("no_letters_or_digits", ())
    assert "letters and digits" in fault.expected


def test_number_is_bounded_as_written_and_as_compared() -> None:
    assert len(normalise_number("9" * LONGEST_NUMBER)) == LONGEST_NUMBER
    assert fault_of("9" * (LONGEST_NUMBER + 1)).code == "too_long"
    assert fault_of("-" * 1_000_000).code == "too_long"
    assert fault_of("\ufdfa" * 10).code == "too_long"  # one ligature unfolds into eighteen letters


def test_search_for_a_gtin_looks_for_its_fourteen_digits_too() -> None:
    assert comparison_forms("0-36000-24145-7") == ("036000241457", "00036000241457")
    assert comparison_forms("00036000241457") == ("00036000241457",)
    assert comparison_forms("036000241458") == ("036000241458",)
    assert comparison_forms("ab-1") == ("AB1",)


@pytest.mark.parametrize(
    ("written", "code", "expected"),
    [
        ("6291041500214", "gtin_check_digit", "3 as the last digit"),
        ("629104150021", "gtin_check_digit", "4 as the last digit"),
        ("62910416", "gtin_check_digit", "5 as the last digit"),
        ("12345", "gtin_length", "not 5"),
        ("629104150021E", "gtin_not_digits", "8, 12, 13 or 14 digits"),
        ("٦٢٩١٠٤١٥٠٠٢١٣", "gtin_not_digits", ""),
        ("", "gtin_not_digits", ""),
        ("1" * 100_000, "gtin_length", "not 100000"),
    ],
)
def test_wrong_gtin_is_refused_with_the_reason(written: str, code: str, expected: str) -> None:
    with pytest.raises(InvalidInput) as refused:
        check_gtin(written)
    (fault,) = refused.value.faults
    assert fault.code == code
    assert expected in fault.expected
    assert len(fault.value) <= 80


def test_full_width_digits_and_dashes_are_read_as_their_kin() -> None:
    assert check_gtin("６２９１０４１５００２１３") == check_gtin("629–1041-500213") == "06291041500213"
