"""From a query or a request to a search: readings with their uncertainty, every fault named at once."""

from collections.abc import Mapping
from typing import Annotated, Final, Literal, cast

import attrs
from msgspec import UNSET
from pydantic import Field

from api.errors import FieldFault, InvalidInput, shown
from api.matching.model import DimensionModel, KindModel
from api.matching.readings import AbsentReading, ChoiceReading, CountReading, LengthReading
from api.matching.readings import Reading as MatchReading
from api.matching.shapes import ReadingAnswer, ReadingRequest, SearchRequest
from api.measurement.counts import parse_count
from api.measurement.instruments import Instrument, Way
from api.measurement.raw_readings import RawReading, RawSetup, check_setup
from api.measurement.readings import DEFAULT_INSTRUMENT, Reading, make_reading
from api.measurement.refusals import UnreadableCount, nearest_name
from api.wire.inputs import Request
from api.wire.shapes import NM_PER_MM

Condition = Literal["worn", "new"]
CONDITIONS: Final = ("worn", "new")
ABSENT: Final = "absent"
"""What a reading says of a feature that the part does not have (no flange)."""

Path = tuple[str | int, ...]
Told = str | int | ReadingRequest


@attrs.frozen(kw_only=True)
class Search:
    """A search that can be answered: what is matched, and the readings as they are echoed."""

    kind: str
    condition: Condition
    instrument: str
    limit: int | None
    readings: tuple[MatchReading, ...]
    echoed: dict[str, ReadingAnswer]


@attrs.frozen(kw_only=True)
class Asked:
    """What was asked, in raw words: readings by dimension, and what holds for all of them.

    `root` is where the words stood, `under` the member that held the readings (nothing in a query);
    `faults` are those already found.
    """

    readings: Mapping[str, Told]
    condition: str = "worn"
    unit: str | None = None
    instrument: str | None = None
    limit: int | None = None
    root: Path = ()
    under: Path = ()
    faults: tuple[FieldFault, ...] = ()


class SearchOptions(Request):
    """The parameters of a search beside its dimensions."""

    instrument: Annotated[
        str | None,
        Field(max_length=40, description="code of the instrument; digital_caliper where none is named"),
    ] = None
    condition: Annotated[
        str,
        Field(max_length=20, description="worn or new", json_schema_extra={"enum": list(CONDITIONS)}),
    ] = "worn"
    unit: Annotated[
        str | None, Field(max_length=12, description="unit of readings that state none: mm, in, cm, um, thou")
    ] = None
    limit: Annotated[int | None, Field(ge=1, le=200, description="most candidates")] = None


def asked_in_body(request: SearchRequest, root: Path = ()) -> Asked:
    """Take the words of a search in a request body."""
    return Asked(
        readings=request.readings,
        condition=request.condition,
        unit=request.unit,
        instrument=request.instrument,
        limit=request.limit,
        root=root,
        under=("readings",),
    )


def read_search(asked: Asked, kind: KindModel, instruments: Mapping[str, Instrument]) -> Search:
    """Return the search that was asked for; raises `InvalidInput` with every fault found."""
    setup = RawSetup(
        instrument=asked.instrument,
        unit=asked.unit,
        surface="unworn" if asked.condition == "new" else "worn",
    )
    faults = [*asked.faults, *check_setup(setup, instruments, asked.root)]
    if asked.condition not in CONDITIONS:
        known = "one of " + ", ".join(CONDITIONS)
        faults.append(FieldFault((*asked.root, "condition"), shown(asked.condition), known, "unknown"))
    if not asked.readings:
        expected = "one reading at least, by dimension: " + ", ".join(one.code for one in kind.dimensions)
        faults.append(FieldFault((*asked.root, *(asked.under or ("readings",))), "", expected, "missing"))
    sound = setup if not faults else RawSetup(unit="in")  # stands in, so that each reading is still read
    dimensions = {one.code: one for one in kind.dimensions}
    reader = _Reader(sound, instruments)
    for code, told in asked.readings.items():
        path = (*asked.root, *asked.under, shown(code))
        if code in dimensions:
            reader.read(dimensions[code], told, path)
        else:
            near = nearest_name(shown(code), dimensions)
            expected = "one of " + ", ".join(dimensions)
            reader.faults.append(FieldFault(path, shown(code), expected, "unknown", near))
    faults.extend(reader.faults)
    if faults:
        raise InvalidInput.of(faults)
    return Search(
        kind=kind.kind,
        condition=cast(Condition, asked.condition),
        instrument=asked.instrument or DEFAULT_INSTRUMENT,
        limit=asked.limit,
        readings=tuple(reader.readings),
        echoed={one.code: reader.echoed[one.code] for one in kind.dimensions if one.code in reader.echoed},
    )


class _Reader:
    """Reads one dimension after another, keeping faults instead of stopping."""

    def __init__(self, setup: RawSetup, instruments: Mapping[str, Instrument]) -> None:
        self.setup, self.instruments = setup, instruments
        self.faults: list[FieldFault] = []
        self.readings: list[MatchReading] = []
        self.echoed: dict[str, ReadingAnswer] = {}

    def read(self, dimension: DimensionModel, told: Told, path: Path) -> None:
        plain = told.text if isinstance(told, ReadingRequest) else told
        if plain == ABSENT:
            self.keep(AbsentReading(dimension=dimension.code), ReadingAnswer(text=ABSENT))
        elif dimension.measure == "length":
            self.length(dimension, told, path)
        elif isinstance(told, ReadingRequest) and (told.repeats or told.uncertainty or told.instrument):
            expected = f"a {dimension.measure} alone, without repeats, uncertainty or instrument"
            self.faults.append(FieldFault(path, "an object", expected, "not_a_length"))
        elif dimension.measure == "count":
            self.count(dimension, "" if plain is None else plain, path)
        else:
            self.choice(dimension, "" if plain is None else str(plain), path)

    def keep(self, reading: MatchReading, echoed: ReadingAnswer) -> None:
        self.readings.append(reading)
        self.echoed[reading.dimension] = echoed

    def length(self, dimension: DimensionModel, told: Told, path: Path) -> None:
        if isinstance(told, ReadingRequest):
            raw = RawReading(
                told.text, told.instrument, told.uncertainty, tuple(told.repeats), told.surface, told.state
            )
        else:
            raw = RawReading.of_text(str(told))
        way = cast(Way, dimension.how)  # a length is read outside, inside, in depth or over teeth
        try:
            reading = make_reading(dimension.code, way, raw, self.setup, self.instruments, path)
        except InvalidInput as refused:
            self.faults.extend(refused.faults)
            return
        low, high = dimension.span_lower / 2, dimension.span_upper * 2
        if not low <= reading.nm <= high:
            expected = f"a length from {low / NM_PER_MM:g} mm to {high / NM_PER_MM:g} mm"
            self.faults.append(FieldFault(path, reading.text, expected, "implausible"))
        if reading.state == "installed" and dimension.how == "inside":
            expected = (
                "the part out of its seat: a bore closes in when pressed, and by how much depends on the seat"
            )
            self.faults.append(FieldFault((*path, "state"), "installed", expected, "closed_in"))
        nm, u_nm = _compared(dimension, reading)
        self.echoed[dimension.code] = _echo(reading, nm, u_nm)
        self.readings.append(
            LengthReading(
                dimension=dimension.code,
                value_nm=float(nm),
                uncertainty_nm=u_nm,
                worn=reading.surface == "worn",
                two_point=way == "outside",
                repeats_disagree=_disagree(dimension, reading),
            )
        )

    def count(self, dimension: DimensionModel, told: str | int, path: Path) -> None:
        try:
            count = parse_count(told)
        except UnreadableCount as refused:
            self.faults.append(refused.as_fault(*path))
            return
        if not dimension.span_lower <= count <= dimension.span_upper:
            expected = f"a count from {dimension.span_lower} to {dimension.span_upper}"
            self.faults.append(FieldFault(path, str(count), expected, "implausible"))
        self.keep(
            CountReading(dimension=dimension.code, count=count), ReadingAnswer(text=str(count), count=count)
        )

    def choice(self, dimension: DimensionModel, told: str, path: Path) -> None:
        if told not in dimension.choices:
            expected = "one of " + ", ".join(dimension.choices)
            near = nearest_name(shown(told), dimension.choices)
            self.faults.append(FieldFault(path, shown(told), expected, "unknown", near))
            return
        self.keep(ChoiceReading(dimension=dimension.code, choice=told), ReadingAnswer(text=told, choice=told))


def _wears(dimension: DimensionModel, reading: Reading) -> bool:
    return reading.surface == "worn" and dimension.wear_sense != "none"


def _compared(dimension: DimensionModel, reading: Reading) -> tuple[int, float]:
    """Return the length that is compared and its standard uncertainty (nm).

    Of a worn, oval bore that is the least worn reading, nearest to new, known as well as one reading is:
    its readings differ by wear. Otherwise it is the mean, and the scatter counts.
    """
    if not reading.repeats_nm or not _wears(dimension, reading):
        return reading.nm, reading.u_nm
    least_worn = min if dimension.wear_sense == "grows" else max
    return least_worn(reading.repeats_nm), reading.single_u_nm


def _disagree(dimension: DimensionModel, reading: Reading) -> bool:
    """Tell whether repeats spread further than the instrument, and wear where it applies, explain."""
    wear = dimension.worn_within * dimension.wear_scale_nm if _wears(dimension, reading) else 0.0
    spread = max(reading.repeats_nm, default=0) - min(reading.repeats_nm, default=0)
    return spread > reading.explained_nm + wear


def _echo(reading: Reading, nm: int, u_nm: float) -> ReadingAnswer:
    return ReadingAnswer(
        text=reading.text,
        mm=nm / NM_PER_MM,
        instrument=reading.instrument,
        standard_uncertainty_mm=round(u_nm / NM_PER_MM, 6),
        surface=reading.surface,
        state=reading.state,
        repeats_disagree=reading.repeats_disagree if reading.repeats_nm else UNSET,
    )
