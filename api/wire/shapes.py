"""Answer shapes that several slices use: lengths, money, problems, lists."""

from typing import Annotated, Generic, TypeVar

from msgspec import UNSET, Meta, Struct, UnsetType

from api.measurement.lengths import format_length

Item = TypeVar("Item")
NM_PER_MM = 1_000_000


class Answer(Struct, frozen=True, kw_only=True):
    """What every answer shape is: frozen, built by name."""

    def own_state(self) -> "Answer":
        """Return the answer without what it tells of other things: what a write of it could change."""
        return self


class LengthAnswer(Answer, frozen=True, kw_only=True):
    """A length: as text with its unit (exact) and as a number of millimetres."""

    text: Annotated[str, Meta(examples=["12.500 mm"])]
    mm: Annotated[float, Meta(examples=[12.5])]


class RangeAnswer(Answer, frozen=True, kw_only=True):
    """A range of lengths, both ends included, in millimetres."""

    lower_mm: float
    upper_mm: float


class MoneyAnswer(Answer, frozen=True, kw_only=True):
    """An amount of money: a decimal string with as many decimals as the currency has."""

    amount: Annotated[str, Meta(pattern=r"^-?[0-9]+(\.[0-9]+)?$", examples=["5.00"])]
    currency: Annotated[str, Meta(pattern="^[A-Z]{3}$", examples=["USD"])]


class Fault(Answer, frozen=True, kw_only=True, omit_defaults=True):
    """One value that cannot be taken: where it stands, what it is, what was expected."""

    detail: str
    code: Annotated[str, Meta(description="a stable word for programs")]
    value: Annotated[str, Meta(description="the refused value, shortened")]
    expected: str
    pointer: Annotated[str, Meta(description="JSON pointer into the body, as a fragment")] | UnsetType = UNSET
    parameter: Annotated[str, Meta(description="name of the query or path parameter")] | UnsetType = UNSET
    nearest: Annotated[str, Meta(description="the closest known name")] | UnsetType = UNSET


class Problem(Answer, frozen=True, kw_only=True, omit_defaults=True):
    """A problem as RFC 9457 describes it; `errors` names every refused value."""

    type: Annotated[str, Meta(description="a stable identifier of the kind of problem")]
    title: str
    status: Annotated[int, Meta(ge=400, le=599)]
    detail: str
    instance: Annotated[str, Meta(description="the request's id")] | UnsetType = UNSET
    errors: list[Fault] | UnsetType = UNSET
    nearest: Annotated[str, Meta(description="the closest known name")] | UnsetType = UNSET


class Page(Answer, Generic[Item], frozen=True, kw_only=True):
    """A piece of a list: the items, how many there are in all, and where the next piece is."""

    items: list[Item]
    total: Annotated[int, Meta(ge=0)]
    next: str | None


def length_answer(nm: int) -> LengthAnswer:
    """Give a length in nanometres its wire shape."""
    return LengthAnswer(text=format_length(nm), mm=nm / NM_PER_MM)


def range_answer(lower_nm: int, upper_nm: int) -> RangeAnswer:
    """Give a range in nanometres its wire shape."""
    return RangeAnswer(lower_mm=lower_nm / NM_PER_MM, upper_mm=upper_nm / NM_PER_MM)
