"""What `POST /v1/diagnoses` and `GET /v1/observations` answer."""

from typing import Annotated, Literal

from msgspec import Meta

from api.fit.reason_shapes import FitCaution
from api.wire.shapes import Answer, MoneyAnswer

BatteryState = Literal["connected", "disconnected"]
HazardName = Literal["none", "low", "moderate", "high"]
OriginName = Literal["published", "common_practice", "judgement"]
UnitName = Literal["volts", "amperes", "rpm"]
Probability = Annotated[float, Meta(ge=0, le=1)]


class OriginAnswer(Answer, frozen=True, kw_only=True):
    """Where a figure comes from; `source` names what was published, or says more."""

    kind: OriginName
    source: str


class PublishedAnswer(Answer, frozen=True, kw_only=True):
    """What one source states."""

    text: str
    source: str


class ObservationAnswer(Answer, frozen=True, kw_only=True):
    """One answer that an observation may have; of a number, the band with its ends in the number's unit."""

    code: str
    words: str
    lower: float | None
    upper: float | None


class ObservableNumber(Answer, frozen=True, kw_only=True):
    """How a number is taken for the voltage named.

    Its unit, greatest plausible value, standard uncertainty and limit or rated range where none is stated,
    with their origin, and what others publish.
    """

    unit: UnitName
    voltage: int
    most: float
    uncertainty: float
    limit: float | None
    rated_lower: float | None
    rated_upper: float | None
    takes_celsius: bool
    held_origin: OriginAnswer | None
    bounds_origin: OriginAnswer
    published: list[PublishedAnswer]
    note: str


class Observable(Answer, frozen=True, kw_only=True):
    """Something that can be observed: how, by whom, with what hazard and the battery how, and its answers."""

    code: str
    question: str
    how: str
    kind: Literal["question", "test"]
    hazard: HazardName
    who: Literal["anyone", "repairer"]
    battery: BatteryState
    minutes: float
    constructions: list[str]
    fields: list[str]
    answers: list[ObservationAnswer]
    number: ObservableNumber | None
    cautions: list[FitCaution]


class ObservedAnswer(Answer, frozen=True, kw_only=True):
    """An observation as it was taken: what was stated, and the limit or range it was held against."""

    code: str
    answer: str | None
    value: float | None
    unit: UnitName | None
    uncertainty: float | None
    held_against: list[float]
    held_origin: OriginAnswer | None
    words: str


class EvidenceAnswer(Answer, frozen=True, kw_only=True):
    """What one piece of evidence did to a fault.

    `log_odds` is what it adds to the natural logarithm of the fault's odds, `odds_factor` the factor that
    this is. Beforehand's log-odds and all of these add up to those afterwards.
    """

    code: str
    log_odds: float
    odds_factor: float
    words: str


class FaultCauseAnswer(Answer, frozen=True, kw_only=True):
    """What to look at before a new part goes in."""

    check: str
    origin: OriginAnswer


class ConcernedAnswer(Answer, frozen=True, kw_only=True):
    """A position that a fault concerns, its kind of wear part (null: none covers it), whether renewed."""

    position: str
    kind: str | None
    renewed: bool


class FaultAnswer(Answer, frozen=True, kw_only=True):
    """A fault: its probability before and after, what it concerns, what mends it, and what moved it.

    `cautions` are those of its repair, each with how the battery has to be.
    """

    fault: str
    name: str
    place: Literal["starter", "joint", "outside"]
    probability: Probability
    prior_probability: Probability
    positions: list[ConcernedAnswer]
    needs_part: bool
    repair: str
    cautions: list[FitCaution]
    root_causes: list[FaultCauseAnswer]
    evidence: list[EvidenceAnswer]


class ExpectedAnswer(Answer, frozen=True, kw_only=True):
    """One answer of a test: how probable it is, and which fault would then lead with what probability."""

    answer: str
    words: str
    probability: Probability
    leading_fault: str
    leading_probability: Probability


class NextTestAnswer(Answer, frozen=True, kw_only=True):
    """A test worth doing: what it is expected to tell, what it takes, its likeliest answer first.

    `minutes_per_bit` orders the tests; `settling_probability` is the chance that one fault then has 0.9.
    """

    code: str
    question: str
    how: str
    hazard: HazardName
    battery: BatteryState
    minutes: float
    expected_bits: float
    minutes_per_bit: float
    settling_probability: Probability
    answers: list[ExpectedAnswer]
    cautions: list[FitCaution]


class ContradictionAnswer(Answer, frozen=True, kw_only=True):
    """Observations that do not go together, and why."""

    observations: list[str]
    words: str


class FailedPositionAnswer(Answer, frozen=True, kw_only=True):
    """A position as a comparison takes it."""

    position: str
    failed: bool


class ForComparisonAnswer(Answer, frozen=True, kw_only=True):
    """The positions to post to `/v1/comparisons` for one fault.

    `needs_part_cost` names those without a kind, whose part's cost has to be stated there.
    """

    fault: str
    probability: Probability
    positions: list[FailedPositionAnswer]
    needs_part_cost: list[str]


class OptionCostAnswer(Answer, frozen=True, kw_only=True):
    """An option of a comparison and its total."""

    id: str
    option: str
    total: MoneyAnswer


class FaultCostAnswer(Answer, frozen=True, kw_only=True):
    """What each option costs if this fault is the one."""

    fault: str
    probability: Probability
    options: list[OptionCostAnswer]


class NotPricedAnswer(Answer, frozen=True, kw_only=True):
    """A fault that no comparison was made for, and why."""

    fault: str
    why: str


class ExpectedCostAnswer(Answer, frozen=True, kw_only=True):
    """What repair and replacement are expected to cost, given that it is one of the faults priced.

    `priced_probability` is how probable that is. Totals are the cost now, or with `keep_months` all expected
    cost until the starter is given up. A replacement mends none of the faults outside the starter.
    """

    keep_months: float | None
    expected: list[OptionCostAnswer]
    priced_probability: Probability
    faults: list[FaultCostAnswer]
    not_priced: list[NotPricedAnswer]


class DiagnosisAssumption(Answer, frozen=True, kw_only=True):
    """What was taken for granted, and where from."""

    what: str
    value: str
    origin: str


class StarterDiagnosed(Answer, frozen=True, kw_only=True):
    """The starter as it was taken; null where it is not known and all are averaged over."""

    family: str | None
    construction: str | None
    field: str | None
    voltage: int


class DiagnosisAnswer(Answer, frozen=True, kw_only=True):
    """What is probably wrong, why, and what to observe next.

    `probability_without_comparison` is of the faults that no position's part mends: outside the starter, or
    without a part. With `for_comparison` it adds up to 1. `cautions` hold for everything, and for what was
    observed; what they forbid is not among the tests.
    """

    model: str
    starter: StarterDiagnosed
    person: Literal["do_it_yourselfer", "repairer"]
    observations: list[ObservedAnswer]
    faults: list[FaultAnswer]
    next_test: NextTestAnswer | None
    further_tests: list[NextTestAnswer]
    contradictions: list[ContradictionAnswer]
    for_comparison: list[ForComparisonAnswer]
    probability_without_comparison: Probability
    expected_cost: ExpectedCostAnswer | None
    assumptions: list[DiagnosisAssumption]
    cautions: list[FitCaution]
