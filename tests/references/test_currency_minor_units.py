"""Decimals of currencies against ISO 4217 (list published 2026-01-01).

Typed out here by hand, so that a release of the package that differs from it is noticed.
"""

import pytest

from api.money.currencies import CURRENCY_CODES, UnknownCurrency, find_currency

# ISO 4217, "Minor unit" column: 0, 3 and 4; N.A. for the last row; every other code has 2.
NO_DECIMALS = [
    *("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF"),
    *("UGX", "UYI", "VND", "VUV", "XAF", "XOF", "XPF"),
]
THREE_DECIMALS = ["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"]
FOUR_DECIMALS = ["CLF", "UYW"]
NO_MINOR_UNIT = ["XAU", "XAG", "XDR", "XTS", "XXX"]
# Codes whose everyday decimals (CLDR) are fewer than the standard's: the standard counts.
NOT_AS_SPOKEN = [
    *("AFN", "ALL", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS"),
    *("SYP", "YER", "HUF", "MRU"),
]


@pytest.mark.parametrize(
    ("codes", "digits"), [(NO_DECIMALS, 0), (THREE_DECIMALS, 3), (FOUR_DECIMALS, 4), (NOT_AS_SPOKEN, 2)]
)
def test_decimals_follow_the_standard(codes: list[str], digits: int) -> None:
    assert {code: find_currency(code).minor_digits for code in codes} == dict.fromkeys(codes, digits)


def test_every_other_code_has_two_decimals() -> None:
    special = {*NO_DECIMALS, *THREE_DECIMALS, *FOUR_DECIMALS}
    assert {find_currency(code).minor_digits for code in CURRENCY_CODES if code not in special} == {2}
    assert len(CURRENCY_CODES) > 150


@pytest.mark.parametrize("code", NO_MINOR_UNIT)
def test_codes_without_a_minor_unit_hold_no_price(code: str) -> None:
    with pytest.raises(UnknownCurrency):
        find_currency(code)
