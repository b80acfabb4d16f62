"""The use case of a search: readings in, the parts that fit out, each with its reasons."""

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from api.database import ReadSession
from api.interchange.seat_features import SizeValues
from api.interchange.stored_seats import ListedSeat, seats_of_sizes
from api.matching.density import FloatArray
from api.matching.explanation import explain_sizes
from api.matching.index import IndexedKind
from api.matching.kind_index import Looking
from api.matching.likelihood import log_slip, recorded_value
from api.matching.model import KindModel
from api.matching.posterior import MOST_CANDIDATES, count_candidates, greatest, group_probabilities
from api.matching.present_advice import present_advice
from api.matching.read_search import Asked, read_search
from api.matching.readings import AbsentReading, LengthReading
from api.matching.seat_book import MOST_SIZES
from api.matching.shapes import (
    Candidate,
    Contradiction,
    MatchAnswer,
)
from api.matching.show_verdicts import show_verdicts
from api.matching.shown_parts import ListedPart, shown_parts
from api.matching.sizes import BoolArray
from api.measurement.instruments import Instrument
from api.wear_parts.store import size_values

DIGITS = 9
"""Decimals of a probability in an answer."""

REASONS = {
    "repeats_disagree": "its repeats disagree by more than the instrument and wear explain",
    "no_size_explains_it": "no size in the catalogue explains it",
    "disagrees_with_other_readings": "the sizes that explain the other readings do not explain it",
}


def find_matches(
    reads: ReadSession, indexed: IndexedKind, asked: Asked, instruments: Mapping[str, Instrument], day: date
) -> MatchAnswer:
    """Return the parts that fit the readings asked about, most probable first, with prices of `day`.

    Raises `InvalidInput` with every fault of what was asked.
    """
    search = read_search(asked, indexed.model, instruments)
    looking = indexed.index.look(indexed.model, search.readings)
    posterior = looking.posterior
    listed = _list_parts(looking, search.limit)
    candidates = _candidates(reads, indexed, looking, listed, day)
    unlisted = _rounded(posterior.unlisted_probability)
    shown = math.fsum(candidate.probability for candidate in candidates)
    return MatchAnswer(
        kind=indexed.model.kind,
        condition=search.condition,
        model=indexed.model.version,
        readings=search.echoed,
        total=int(looking.part_counts[_explained(indexed.model, looking)].sum()),
        candidates=candidates,
        remaining_probability=_rounded(max(0.0, 1.0 - unlisted - shown)),
        unlisted_probability=unlisted,
        contradictions=[
            Contradiction(
                dimension=one.dimension,
                reason=REASONS[one.reason],
                code=one.reason,
                slip_probability=None if one.slip_probability is None else _rounded(one.slip_probability),
            )
            for one in posterior.contradictions
        ],
        next_reading=present_advice(indexed, looking, search, instruments),
    )


@dataclass(frozen=True, slots=True)
class _Listed:
    """A part that an answer lists: the place of its size among those looked at, its probability."""

    part: ListedPart
    place: int
    listings: int
    probability: float


def _list_parts(looking: Looking, limit: int | None) -> list[_Listed]:
    """Return the parts that an answer lists, the most probable first, equals by maker and number.

    A size's parts share its probability by their listings + 1. Only the sizes whose best part can be among
    the first are opened.
    """
    most = MOST_CANDIDATES if limit is None else limit
    sizes = looking.posterior.size_probability
    weight = looking.table.listings + looking.part_counts
    best: FloatArray = sizes * np.where(
        looking.part_counts > 0, looking.greatest_part_weight / np.maximum(weight, 1), 0.0
    )
    places = greatest(best, most)
    if len(places) and best[places[-1]] > 0.0:
        places = np.union1d(places, np.flatnonzero(best == best[places[-1]]))
    parts = looking.parts(places)
    of = places[parts.size]
    chances = sizes[of] * (parts.listings + 1.0) / weight[of]
    first = np.arange(len(chances))
    if len(chances) > most:
        first = np.flatnonzero(chances >= np.partition(chances, -most)[-most])
    order = first[np.lexsort((parts.rank[first], -chances[first]))][:most]
    count = count_candidates(chances[order].tolist(), looking.posterior.unlisted_probability, limit)
    return [
        _Listed(
            ListedPart(parts.id(one), parts.shelf_place(one), int(looking.rows[of[one]])),
            int(of[one]),
            int(parts.listings[one]),
            float(chances[one]),
        )
        for one in order[:count].tolist()
    ]


@dataclass(frozen=True, slots=True)
class _Stored:
    """Sizes and seats as the database has them."""

    reads: ReadSession

    def values(self, size_ids: Collection[str]) -> Mapping[str, SizeValues]:
        """Return what sizes record; nothing is an empty mapping."""
        found = size_values(self.reads, list(size_ids))
        return {size_id: found.get(size_id, {}) for size_id in size_ids}

    def seats(self, size_ids: Collection[str]) -> Iterable[ListedSeat]:
        """Return the seats that parts of the sizes are listed for."""
        return seats_of_sizes(self.reads, size_ids)


def _candidates(
    reads: ReadSession, indexed: IndexedKind, looking: Looking, listed: list[_Listed], day: date
) -> list[Candidate]:
    shown = shown_parts(reads, indexed, [one.part for one in listed], day)
    posterior, grouping = looking.posterior, looking.grouping
    of_group = group_probabilities(posterior, grouping)
    places = sorted({one.place for one in listed})
    size_of = {place: looking.size_id(place) for place in places}
    keys = {one.part.id: (size_of[one.place], shown[one.part.id].facts) for one in listed}
    usable = indexed.seats.usable_probabilities(_likely(looking, places), set(keys.values()), _Stored(reads))
    explained = dict(zip(places, explain_sizes(indexed.model, looking.table, posterior, places), strict=True))
    verdicts = show_verdicts(reads, indexed, looking, explained)
    groups = {place: grouping.group_of(place) for place in places}
    chances = {place: _rounded(float(of_group[grouping.number[place]])) for place in places}
    return [
        Candidate(
            part=row.reference,
            probability=_rounded(one.probability),
            group=groups[one.place],
            group_probability=chances[one.place],
            usable_probability=_rounded(usable[keys[one.part.id]]),
            listings=one.listings,
            rests_on=row.rests_on,
            dimensions=verdicts[one.place],
            limiting_dimension=explained[one.place].limiting_dimension,
            best_offer=row.best_offer,
            superseded_by=row.superseded_by,
        )
        for one in listed
        for row in (shown[one.part.id],)
    ]


def _likely(looking: Looking, listed: list[int]) -> dict[str, float]:
    """Return the probabilities of the most probable sizes, and of those listed, by id."""
    sizes = looking.posterior.size_probability
    places = greatest(sizes, MOST_SIZES + 1)
    return {looking.size_id(place): float(sizes[place]) for place in {*places.tolist(), *listed}}


def _explained(kind: KindModel, looking: Looking) -> BoolArray:
    """Return the sizes under which every reading is likelier to be true than to be a slip."""
    posterior = looking.posterior
    explained: BoolArray = np.ones(len(looking.table), dtype=np.bool_)
    for reading in posterior.readings:
        dimension = kind.dimension(reading.dimension)
        column = looking.table.columns[reading.dimension]
        likely = posterior.log_likelihoods[reading.dimension] > log_slip(dimension) + math.log(2)
        if isinstance(reading, AbsentReading):
            likely = column.does_not_apply
        elif not isinstance(reading, LengthReading):
            likely = column.is_recorded & (column.lower == recorded_value(dimension, reading))
        explained &= likely | ~(column.is_recorded | column.does_not_apply)
    return explained


def _rounded(chance: float) -> float:
    return min(1.0, round(chance, DIGITS))
