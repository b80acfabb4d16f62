"""Numbers on parts and starters: how they are compared, and the check digit of a GTIN. Pure.

No letter is taken for a digit (O for 0, I for 1): numbers that differ so are near, not equal.
"""

import unicodedata

from stdnum import ean

from api.errors import FieldFault, InvalidInput, shown

LONGEST_NUMBER = 64
"""Most characters of a number, as written and in normalised form (our judgement)."""

_MARKS = dict.fromkeys(code for code in range(128) if not chr(code).isalnum())
"""Deletes the marks of ASCII: what is left of a text in ASCII has no compatibility forms."""

GTIN_LENGTHS = (8, 12, 13, 14)
GTIN_FORM_LENGTH = 14
EXPECTED_NUMBER = f"letters and digits, {LONGEST_NUMBER} characters at most"
EXPECTED_GTIN = "a GTIN of 8, 12, 13 or 14 digits"


def normalise_number(text: str) -> str:
    """Return the form in which two numbers are compared: capital letters and digits only.

    Compatibility forms unfold (NFKC), case goes, and with it spaces, dashes, dots, slashes and every
    other mark: `ab-12.5/c` and `AB125C` are the same. Takes at most `LONGEST_NUMBER` characters.

    Raises `InvalidInput` with one fault (empty path), code `too_long` or `no_letters_or_digits`.
    """
    if len(text) > LONGEST_NUMBER:
        raise _refuse(text, EXPECTED_NUMBER, "too_long")
    form = _fold(text)
    if not form:
        raise _refuse(text, EXPECTED_NUMBER, "no_letters_or_digits")
    if len(form) > LONGEST_NUMBER:
        raise _refuse(text, EXPECTED_NUMBER, "too_long")
    return form


def check_gtin(text: str) -> str:
    """Return a GTIN as its 14 digits, so that UPC-12, EAN-13 and GTIN-14 of one item are equal.

    Spaces and dashes between the digits are passed over. Source: GS1 General Specifications, check
    digit modulo 10 with weight 3 next to it, as `python-stdnum` computes it.

    Raises `InvalidInput` with one fault (empty path), code `gtin_not_digits`, `gtin_length` or
    `gtin_check_digit`, the last with the digit that was expected.
    """
    digits = ean.compact(text) if len(text) <= LONGEST_NUMBER else text
    if not (digits.isascii() and digits.isdigit()):
        raise _refuse(text, EXPECTED_GTIN, "gtin_not_digits")
    if len(digits) not in GTIN_LENGTHS:
        raise _refuse(text, f"{EXPECTED_GTIN}, not {len(digits)}", "gtin_length")
    if not ean.is_valid(digits):
        right = ean.calc_check_digit(digits[:-1])
        raise _refuse(text, f"{right} as the last digit, the check digit", "gtin_check_digit")
    return digits.zfill(GTIN_FORM_LENGTH)


def comparison_forms(text: str) -> tuple[str, ...]:
    """Return every form under which a searched number may be stored.

    The normalised form and, where the text is a valid GTIN, its 14 digits. Raises as
    `normalise_number` does.
    """
    form = normalise_number(text)
    try:
        gtin = check_gtin(text)
    except InvalidInput:
        return (form,)
    return (form,) if gtin == form else (form, gtin)


def _fold(text: str) -> str:
    if text.isascii():
        return text.upper().translate(_MARKS)
    upper = unicodedata.normalize("NFKC", text).upper()
    # once more at the end: syllables of Hangul that a dropped mark kept apart join
    return unicodedata.normalize("NFKC", "".join(char for char in upper if char.isalnum()))


def _refuse(text: str, expected: str, code: str) -> InvalidInput:
    return InvalidInput((FieldFault((), shown(text), expected, code),))
