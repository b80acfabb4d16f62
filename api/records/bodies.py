"""What a measurement record says on the wire, and what a list of them may be asked."""

from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import Discriminator, Field, StrictInt, Tag

from api.matching.shapes import ReadingRequest
from api.measurement.raw_readings import State, Surface
from api.starters.queries import Code as AnyCode
from api.starters.shapes import PositionCode
from api.upkeep.entry_types import Code, Day, Line, Withdrawable
from api.wire.paging import ListQuery

MOST_READINGS = 60

RecordId = Annotated[str, Field(pattern="^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$")]


def _told_as(value: object) -> str:
    """Name the branch by which a reading is read, so that a wrong one has one fault."""
    if isinstance(value, Mapping):
        return "object"
    return "count" if isinstance(value, int) and not isinstance(value, bool) else "text"


Reading = Annotated[
    Annotated[
        str,
        Field(
            min_length=1,
            max_length=60,
            description="a length with its unit, a count, a word, n/a",
            examples=["12.51 mm"],
        ),
        Tag("text"),
    ]
    | Annotated[StrictInt, Field(ge=0, le=999, description="a count"), Tag("count")]
    | Annotated[ReadingRequest, Tag("object")],
    Discriminator(_told_as),
]


class MeasurementRecordRequest(Withdrawable):
    """What was measured of one specimen: of a part, of a size, or of the seat of a family's position.

    With a `kind` a size that nobody had is made of its first specimen. Of lengths only what was read on an
    unworn surface and out of the seat tells what a new piece has; the rest is kept.
    """

    part: Annotated[RecordId | None, Field(description="id of the part that the specimen is")] = None
    size: Annotated[Code | None, Field(description="code of the size that it is of")] = None
    kind: Annotated[Code | None, Field(description="kind of a new size; of a known one it must agree")] = None
    family: Annotated[Code | None, Field(description="code of a family, with a position: its seat")] = None
    position: PositionCode | None = None
    specimen: Annotated[
        Line, Field(description="label by which this one specimen is told from others", examples=["tray 4 b"])
    ]
    measured_on: Day
    instrument: Annotated[
        str | None,
        Field(
            min_length=1, max_length=60, description="of readings that name none; left out: digital_caliper"
        ),
    ] = None
    surface: Annotated[Surface | None, Field(description="of lengths that name none; left out: worn")] = None
    state: Annotated[State | None, Field(description="of lengths that name none; left out: free")] = None
    readings: Annotated[
        dict[str, Reading],
        Field(
            min_length=1,
            max_length=MOST_READINGS,
            description="by dimension of the kind, or by feature of the seat",
            examples=[{"bore": {"text": "12.51 mm", "surface": "unworn"}}],
        ),
    ]


class MeasurementRecordPatch(Withdrawable):
    """A record is withdrawn from a day on, or (null) restored; what was measured does not change."""


class MeasurementRecordQuery(ListQuery):
    """Which measurement records."""

    part: Annotated[RecordId | None, Field(description="of specimens known to be this part")] = None
    size: Annotated[AnyCode | None, Field(description="code of a size")] = None
    family: Annotated[AnyCode | None, Field(description="code of a family: of its seats")] = None
    position: Annotated[PositionCode | None, Field(description="of the seats of this position")] = None
    specimen: Annotated[
        str | None, Field(min_length=1, max_length=200, description="label of a specimen")
    ] = None
    withdrawn: Annotated[bool, Field(description="true: withdrawn records too")] = False

    def equal(self) -> dict[str, Any]:
        """Return what has to be equal, by filter, as it was asked."""
        return {name: held for name, held in self.filters().items() if name != "withdrawn"}
