"""Wire shapes of searches by measurement and of the published model."""

from typing import Annotated, Literal

from msgspec import UNSET, Meta, UnsetType
from pydantic import Field, StrictInt

from api.offers.shapes import CurrentOffer
from api.wear_parts.shapes import PartReference
from api.wire.inputs import Request
from api.wire.shapes import Answer, Problem

MOST_SEARCHES = 1000
Provenance = Literal["drawing", "catalogue", "measured"]
Chance = Annotated[float, Meta(ge=0, le=1)]
Text = Annotated[str, Field(min_length=1, max_length=60)]


class ReadingRequest(Request):
    """One reading with what is known of it: instrument, stated uncertainty, repeats, surface, state."""

    text: Annotated[Text | None, Field(description="the value with its unit")] = None
    instrument: Annotated[Text | None, Field(description="code of the instrument")] = None
    uncertainty: Annotated[Text | None, Field(description="the caller's own standard uncertainty")] = None
    repeats: Annotated[
        list[Text], Field(max_length=20, default_factory=list, description="further readings of the feature")
    ]
    surface: Annotated[Text | None, Field(description="worn or unworn")] = None
    state: Annotated[Text | None, Field(description="free or installed")] = None


class SearchRequest(Request):
    """One search: what is measured of one worn part."""

    kind: Annotated[str, Field(min_length=1, max_length=40)]
    readings: Annotated[
        dict[str, Text | StrictInt | ReadingRequest],
        Field(
            max_length=40,
            description="by dimension: a length as text with its unit, a count as a whole number or text, "
            "a choice as its code, or an object that says how it was measured",
        ),
    ]
    condition: Annotated[str, Field(max_length=20, description="worn or new")] = "worn"
    unit: Annotated[str | None, Field(max_length=12, description="unit of readings that state none")] = None
    instrument: Annotated[str | None, Field(max_length=40)] = None
    limit: Annotated[int | None, Field(ge=1, le=200)] = None


class MatchesRequest(Request):
    """Up to 1,000 searches, each answered or refused on its own."""

    searches: Annotated[
        list[SearchRequest | dict[str, object]],
        Field(
            min_length=1,
            max_length=MOST_SEARCHES,
            description="a search that cannot be read is refused alone, among the results",
        ),
    ]


class ReadingAnswer(Answer, frozen=True, kw_only=True, omit_defaults=True):
    """A reading as it was understood."""

    text: str
    mm: float | UnsetType = UNSET
    count: int | UnsetType = UNSET
    choice: str | UnsetType = UNSET
    instrument: str | UnsetType = UNSET
    standard_uncertainty_mm: float | UnsetType = UNSET
    surface: str | UnsetType = UNSET
    state: str | UnsetType = UNSET
    repeats_disagree: bool | UnsetType = UNSET


class DimensionVerdict(Answer, frozen=True, kw_only=True):
    """How one reading stands to one candidate.

    `compared_mm` is the reading in the dimension's own scale (across an odd number of tooth tips a
    caliper reads low); `gap_mm` is how far that lies outside the tolerance (signed, 0 inside);
    `standardised_gap` is that gap in standard uncertainties. Counts and choices give `read` and
    `recorded` alone.
    """

    dimension: str
    verdict: Literal["agrees", "worn", "too_worn", "contradicts", "not_recorded"]
    read_mm: float | None
    compared_mm: float | None
    lower_mm: float | None
    upper_mm: float | None
    gap_mm: float | None
    implied_wear_mm: float | None
    standardised_gap: float | None
    read: str | None
    recorded: str | None
    provenance: Annotated[
        Provenance | None,
        Meta(description="what the recorded value rests on; null where it is not recorded"),
    ]
    knowledge_uncertainty_mm: Annotated[
        float | None,
        Meta(description="standard uncertainty with which records know it, apart from its tolerance"),
    ]


class Candidate(Answer, frozen=True, kw_only=True):
    """One part that may be the one measured, or stand in for it."""

    part: PartReference
    probability: Chance
    group: str
    group_probability: Chance
    usable_probability: Chance
    listings: int
    rests_on: Provenance
    dimensions: list[DimensionVerdict]
    limiting_dimension: str | None
    best_offer: CurrentOffer | None
    superseded_by: Annotated[PartReference, Meta(description="what its maker supplies instead")] | None


class Contradiction(Answer, frozen=True, kw_only=True):
    """A reading that does not go with the others, or with nothing in the catalogue, and why."""

    dimension: str
    code: Literal["repeats_disagree", "no_size_explains_it", "disagrees_with_other_readings"]
    reason: str
    slip_probability: Annotated[Chance, Meta(description="that it has nothing to do with the part")] | None


class Gain(Answer, frozen=True, kw_only=True):
    """How much one more reading is expected to tell."""

    dimension: str
    gain_bits: float


class SplitAnswer(Answer, frozen=True, kw_only=True):
    """One stretch of what could be read, and the group that would then be the most probable.

    `group` is null where the part is then most probably unlisted.
    """

    group: str | None
    chance: Annotated[Chance, Meta(description="of reading this")]
    group_probability: Annotated[Chance, Meta(description="of that group after it")]
    from_mm: float | None
    to_mm: float | None
    value: Annotated[str, Meta(description="of a count or choice")] | None


class NextReading(Answer, frozen=True, kw_only=True):
    """What to measure next, and what it would tell apart."""

    dimension: str
    gain_bits: float
    name: str
    place: Annotated[str, Meta(description="where to put the instrument")]
    split: list[SplitAnswer]
    all: list[Gain]


class MatchAnswer(Answer, frozen=True, kw_only=True):
    """The parts that fit a few measurements, most probable first.

    Probabilities of candidates, `remaining_probability` and `unlisted_probability` add to 1.
    """

    kind: str
    condition: Literal["worn", "new"]
    model: Annotated[str, Meta(description="version of the matching model, published with the kind")]
    readings: dict[str, ReadingAnswer]
    total: Annotated[int, Meta(ge=0, description="parts under which no reading is likelier to be a slip")]
    candidates: list[Candidate]
    remaining_probability: Chance
    unlisted_probability: Chance
    contradictions: list[Contradiction]
    next_reading: NextReading | None


class SearchResult(Answer, frozen=True, kw_only=True, omit_defaults=True):
    """The outcome of one search of many: a match, or the problem that it met."""

    status: int
    match: MatchAnswer | UnsetType = UNSET
    problem: Problem | UnsetType = UNSET


class MatchesAnswer(Answer, frozen=True, kw_only=True):
    """The outcomes, in the order of the searches."""

    results: list[SearchResult]


class ChoiceAnswer(Answer, frozen=True, kw_only=True):
    """One value that a choice can take."""

    value: str
    label: str


class DimensionAnswer(Answer, frozen=True, kw_only=True):
    """One measurable feature, with the figures that the model takes of it and where they come from."""

    code: str
    name: str
    measure: Literal["length", "count", "choice"]
    how: Annotated[str, Meta(description="outside, inside, depth, span, count or look")]
    place: Annotated[str, Meta(description="where to put the instrument")]
    wear_sense: Literal["grows", "shrinks", "none"]
    wear_scale_mm: Annotated[float, Meta(description="mean wear (exponential)")] | None
    span_lower: Annotated[float, Meta(description="least plausible value: mm, or pieces")] | None
    span_upper: Annotated[float, Meta(description="greatest plausible value: mm, or pieces")] | None
    slip_chance: float
    miscount_chance: float
    two_point_over: (
        Annotated[
            str,
            Meta(
                description="the count z at whose odd values a reading between two opposite faces is low: "
                "from cos(90 deg / z) of it (pointed tips) to cos(90 deg / z - 0.8 / (z + 2.6)) (wide land)"
            ),
        ]
        | None
    )
    agrees_within: Annotated[float, Meta(description="standard uncertainties")]
    worn_within: Annotated[float, Meta(description="wear scales")]
    choices: list[ChoiceAnswer]
    origin: str


class ErrorStepAnswer(Answer, frozen=True, kw_only=True):
    """Greatest permissible error up to a length."""

    up_to_mm: float
    error_mm: float
    source: str


class ExtraErrorAnswer(Answer, frozen=True, kw_only=True):
    """What one way of measuring adds to the permissible error."""

    way: str
    error_mm: float
    source: str


class InstrumentAnswer(Answer, frozen=True, kw_only=True):
    """One instrument and how far it may be wrong."""

    code: str
    name: str
    ways: list[str]
    resolution_mm: float
    resolution_source: str
    permissible_error: list[ErrorStepAnswer]
    extra_error: list[ExtraErrorAnswer]


class KindSummary(Answer, frozen=True, kw_only=True):
    """A kind of wear part in a list."""

    code: str
    name: str
    description: str
    sizes: int
    parts: int


class KindAnswer(Answer, frozen=True, kw_only=True):
    """A kind of wear part: its dimensions and the whole model, so that any answer can be recomputed."""

    code: str
    name: str
    description: str
    model: str
    unlisted_prior: float
    unlisted_prior_origin: str
    dimensions: list[DimensionAnswer]
    instruments: list[InstrumentAnswer]
