"""Wire shapes of the cross-reference by number."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from msgspec import Meta
from msgspec.structs import replace
from sqlalchemy import Row

from api.interchange.stored_numbers import is_own
from api.offers.shapes import ItemReference
from api.wear_parts.shapes import Day, Id, Scheme
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


class KeptNumber(Answer, frozen=True, kw_only=True):
    """A number of a part or a starter as whoever keeps the catalogue sees it."""

    id: Id
    scheme: Scheme
    issuer: Annotated[str, Meta(description="who gave the number; a GTIN has none")] | None
    written: str
    normalised: Annotated[str, Meta(description="the form in which numbers are compared")]
    own: Annotated[bool, Meta(description="the maker's own: kept with its part or starter, not here")]
    withdrawn_on: Day | None


class SupersessionAnswer(Answer, frozen=True, kw_only=True):
    """A maker's number that was replaced by another on a day."""

    id: Annotated[Id, Meta(description="id of the superseded number")]
    on: Day
    old: ItemReference
    new: ItemReference
    withdrawn_on: Day | None

    def own_state(self) -> "SupersessionAnswer":
        """Return it with no more of both ends than which they are."""
        return replace(self, old=self.old.alone(), new=self.new.alone())


def kept_number(row: Row[Any]) -> KeptNumber:
    """Give a number's row (with `item_maker` and `item_number`) its wire shape."""
    return KeptNumber(
        id=row.id,
        scheme=row.scheme,
        issuer=row.issuer,
        written=row.written,
        normalised=row.normalised,
        own=is_own(row),
        withdrawn_on=row.withdrawn_on,
    )


def supersession_answer(row: Row[Any], items: Mapping[str, ItemReference]) -> SupersessionAnswer:
    """Give a supersession's row its wire shape; `items` has both ends by their id."""
    return SupersessionAnswer(
        id=row.old_number_id,
        on=row.superseded_on,
        old=items[row.old_part or row.old_starter],
        new=items[row.new_part or row.new_starter],
        withdrawn_on=row.withdrawn_on,
    )
