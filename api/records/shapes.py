"""Wire shapes of measurement records, and of what is known of a size or a seat by them."""

from typing import Annotated, Literal

from msgspec import Meta

from api.measurement.raw_readings import State, Surface
from api.records.learn import Standing
from api.wear_parts.shapes import Day, Id
from api.wire.shapes import Answer

HeldProvenance = Annotated[
    Literal["drawing", "catalogue", "measured", "stated"],
    Meta(description="of a size's value; of a seat's: stated by whoever keeps the catalogue, or measured"),
]
Moment = Annotated[str, Meta(examples=["2026-11-25T13:49:13Z"])]


class RecordedReading(Answer, frozen=True, kw_only=True):
    """What a record says of one feature: a length, a count, a word, or that there is no such thing.

    Of a length `mm` is the mean of what was `written`, `instrument_uncertainty_mm` the standard uncertainty
    that all of it shares. Only what `tells_the_size` (unworn, out of the seat; counts and words always) is
    combined with other specimens.
    """

    feature: str
    state: Literal["recorded", "does_not_apply"]
    text: str
    written: list[str]
    mm: float | None
    instrument: str | None
    instrument_uncertainty_mm: float | None
    surface: Surface | None
    seated: Annotated[State | None, Meta(description="free, or installed in its seat")]
    count: int | None
    word: str | None
    tells_the_size: bool


class MeasurementRecordAnswer(Answer, frozen=True, kw_only=True):
    """What was measured of one specimen: of a size (perhaps of a known part), or of a position's seat."""

    id: Id
    part: Id | None
    size: str | None
    kind: str | None
    family: str | None
    position: str | None
    specimen: str
    measured_on: Day
    withdrawn_on: Day | None
    readings: list[RecordedReading]


class HeldValue(Answer, frozen=True, kw_only=True):
    """A value of the catalogue: its limits are its tolerance, apart from how well these are known."""

    text: str | None
    lower_mm: float | None
    upper_mm: float | None
    provenance: HeldProvenance | None
    knowledge_uncertainty_mm: Annotated[
        float | None, Meta(description="standard uncertainty of the middle, of what was measured")
    ]


class SpecimenDeviation(Answer, frozen=True, kw_only=True):
    """How far one specimen lies off the median of all."""

    specimen: str
    mean_mm: float
    deviation_mm: float
    standardised_deviation: float
    is_far: Annotated[bool, Meta(description="further than 2 standard deviations")]


class LengthEvidence(Answer, frozen=True, kw_only=True):
    """What the readings of a length come to.

    `between_specimens_mm` is how far specimens were seen to differ (a standard deviation; null of one),
    `usual_between_mm` how far such specimens usually do: chi-square, Birge ratio and the chance of so great a
    chi-square compare with the latter. `uncertainty_mm` is of the mean; what an instrument shares among
    its readings is in it undivided.
    """

    mean_mm: float
    uncertainty_mm: float
    between_specimens_mm: float | None
    usual_between_mm: float
    chi_square: float
    degrees_of_freedom: int
    birge_ratio: float | None
    chance: float | None
    deviations: list[SpecimenDeviation]


class WordEvidence(Answer, frozen=True, kw_only=True):
    """A count, a word or an absence, and the specimens that tell it."""

    value: str
    specimens: list[str]


class Evidence(Answer, frozen=True, kw_only=True):
    """What the records that are not withdrawn say of one feature.

    `agreed` is what they come to, null where they say nothing or contradict each other without a majority;
    `left_out` are the specimens that contradict the majority.
    """

    specimens: int
    readings: int
    passed_over: Annotated[int, Meta(description="worn, installed, or across an unknown number of teeth")]
    consistent: bool | None
    agreed: str | None
    left_out: list[str]
    length: LengthEvidence | None
    words: list[WordEvidence]
    records: Annotated[list[Id], Meta(description="ids of the records that read it")]


class DisagreementAnswer(Answer, frozen=True, kw_only=True):
    """What consistent records say against a stated value, and how far outside its limits."""

    stated: str
    measured: str
    gap_mm: float | None
    standardised_gap: float | None


class FormerValue(Answer, frozen=True, kw_only=True):
    """A change of a value by the records: when, by which, from what to what."""

    changed_at: Moment
    record: Id
    former: HeldValue
    adopted: HeldValue


class MeasuredFeature(Answer, frozen=True, kw_only=True):
    """One dimension of a size, or one feature of a seat: what is held, and by what it is known."""

    feature: str
    name: str
    measure: Literal["length", "count", "choice", "thread"]
    held: HeldValue
    standing: Annotated[
        Standing,
        Meta(
            description="follows_records; inconsistent: the majority's value, else what stood before; "
            "stated: it stands, whatever was measured; breaks_a_rule: what was measured cannot be kept; "
            "no_reading_counts: all were worn or installed; not_measured"
        ),
    ]
    expected: Annotated[str | None, Meta(description="of what breaks a rule: what the rule expects")]
    disagreement: DisagreementAnswer | None
    evidence: Evidence
    history: Annotated[list[FormerValue], Meta(description="the oldest change first")]


class MeasuredSize(Answer, frozen=True, kw_only=True):
    """What is known of a size and how, dimension by dimension."""

    code: str
    kind: str
    withdrawn_on: Day | None
    records: Annotated[int, Meta(description="that are not withdrawn", ge=0)]
    specimens: Annotated[int, Meta(ge=0)]
    dimensions: list[MeasuredFeature]


class MeasuredSeat(Answer, frozen=True, kw_only=True):
    """What is known of the seat of a position and how, feature by feature that is told or measured."""

    family: str
    position: str
    kind: str | None
    withdrawn_on: Day | None
    records: Annotated[int, Meta(description="that are not withdrawn", ge=0)]
    specimens: Annotated[int, Meta(ge=0)]
    features: list[MeasuredFeature]
