"""Lengths: read exactly from what people write, held as integer nanometres, written back exactly."""

import re
from fractions import Fraction

import attrs

from api.measurement.characters import plain
from api.measurement.refusals import UnreadableLength
from api.measurement.units import ACCEPTED_UNITS, FEET, NM_PER_UNIT, UNIT_BY_NAME, parse_unit, unknown_unit

GREATEST_LENGTH_NM = 10_000_000_000
"""Ten metres: longer than anything a starter holds (our judgement)."""

EXPECTED = "a length with its unit, such as 12.62 mm, 0.497 in or 31/64 in"

MOST_DECIMALS = 12
"""Most decimals that `format_length` can be asked for."""

_FRACTION = re.compile(r"([-+]?) ?(?:(\d+)(?: ?- ?| ))?(\d+) ?/ ?(\d+)(?![\d.,/])", re.ASCII)
_DECIMAL = re.compile(r"([-+]?) ?(\d*)(?:[.,](\d+))?", re.ASCII)
_SEVERAL_SEPARATORS = re.compile(r"[-+]? ?\d*[.,]\d*[.,]", re.ASCII)
_NOT_FINITE = re.compile(r"[-+]? ?(?:nan|infinity|inf|∞)(?![a-z])", re.ASCII)
_EXPONENT = re.compile(r"e ?[-+]?\d", re.ASCII)
_MARK = re.compile(r"""["']|[a-z]+\.?""", re.ASCII)


@attrs.frozen
class Length:
    """A positive length of whole nanometres, and how finely its text resolves it.

    `resolution_nm` is one unit of the text's last decimal, or one part of the fraction as written
    (`31/64 in` resolves to 1/64 in); None where the length came from no text. `is_fraction` tells
    the two apart.
    """

    nm: int
    resolution_nm: Fraction | None = None
    is_fraction: bool = False


def parse_length(text: str, default_unit: str | None = None) -> Length:
    """Return the length that `text` states.

    Takes a decimal (point or comma: a comma is a decimal mark, never a thousands mark), a fraction
    or a whole number with a fraction (`1 1/16`, `1-1/16`, `1½`), then a unit, with or without a
    space; `default_unit` (any name that `parse_unit` takes) stands in for a missing one, for a
    fraction only where it is the inch. More than zero, at most 10 m, at most 40 characters, no
    exponents, no feet.

    Returns whole nanometres; what falls between two (1/3 in) is rounded half to even.

    Raises `UnreadableLength`, whose codes tell each reason apart.
    """
    written = plain(text, UnreadableLength, EXPECTED).casefold()
    number, part, is_fraction, rest = _read_number(text, written)
    unit = _read_unit(text, rest, default_unit, is_fraction)
    exact = number * NM_PER_UNIT[unit]
    if exact > GREATEST_LENGTH_NM:
        raise _refuse(text, "too_large", "a length of at most 10 m")
    nm = round(exact)
    if nm < 1:
        raise _refuse(text, "too_small", "a length of at least one nanometre")
    return Length(nm, part * NM_PER_UNIT[unit], is_fraction)


def format_length(nm: int, unit: str = "mm", digits: int | None = None) -> str:
    """Return a length as text with its unit, such as `12.500 mm`; reading it back gives `nm` again.

    `nm` is any integer of nanometres, also zero or negative (a gap). `digits` is the least number
    of decimals, 0 to 12 (by default 3, for um and thou none); more are written where a nanometre
    would be lost. Raises ValueError for an unknown unit code or number of decimals.
    """
    if unit not in NM_PER_UNIT:
        raise ValueError(f"{unit!r} is no unit code")
    decimals = (0 if unit in {"um", "thou"} else 3) if digits is None else digits
    if not 0 <= decimals <= MOST_DECIMALS:
        raise ValueError(f"{digits} decimals cannot be written; 0 to {MOST_DECIMALS} can")
    per_unit, size = NM_PER_UNIT[unit], abs(nm)
    scaled = _divide(size * 10**decimals, per_unit)
    while _divide(scaled * per_unit, 10**decimals) != size:
        decimals += 1
        scaled = _divide(size * 10**decimals, per_unit)
    whole, part = divmod(scaled, 10**decimals)
    tail = f".{part:0{decimals}d}" if decimals else ""
    return f"{'-' if nm < 0 else ''}{whole}{tail} {unit}"


def millimetres(nm: int) -> float:
    """Return nanometres as the millimetre number nearest to them, for answers and drawings."""
    return nm / NM_PER_UNIT["mm"]


def _divide(dividend: int, divisor: int) -> int:
    """Return the quotient of two positive integers rounded half to even."""
    quotient, left = divmod(dividend, divisor)
    return quotient + (2 * left > divisor or (2 * left == divisor and quotient % 2 == 1))


def _refuse(text: str, code: str, expected: str = EXPECTED) -> UnreadableLength:
    return UnreadableLength.because(text, expected, code)


def _read_number(text: str, written: str) -> tuple[Fraction, Fraction, bool, str]:
    """Return the number, the part it resolves to, whether it is a fraction, and what follows it."""
    if _NOT_FINITE.match(written):
        raise _refuse(text, "not_finite")
    if _SEVERAL_SEPARATORS.match(written):
        raise _refuse(text, "ambiguous_number", f"{EXPECTED}, with one decimal mark and no thousands mark")
    fraction = _FRACTION.match(written)
    match = fraction or _DECIMAL.match(written)
    if match is None or not any(match.groups()[1:]):
        raise _refuse(text, "unreadable")
    if match[1] == "-":
        raise _refuse(text, "negative", "a length above zero")
    number, part = _fraction(text, match) if fraction else _decimal(match)
    if number == 0:
        raise _refuse(text, "zero", "a length above zero")
    return number, part, fraction is not None, written[match.end() :].strip()


def _decimal(match: re.Match[str]) -> tuple[Fraction, Fraction]:
    whole, decimals = match[2], match[3] or ""
    part = Fraction(1, 10 ** len(decimals))
    return int(whole + decimals) * part, part


def _fraction(text: str, match: re.Match[str]) -> tuple[Fraction, Fraction]:
    numerator, denominator = int(match[3]), int(match[4])
    if denominator == 0:
        raise _refuse(text, "zero_denominator", "a fraction whose lower number is not zero")
    if match[2] and numerator >= denominator:
        raise _refuse(
            text, "improper_fraction", "a whole number with a fraction below one, such as 1 1/16 in"
        )
    part = Fraction(1, denominator)
    return int(match[2] or "0") + numerator * part, part


def _read_unit(text: str, rest: str, default_unit: str | None, is_fraction: bool) -> str:
    """Return the unit code of what follows the number."""
    if rest in UNIT_BY_NAME:
        return UNIT_BY_NAME[rest]
    if not rest:
        return _default_unit(text, default_unit, is_fraction)
    marks = _MARK.findall(rest)
    if any(mark in FEET for mark in marks):
        raise _refuse(text, "feet", f"inches or millimetres, not feet ({ACCEPTED_UNITS})")
    if sum(mark in UNIT_BY_NAME for mark in marks) > 1:
        raise _refuse(text, "two_units", f"one unit ({ACCEPTED_UNITS})")
    if _EXPONENT.match(rest):
        raise _refuse(text, "exponent", f"{EXPECTED}, without an exponent")
    if re.search(r"[\d.,/+-]", rest):
        raise _refuse(text, "unreadable")
    raise unknown_unit(text, rest)


def _default_unit(text: str, default_unit: str | None, is_fraction: bool) -> str:
    if default_unit is None:
        raise _refuse(text, "no_unit", f"a unit after the number ({ACCEPTED_UNITS})")
    unit = parse_unit(default_unit)
    if is_fraction and unit != "in":
        raise _refuse(text, "no_unit", "a unit after the fraction, since fractions are mostly inches")
    return unit
