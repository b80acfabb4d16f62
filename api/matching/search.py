"""The use case of a search: readings in, the parts that fit out, each with its reasons."""

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
from sqlalchemy import Row

from api.database import ReadSession
from api.interchange.seat_features import PartFacts, SizeValues
from api.interchange.stored_seats import ListedSeat, seats_of_sizes
from api.matching.density import FloatArray
from api.matching.explanation import DimensionExplanation, explain_sizes
from api.matching.index import IndexedKind
from api.matching.kind_index import Looking
from api.matching.likelihood import log_slip, recorded_value
from api.matching.model import KindModel
from api.matching.posterior import MOST_CANDIDATES, count_candidates, group_probabilities
from api.matching.present_advice import present_advice
from api.matching.read_search import Asked, read_search
from api.matching.readings import AbsentReading, LengthReading
from api.matching.seat_book import MOST_SIZES
from api.matching.shapes import (
    Candidate,
    Contradiction,
    DimensionVerdict,
    MatchAnswer,
)
from api.matching.sizes import BoolArray
from api.matching.store import origins_of_values, parts_by_id
from api.measurement.instruments import Instrument
from api.offers.best_of_currency import best_part_offer
from api.offers.shapes import current_offer
from api.offers.store import terms_by_part
from api.wear_parts.shapes import PartReference
from api.wear_parts.store import size_values, successors_of_parts
from api.wire.shapes import NM_PER_MM

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
    """A part that an answer lists: its id, the place of its size among those looked at, its probability."""

    part_id: str
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
    places = np.argsort(-best, kind="stable")[:most]
    if len(places) and best[places[-1]] > 0.0:
        places = np.union1d(places, np.flatnonzero(best == best[places[-1]]))
    parts = looking.parts(places)
    of = places[parts.size]
    chances = sizes[of] * (parts.listings + 1.0) / weight[of]
    order = np.lexsort((parts.rank, -chances))[:most]
    count = count_candidates(chances[order].tolist(), looking.posterior.unlisted_probability, limit)
    return [
        _Listed(parts.id(one), int(of[one]), int(parts.listings[one]), float(chances[one]))
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
    ids = [one.part_id for one in listed]
    later = successors_of_parts(reads, ids)
    rows = parts_by_id(reads, [*ids, *later.values()])
    offers = terms_by_part(reads, ids, day)
    posterior, grouping = looking.posterior, looking.grouping
    of_group = group_probabilities(posterior, grouping)
    places = sorted({one.place for one in listed})
    size_of = {place: looking.size_id(place) for place in places}
    keys = {
        one.part_id: (size_of[one.place], PartFacts(rows[one.part_id].voltage, rows[one.part_id].material))
        for one in listed
    }
    usable = indexed.seats.usable_probabilities(_likely(looking, places), set(keys.values()), _Stored(reads))
    told = explain_sizes(indexed.model, looking.table, posterior, places)
    explained = dict(zip(places, told, strict=True))
    origins = origins_of_values(reads, list(size_of.values()))
    verdicts = {
        place: [_verdict(each, origins.get((size_of[place], each.dimension))) for each in one.dimensions]
        for place, one in explained.items()
    }
    groups = {place: grouping.group_of(place) for place in places}
    candidates = []
    for one in listed:
        part_id, place = one.part_id, one.place
        candidates.append(
            Candidate(
                part=_reference(rows[part_id]),
                probability=_rounded(one.probability),
                group=groups[place],
                group_probability=_rounded(float(of_group[grouping.number[place]])),
                usable_probability=_rounded(usable[keys[part_id]]),
                listings=one.listings,
                rests_on=rows[part_id].provenance,
                dimensions=verdicts[place],
                limiting_dimension=explained[place].limiting_dimension,
                best_offer=current_offer(best_part_offer(offers.get(part_id, []), 1, day)),
                superseded_by=_reference(rows[later[part_id]]) if part_id in later else None,
            )
        )
    return candidates


def _likely(looking: Looking, listed: list[int]) -> dict[str, float]:
    """Return the probabilities of the most probable sizes, and of those listed, by id."""
    sizes = looking.posterior.size_probability
    places = np.argsort(-sizes, kind="stable")[: MOST_SIZES + 1]
    return {looking.size_id(place): float(sizes[place]) for place in {*places.tolist(), *listed}}


def _reference(row: Row[Any]) -> PartReference:
    return PartReference(
        id=row.id, maker=row.maker, number=row.number, size=row.size, description=row.description
    )


def _verdict(told: DimensionExplanation, origin: Row[Any] | None) -> DimensionVerdict:
    return DimensionVerdict(
        dimension=told.dimension,
        verdict=told.verdict,
        read_mm=_millimetres(told.read_nm),
        compared_mm=_millimetres(told.compared_nm),
        lower_mm=_millimetres(told.lower_nm),
        upper_mm=_millimetres(told.upper_nm),
        gap_mm=_millimetres(told.gap_nm),
        implied_wear_mm=_millimetres(told.implied_wear_nm),
        standardised_gap=None if told.standardised_gap is None else round(told.standardised_gap, 3),
        read=None if told.read_value is None else str(told.read_value),
        recorded=None if told.recorded_value is None else str(told.recorded_value),
        provenance=None if origin is None else origin.provenance,
        knowledge_uncertainty_mm=None if origin is None else _millimetres(origin.knowledge_uncertainty_nm),
    )


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


def _millimetres(nm: float | None) -> float | None:
    return None if nm is None else round(nm / NM_PER_MM, 6)
