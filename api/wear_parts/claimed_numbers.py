"""Numbers that name one thing alone: a GTIN, and what a maker calls a part or starter of his. Pure."""

from collections.abc import Iterable, Iterator

from api.wear_parts.check_part import own_number
from api.wear_parts.entries import NumberEntry

Claim = tuple[str, str | None, str]
"""Scheme, issuer and compared form."""


def claim_of(number: NumberEntry) -> Claim | None:
    """Return what a number claims for its item, or nothing where it may stand on several things.

    A GTIN names one thing of all (GS1 General Specifications); the number by which a maker calls a part or a
    starter names one of that maker's, however it is written (our judgement: a counter asks by number).
    """
    claim = (number.scheme, number.issuer, number.normalised)
    own = own_number(number.item)
    return claim if number.scheme == "gtin" or claim == (own.scheme, own.issuer, own.normalised) else None


def find_claimed_twice(numbers: Iterable[NumberEntry]) -> Iterator[tuple[NumberEntry, NumberEntry]]:
    """Return every number that claims what one before it claims for another item, and that one."""
    holders: dict[Claim, NumberEntry] = {}
    for number in numbers:
        claim = claim_of(number)
        if claim is not None:
            earlier = holders.setdefault(claim, number)
            if earlier.item != number.item:
                yield number, earlier
