"""GTIN check digits against published examples.

Sources, as given beside each: GS1's page on the check digit (gs1.org), GS1 Sweden's page on it, the
example of a UPC-A (published in many places, among them the GTIN articles of encyclopaedias), and
values computed with python-stdnum 2.2 for a stem that GS1 publishes. The modulo 10 rule with weights
3 and 1 is written out here once more, apart from the library that the project uses.
"""

import pytest

from api.errors import InvalidInput
from api.wear_parts.numbers import check_gtin

EXAMPLES = [
    ("629104150021", "3"),  # gs1.org, "How to calculate a check digit manually": sum 57
    ("730001100001", "7"),  # GS1 Sweden
    ("501234567890", "0"),  # stem published by GS1 UK; digit computed with python-stdnum 2.2
    ("03600024145", "7"),  # UPC-A, secondary source
    ("9638507", "4"),  # EAN-8, computed with python-stdnum 2.2
]


@pytest.mark.parametrize(("stem", "digit"), EXAMPLES)
def test_published_check_digit_is_taken_and_every_other_refused_with_it(stem: str, digit: str) -> None:
    assert check_gtin(stem + digit) == (stem + digit).zfill(14)
    for other in sorted(set("0123456789") - {digit}):
        with pytest.raises(InvalidInput) as refused:
            check_gtin(stem + other)
        assert refused.value.faults[0].expected.startswith(f"{digit} as the last digit")


@pytest.mark.parametrize(("stem", "digit"), EXAMPLES)
def test_examples_agree_with_the_rule_written_out(stem: str, digit: str) -> None:
    weighted = sum(int(char) * (3 if place % 2 == 0 else 1) for place, char in enumerate(reversed(stem)))
    assert (10 - weighted % 10) % 10 == int(digit)


def test_one_item_has_one_form_however_its_gtin_is_written() -> None:
    forms = {
        check_gtin(text) for text in ("036000241457", "0036000241457", "00036000241457", "0 36000 24145 7")
    }
    assert forms == {"00036000241457"}


def test_gtin_14_of_a_pack_is_another_than_that_of_its_content() -> None:
    # indicator digit 1: a grouping of the item, with a check digit of its own (GS1 General Specifications,
    # from memory; digit by the rule above: 1 00 36000 24145 -> 4)
    assert check_gtin("10036000241454") != check_gtin("036000241457")
