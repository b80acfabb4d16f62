"""Wire shapes of the cross-reference by number."""

from typing import Annotated, Literal

from msgspec import Meta

from api.offers.shapes import ItemReference
from api.wear_parts.shapes import Day, Scheme
from api.wire.shapes import Answer


class GtinAnswer(Answer, frozen=True, kw_only=True):
    """Whether the number is a GTIN, and whether its check digit is right."""

    state: Literal["right", "wrong_check_digit", "not_a_gtin"]
    digits: Annotated[str, Meta(description="the GTIN as 14 digits")] | None
    expected: Annotated[str, Meta(description="what the check digit should be")] | None


class NumberStep(Answer, frozen=True, kw_only=True):
    """One step of a chain of supersessions: the item that came next, and on which day."""

    on: Day
    item: ItemReference


class NumberMatch(Answer, frozen=True, kw_only=True):
    """A number of the catalogue, how it was found, whose it is and what superseded it."""

    how: Annotated[
        Literal["exact", "normalised", "gtin", "near"],
        Meta(description="as written; without spaces, dashes, case; as 14 digits; nearly"),
    ]
    edits: Annotated[
        int, Meta(ge=0, description="characters changed, left out, put in or swapped: 0 unless near")
    ]
    written: str
    scheme: Scheme
    issuer: str | None
    item: ItemReference
    superseded_by: Annotated[list[NumberStep], Meta(description="in order; the last item is current")]
    current: Annotated[ItemReference, Meta(description="what to ask for today")]


class NumberFindings(Answer, frozen=True, kw_only=True):
    """What goes by a number; `near` is filled only where nothing goes by it."""

    number: Annotated[str, Meta(description="as asked for")]
    normalised: Annotated[str, Meta(description="the form in which numbers are compared")]
    gtin: GtinAnswer
    matches: list[NumberMatch]
    near: list[NumberMatch]
