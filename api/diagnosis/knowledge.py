"""What a diagnosis knows: faults, observations, chances, limits, each figure with its origin. Pure values."""

from collections.abc import Iterator, Mapping
from typing import Literal

import attrs

from api.starters.vocabulary import FIELDS

OriginKind = Literal["published", "common_practice", "judgement"]
PriorMember = Literal["construction", "field", "voltage"]
Place = Literal["starter", "joint", "outside"]
Hazard = Literal["none", "low", "moderate", "high"]
Who = Literal["anyone", "repairer"]
Battery = Literal["connected", "disconnected"]
Scale = Literal["none", "system_voltage", "limit", "rated"]

OTHER = "other"
"""The fault that stands for whatever the tables do not know."""

TABLE_VOLTAGE = 12
"""The system voltage that the tables' bounds are written for."""


@attrs.frozen
class Origin:
    """Where a figure comes from; `source` says more, and is there for every published one."""

    kind: OriginKind
    source: str


@attrs.frozen
class Figure:
    """A number with its origin."""

    value: float
    origin: Origin


@attrs.frozen
class PriorFactor:
    """How many times likelier a fault is beforehand in starters of one construction, field or voltage."""

    by: PriorMember
    value: str | int
    factor: Figure


@attrs.frozen
class RootCause:
    """What to look at before a new part goes in."""

    check: str
    origin: Origin


@attrs.frozen(kw_only=True)
class FaultKnown:
    """A fault that may be wrong: where it sits, what it concerns, what mends it, how common it is."""

    code: str
    name: str
    place: Place
    constructions: tuple[str, ...]
    fields: tuple[str, ...]
    positions: tuple[str, ...]
    renew: tuple[str, ...]
    needs_part: bool
    repair: str
    cautions: tuple[str, ...]
    root_causes: tuple[RootCause, ...]
    prior: Figure
    prior_by: tuple[PriorFactor, ...]


@attrs.frozen
class AnswerKnown:
    """One answer of a choice; `cell` is the (speed, current) of a row of the no-load test.

    `cautions` are to be minded once it is given; tests with a caution of `stops` are then no longer done.
    `fields`: of the starters on which it can be right.
    """

    code: str
    words: str
    fields: tuple[str, ...] = FIELDS
    cell: tuple[str, str] | None = None
    cautions: tuple[str, ...] = ()
    stops: tuple[str, ...] = ()


@attrs.frozen
class Band:
    """A band of a number, up to a bound in what the number's scale says."""

    code: str
    words: str
    upto: float


@attrs.frozen
class Published:
    """What a source states, shown beside the limit that is taken."""

    text: str
    source: str


@attrs.frozen
class Limit:
    """The limit taken where the caller states none: for 12 V, and how it goes with voltage or rated power."""

    figure: Figure
    by_voltage: bool
    by_power: bool


@attrs.frozen
class RatedRange:
    """The rated range taken where the caller states none, for one system voltage."""

    voltage: int
    lower: float
    upper: float
    origin: Origin


@attrs.frozen(kw_only=True)
class NumberKnown:
    """How a measured number is read: its unit, its bands, its limit, what is plausible."""

    unit: Literal["volts", "amperes", "rpm"]
    scale: Scale
    most: Figure
    uncertainty: Figure
    bands: tuple[Band, ...]
    bounds_origin: Origin
    limit: Limit | None
    by_celsius: tuple[tuple[float, float], ...]
    by_celsius_origin: Origin | None
    rated: tuple[RatedRange, ...]
    published: tuple[Published, ...]
    note: str


@attrs.frozen
class Row:
    """The chances of each answer or band under some faults; `pairing` says where the two are put together."""

    faults: tuple[str, ...]
    chances: tuple[float, ...]
    origin: Origin
    pairing: Origin


@attrs.frozen(kw_only=True)
class ObservationKnown:
    """What can be observed: the question, how, what it takes, and how each fault answers it.

    Either `answers` or `number` is filled; a number of the no-load test has no chances of its own but fills
    the rows of the observation named in `no_load`.
    """

    code: str
    question: str
    how: str
    kind: Literal["question", "test"]
    hazard: Hazard
    who: Who
    battery: Battery
    minutes: Figure
    cautions: tuple[str, ...]
    constructions: tuple[str, ...]
    fields: tuple[str, ...]
    answers: tuple[AnswerKnown, ...]
    number: NumberKnown | None
    no_load: str | None
    may_vary: bool
    otherwise: Row
    rows: tuple[Row, ...]

    def outcomes(self) -> tuple[AnswerKnown | Band, ...]:
        """Return the answers or bands, in the order of the chances."""
        return self.number.bands if self.number is not None else self.answers


@attrs.frozen(kw_only=True)
class Knowledge:
    """All tables of the diagnosis, and how common the constructions and fields are where none is stated."""

    faults: Mapping[str, FaultKnown]
    observations: Mapping[str, ObservationKnown]
    construction_weights: Mapping[str, Figure]
    field_weights: Mapping[str, Figure]

    def figures(self) -> Iterator[tuple[str, Origin]]:
        """Yield what each figure is for (`chance`, `prior`, `minutes`, `limit` or `bound`) and its origin."""
        for weight in (*self.construction_weights.values(), *self.field_weights.values()):
            yield "prior", weight.origin
        for fault in self.faults.values():
            yield "prior", fault.prior.origin
            for by in fault.prior_by:
                yield "prior", by.factor.origin
        for observation in self.observations.values():
            yield "minutes", observation.minutes.origin
            for row in (*observation.rows, observation.otherwise):
                for _ in row.chances[1:]:  # the last one follows from the others
                    yield "chance", row.origin
            if observation.number is not None:
                yield from _figures_of(observation.number)

    def pairings(self) -> Iterator[Origin]:
        """Yield where it is said that an observation and a fault go together, once for each pair."""
        for observation in self.observations.values():
            for row in observation.rows:
                for _ in row.faults:
                    yield row.pairing


def _figures_of(number: NumberKnown) -> Iterator[tuple[str, Origin]]:
    yield "bound", number.most.origin
    yield "bound", number.uncertainty.origin
    for _ in number.bands[:-1]:
        yield "bound", number.bounds_origin
    if number.limit is not None:
        yield "limit", number.limit.figure.origin
    for _ in number.by_celsius:
        yield "limit", number.by_celsius_origin or number.bounds_origin
    for rated in number.rated:
        yield "limit", rated.origin
        yield "limit", rated.origin
