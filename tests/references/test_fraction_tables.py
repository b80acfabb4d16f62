"""Fractions of an inch and drill sizes against published tables."""

import pytest
import scipy.constants

from api.measurement.lengths import format_length, parse_length
from api.measurement.units import NM_PER_UNIT


# The inch and the mil of the reference library scipy.constants (CODATA conversion factors), in metres.
def test_the_inch_and_the_thou_are_those_of_the_reference_library() -> None:
    assert NM_PER_UNIT["in"] == round(scipy.constants.inch * 1e9)
    assert NM_PER_UNIT["thou"] == round(scipy.constants.mil * 1e9)


# Exact millimetres of common fractions, computed with the inch of GNU units 2.22 (25.4 mm).
EXACT_MM = {
    "1/64": "0.396875",
    "1/32": "0.79375",
    "3/64": "1.190625",
    "1/16": "1.5875",
    "1/8": "3.175",
    "15/64": "5.953125",
    "1/4": "6.35",
    "5/16": "7.9375",
    "21/64": "8.334375",
    "3/8": "9.525",
    "7/16": "11.1125",
    "31/64": "12.303125",
    "1/2": "12.7",
    "5/8": "15.875",
    "3/4": "19.05",
    "63/64": "25.003125",
}


@pytest.mark.parametrize(("fraction", "mm"), EXACT_MM.items())
def test_fractions_are_their_exact_millimetres(fraction: str, mm: str) -> None:
    length = parse_length(f"{fraction} in")
    assert length.nm == parse_length(f"{mm} mm").nm
    assert format_length(length.nm, "mm", 0) == f"{mm} mm"


# "Decimal Equivalents of Fractions of an Inch", table LXIII of a printed handbook of plumbing
# (Principles and Practice of Plumbing; read as public text on chestofbooks.com, where 3/64 is
# misprinted 3/62; corrected here).
DECIMAL_INCHES = """
1/8 .125  1/4 .250  3/8 .375  1/2 .500  5/8 .625  3/4 .750  7/8 .875
1/16 .0625  3/16 .1875  5/16 .3125  7/16 .4375  9/16 .5625  11/16 .6875  13/16 .8125  15/16 .9375
1/32 .03125  3/32 .09375  5/32 .15625  7/32 .21875  9/32 .28125  11/32 .34375  13/32 .40625  15/32 .46875
17/32 .53125  19/32 .59375  21/32 .65625  23/32 .71875  25/32 .78125  27/32 .84375  29/32 .90625  31/32 .96875
1/64 .015625  3/64 .046875  5/64 .078125  7/64 .109375  9/64 .140625  11/64 .171875  13/64 .203125
15/64 .234375  17/64 .265625  19/64 .296875  21/64 .328125  23/64 .359375  25/64 .390625  27/64 .421875
29/64 .453125  31/64 .484375  33/64 .515625  35/64 .546875  37/64 .578125  39/64 .609375  41/64 .640625
43/64 .671875  45/64 .703125  47/64 .734375  49/64 .765625  51/64 .796875  53/64 .828125  55/64 .859375
57/64 .890625  59/64 .921875  61/64 .953125  63/64 .984375
"""


def test_all_sixty_three_fractions_agree_with_a_printed_table() -> None:
    words = DECIMAL_INCHES.split()
    rows = dict(zip(words[::2], words[1::2], strict=True))
    assert len(rows) == 63
    for fraction, decimal in rows.items():
        assert parse_length(f"{fraction}″").nm == parse_length(f"{decimal} in").nm, fraction


# Millimetre column, to four decimals, of a public shop chart of fractions (machinecalcs.com, "Decimal
# to fraction chart"); its last digit is rounded either way at a half.
MILLIMETRES = """
1/64 0.3969  1/32 0.7937  3/64 1.1906  1/16 1.5875  5/64 1.9844  3/32 2.3812  7/64 2.7781  1/8 3.1750
9/64 3.5719  5/32 3.9688  11/64 4.3656  3/16 4.7625  13/64 5.1594  7/32 5.5562  15/64 5.9531  1/4 6.3500
17/64 6.7469  9/32 7.1437  19/64 7.5406  5/16 7.9375  21/64 8.3344  11/32 8.7312  23/64 9.1281  3/8 9.5250
25/64 9.9219  13/32 10.3187  27/64 10.7156  7/16 11.1125  29/64 11.5094  15/32 11.9063  31/64 12.3031
1/2 12.7000  33/64 13.0969  17/32 13.4937  35/64 13.8906  9/16 14.2875  37/64 14.6844  19/32 15.0812
39/64 15.4781  5/8 15.8750  41/64 16.2719  21/32 16.6687  43/64 17.0656  11/16 17.4625  45/64 17.8594
23/32 18.2562  47/64 18.6531  3/4 19.0500  49/64 19.4469  25/32 19.8438  51/64 20.2406  13/16 20.6375
53/64 21.0344
"""


def test_millimetres_agree_with_a_public_shop_chart_to_its_last_digit() -> None:
    words = MILLIMETRES.split()
    assert len(words) == 2 * 53
    for fraction, mm in zip(words[::2], words[1::2], strict=True):
        assert abs(parse_length(f"{fraction} in").nm - parse_length(f"{mm} mm").nm) <= 50, fraction


# Number and letter drills in inches, from the drill gauge of GNU units 2.22; letter E is a quarter
# inch, which the same table gives as .250.
@pytest.mark.parametrize(
    ("inches", "thou", "nm"),
    [
        (".2055", "205.5", 5_219_700),  # number 5
        (".1935", "193.5", 4_914_900),  # number 10
        (".1695", "169.5", 4_305_300),  # number 18
        (".0400", "40", 1_016_000),  # number 60
        (".250", "250", 6_350_000),  # letter E
        (".413", "413", 10_490_200),  # letter Z
    ],
)
def test_drill_sizes_read_the_same_in_inches_and_in_thou(inches: str, thou: str, nm: int) -> None:
    assert parse_length(f"{inches} in").nm == parse_length(f"{thou} thou").nm == nm


def test_letter_e_is_a_quarter_inch() -> None:
    assert parse_length(".250 in").nm == parse_length("¼ in").nm
