"""The use case of a search: readings in, the parts that fit out, each with its reasons."""

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from api.database import ReadSession
from api.interchange.seat_features import SizeValues
from api.interchange.stored_seats import ListedSeat, seats_of_sizes
from api.matching.answers.listed_parts import ListedPart, list_parts
from api.matching.answers.present_advice import present_advice
from api.matching.answers.read_search import Asked, read_search
from api.matching.answers.show_verdicts import show_verdicts
from api.matching.answers.shown_parts import shown_parts
from api.matching.index.candidate_index import IndexedKind
from api.matching.index.kind_index import Looking
from api.matching.index.seat_book import MOST_SIZES
from api.matching.likelihoods.explanation import explain_sizes
from api.matching.likelihoods.likelihood import log_slip, recorded_value
from api.matching.likelihoods.posterior import greatest, group_probabilities
from api.matching.model import KindModel
from api.matching.readings import AbsentReading, LengthReading
from api.matching.shapes import (
    Candidate,
    Contradiction,
    MatchAnswer,
)
from api.matching.sizes.column_values import values_at
from api.matching.sizes.size_table import BoolArray, SizeTable
from api.measurement.instruments import Instrument

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
    listed = list_parts(looking, search.limit)
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
class _Source:
    """Sizes as the index has them, by their places among those looked at, and seats as the database has."""

    reads: ReadSession
    kind: KindModel
    table: SizeTable
    places: Mapping[str, int]

    def values(self, size_ids: Collection[str]) -> Mapping[str, SizeValues]:
        """Return what sizes record, each of which must be among the places."""
        found = values_at(self.kind, self.table, [self.places[size_id] for size_id in size_ids])
        return dict(zip(size_ids, found, strict=True))

    def seats(self, size_ids: Collection[str]) -> Iterable[ListedSeat]:
        """Return the seats that parts of the sizes are listed for."""
        return seats_of_sizes(self.reads, size_ids)


def _candidates(
    reads: ReadSession, indexed: IndexedKind, looking: Looking, listed: Sequence[ListedPart], day: date
) -> list[Candidate]:
    shown = shown_parts(reads, indexed, listed, day)
    posterior, grouping = looking.posterior, looking.grouping
    of_group = group_probabilities(posterior, grouping)
    places = sorted({one.looked for one in listed})
    id_of = _likely(looking, places)
    keys = [(id_of[one.looked], shown[one.id].facts) for one in listed]
    source = _Source(reads, indexed.model, looking.table, {one: place for place, one in id_of.items()})
    chance_of = {one: float(posterior.size_probability[place]) for place, one in id_of.items()}
    fitting = indexed.seats.usable_probabilities(chance_of, set(keys), source)
    usable = {key: _rounded(chance) for key, chance in fitting.items()}
    told = explain_sizes(indexed.model, looking.table, posterior, places)
    explained = dict(zip(places, told, strict=True))
    verdicts = show_verdicts(reads, indexed, looking, explained)
    groups = {place: grouping.group_of(place) for place in places}
    chances = {place: _rounded(float(of_group[grouping.number[place]])) for place in places}
    return [
        Candidate(
            part=row.reference,
            probability=_rounded(one.probability),
            group=groups[one.looked],
            group_probability=chances[one.looked],
            usable_probability=usable[key],
            listings=one.listings,
            rests_on=row.rests_on,
            dimensions=verdicts[one.looked],
            limiting_dimension=explained[one.looked].limiting_dimension,
            best_offer=row.best_offer,
            superseded_by=row.superseded_by,
        )
        for one, key in zip(listed, keys, strict=True)
        for row in (shown[one.id],)
    ]


def _likely(looking: Looking, listed: list[int]) -> dict[int, str]:
    """Return the ids of the most probable sizes, and of those listed, by place."""
    probable = greatest(looking.posterior.size_probability, MOST_SIZES + 1)
    places = sorted({*probable.tolist(), *listed})
    return dict(zip(places, looking.size_ids(places), strict=True))


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
