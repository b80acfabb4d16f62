"""What a caller may ask of wear parts and of interchange."""

from typing import Annotated

from pydantic import Field

from api.fit.reason_shapes import GradeName
from api.offers.days import AsOf
from api.starters.queries import Code
from api.starters.shapes import PositionCode
from api.wire.paging import ListQuery


class PartQuery(ListQuery):
    """Which wear parts."""

    kind: Annotated[Code | None, Field(description="code of a kind")] = None
    maker: Annotated[Code | None, Field(description="code of a maker")] = None
    size: Annotated[Code | None, Field(description="code of a size")] = None
    family: Annotated[Code | None, Field(description="code of a family they are listed for")] = None
    position: Annotated[PositionCode | None, Field(description="position they are listed for")] = None
    number: Annotated[
        str | None,
        Field(
            min_length=1,
            max_length=64,
            pattern="[A-Za-z0-9]",
            description="any of their numbers; spaces, dashes and case do not matter",
        ),
    ] = None


class SizeQuery(ListQuery):
    """Which sizes."""

    kind: Annotated[Code | None, Field(description="code of a kind")] = None


class PartInterchangeQuery(AsOf):
    """Of which grade, on which day, how many."""

    grade: Annotated[GradeName | None, Field(description="parts of this grade alone")] = None
    limit: Annotated[int, Field(ge=1, le=1000, description="most parts shown")] = 200


class FamilyInterchangeQuery(AsOf):
    """Of which position, of which grade, on which day, how many parts a position."""

    position: Annotated[PositionCode | None, Field(description="one position alone")] = None
    grade: Annotated[GradeName | None, Field(description="parts of this grade alone")] = None
    limit: Annotated[int, Field(ge=1, le=1000, description="most parts shown of a position")] = 200
