"""Wire shapes of wear parts, their sizes and their numbers."""

from collections.abc import Sequence
from typing import Annotated, Any, Literal, cast

from msgspec import Meta
from sqlalchemy import Row

from api.wear_parts.entries import SizeValueEntry
from api.wear_parts.value_text import value_text
from api.wire.shapes import NM_PER_MM, Answer

Owner = Literal["part", "starter"]
Scheme = Literal["maker", "original_equipment", "aftermarket", "gtin"]
Provenance = Literal["drawing", "catalogue", "measured"]
Id = Annotated[str, Meta(pattern="^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$")]
Day = Annotated[str, Meta(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$", examples=["2026-11-25"])]


class MakerAnswer(Answer, frozen=True, kw_only=True):
    """Who makes a part or a starter."""

    code: str
    name: str


class MakerStanding(MakerAnswer, frozen=True, kw_only=True):
    """A maker, and from which day it is withdrawn, if it is; its parts and starters then are too."""

    withdrawn_on: Day | None


class NumberAnswer(Answer, frozen=True, kw_only=True):
    """One number that a part or a starter goes by."""

    scheme: Scheme
    issuer: str | None
    written: str


class PartReference(Answer, frozen=True, kw_only=True):
    """Which part is meant."""

    id: str
    maker: str
    number: str
    size: Annotated[str, Meta(description="code of its size")]
    description: str


class PartSummary(Answer, frozen=True, kw_only=True):
    """A wear part in a list."""

    id: Id
    kind: str
    maker: MakerAnswer
    number: str
    size: Annotated[str, Meta(description="code of its size; parts of one size share every dimension")]
    description: str
    material: str | None
    grade: str | None
    voltage: int | None
    provenance: Provenance
    withdrawn_on: Day | None


class SizeSummary(Answer, frozen=True, kw_only=True):
    """A size in a list."""

    code: str
    kind: str
    provenance: Provenance
    withdrawn_on: Day | None


class SizeDimensionAnswer(Answer, frozen=True, kw_only=True):
    """What a size says of one dimension of its kind: a range, a count, a choice, or nothing."""

    dimension: str
    name: str
    state: Literal["recorded", "does_not_apply", "not_recorded"]
    text: str | None
    lower_mm: float | None
    upper_mm: float | None
    count: int | None
    choice: str | None
    provenance: Provenance | None


class SizeAnswer(SizeSummary, frozen=True, kw_only=True):
    """One size: what it says of every dimension of its kind; when withdrawn, parts of it are too."""

    dimensions: list[SizeDimensionAnswer]


def maker_answer(row: Row[Any]) -> MakerStanding:
    """Give a maker's row its wire shape."""
    return MakerStanding(code=row.code, name=row.name, withdrawn_on=row.withdrawn_on)


def size_members(row: Row[Any]) -> dict[str, Any]:
    """Return the members of a size's summary from its row (with `provenance`)."""
    return {
        "code": row.code,
        "kind": row.kind_code,
        "provenance": row.provenance,
        "withdrawn_on": row.withdrawn_on,
    }


def size_summary(row: Row[Any]) -> SizeSummary:
    """Give a size's row its wire shape in a list."""
    return SizeSummary(**size_members(row))


def part_reference(row: Row[Any]) -> PartReference:
    """Give a part's row (with `maker_name` and `size_code`) its shortest wire shape."""
    return PartReference(
        id=row.id,
        maker=row.maker_name,
        number=row.number,
        size=row.size_code,
        description=row.description,
    )


def part_members(row: Row[Any]) -> dict[str, Any]:
    """Return the members of a part's summary from its row (with `maker_name` and `size_code`)."""
    return {
        "id": row.id,
        "kind": row.kind_code,
        "maker": MakerAnswer(code=row.maker_code, name=row.maker_name),
        "number": row.number,
        "size": row.size_code,
        "description": row.description,
        "material": row.material,
        "grade": row.grade,
        "voltage": row.voltage,
        "provenance": row.provenance,
        "withdrawn_on": row.withdrawn_on,
    }


def part_summary(row: Row[Any]) -> PartSummary:
    """Give a part's row its wire shape in a list."""
    return PartSummary(**part_members(row))


def number_answers(rows: Sequence[Row[Any]]) -> list[NumberAnswer]:
    """Give numbers their wire shape."""
    return [NumberAnswer(scheme=row.scheme, issuer=row.issuer, written=row.written) for row in rows]


def size_dimension(code: str, name: str, value: SizeValueEntry | None) -> SizeDimensionAnswer:
    """Give what a size says of one dimension its wire shape."""
    if value is None or not value.applies:
        return SizeDimensionAnswer(
            dimension=code,
            name=name,
            state="not_recorded" if value is None else "does_not_apply",
            text=None,
            lower_mm=None,
            upper_mm=None,
            count=None,
            choice=None,
            provenance=None if value is None else cast(Provenance, value.provenance),
        )
    return SizeDimensionAnswer(
        dimension=code,
        name=name,
        state="recorded",
        text=value_text(value),
        lower_mm=None if value.lower_nm is None else value.lower_nm / NM_PER_MM,
        upper_mm=None if value.upper_nm is None else value.upper_nm / NM_PER_MM,
        count=value.count,
        choice=value.choice,
        provenance=cast(Provenance, value.provenance),
    )
