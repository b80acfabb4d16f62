"""Numbers that are nearly the one asked for: mistyped, misread, half worn off. Pure.

Every number one edit away (a character changed, left out, put in, or two neighbours swapped) is found
wherever the edit is, by listing all such numbers; those two edits away are found where the first
characters agree.
"""

from typing import Final, Literal

from rapidfuzz.distance import OSA

from api.errors import InvalidInput
from api.wear_parts.numbers import GTIN_FORM_LENGTH, GTIN_LENGTHS, check_gtin

GtinState = Literal["right", "wrong_check_digit", "not_a_gtin"]
LETTERS_AND_DIGITS: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
LONGEST_EDITED: Final = 32
"""Most characters of a number whose neighbours are listed (our judgement: some 2,400 of them)."""

SHORTEST_TWO_EDITS: Final = 6
"""Fewest characters of a number of which two may be wrong (our judgement)."""

SHARED_START: Final = 3
"""How many first characters have to agree for two edits to be looked for (our judgement)."""


def one_edit_away(form: str) -> frozenset[str]:
    """Return every number of capital letters and digits that is one edit from a normalised number.

    A GTIN of fewer than 14 digits is also taken as its 14. Nothing for a number longer than
    `LONGEST_EDITED`.
    """
    found: set[str] = set()
    for base in looked_up_as(form):
        if len(base) <= LONGEST_EDITED:
            found |= _edits(base)
    return frozenset(found - {form})


def looked_up_as(form: str) -> tuple[str, ...]:
    """Return a normalised number and, where it has the length of a GTIN, its 14 digits."""
    is_digits = form.isascii() and form.isdigit()
    if is_digits and len(form) in GTIN_LENGTHS and len(form) < GTIN_FORM_LENGTH:
        return form, form.zfill(GTIN_FORM_LENGTH)
    return (form,)


def edits_between(form: str, other: str) -> int:
    """Return how many edits lie between a number asked for and a stored one, the fewer of its forms."""
    return min(int(OSA.distance(base, other)) for base in looked_up_as(form))


def most_edits(form: str) -> int:
    """Return how many edits may lie between two numbers that are called near."""
    return 2 if len(form) >= SHORTEST_TWO_EDITS else 1


def gtin_state(text: str) -> tuple[GtinState, str | None, str | None]:
    """Return whether a text is a GTIN (`right`, `wrong_check_digit`, `not_a_gtin`), its 14 digits where
    it is, and what was expected where only its check digit is wrong."""
    try:
        return "right", check_gtin(text), None
    except InvalidInput as refused:
        fault = refused.faults[0]
        if fault.code == "gtin_check_digit":
            return "wrong_check_digit", None, fault.expected
        return "not_a_gtin", None, None


def _edits(base: str) -> set[str]:
    cuts = [(base[:place], base[place:]) for place in range(len(base) + 1)]
    found = {head + tail[1:] for head, tail in cuts if tail}
    found |= {head + char + tail[1:] for head, tail in cuts if tail for char in LETTERS_AND_DIGITS}
    found |= {head + char + tail for head, tail in cuts for char in LETTERS_AND_DIGITS}
    found |= {head + tail[1] + tail[0] + tail[2:] for head, tail in cuts if len(tail) > 1}
    return found - {""}
