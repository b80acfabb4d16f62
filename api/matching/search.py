"""The use case of a search: readings in, the parts that fit out, each with its reasons."""

import math
from collections.abc import Collection, Mapping
from datetime import date
from typing import Any

import numpy as np
from sqlalchemy import Row

from api.database import ReadSession
from api.interchange.seat_features import PartFacts, SizeValues
from api.matching.explanation import DimensionExplanation, explain_sizes
from api.matching.index import IndexedKind
from api.matching.likelihood import log_slip, recorded_value
from api.matching.posterior import Posterior, count_candidates, group_probabilities, weigh_sizes
from api.matching.present_advice import present_advice
from api.matching.read_search import Asked, read_search
from api.matching.readings import AbsentReading, LengthReading
from api.matching.shapes import (
    Candidate,
    Contradiction,
    DimensionVerdict,
    MatchAnswer,
)
from api.matching.sizes import BoolArray, IntArray
from api.matching.store import parts_by_id
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
    posterior = weigh_sizes(indexed.model, indexed.table, search.readings)
    probability = posterior.size_probability[indexed.part_size] * indexed.part_share
    order: IntArray = np.argsort(-probability, kind="stable")
    listed = order[
        : count_candidates(probability[order].tolist(), posterior.unlisted_probability, search.limit)
    ]
    candidates = _candidates(reads, indexed, posterior, probability, listed, day)
    unlisted = _rounded(posterior.unlisted_probability)
    shown = math.fsum(candidate.probability for candidate in candidates)
    return MatchAnswer(
        kind=indexed.model.kind,
        condition=search.condition,
        model=indexed.model.version,
        readings=search.echoed,
        total=int(_explained(indexed, posterior)[indexed.part_size].sum()),
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
        next_reading=present_advice(indexed, posterior, search, instruments),
    )


def _candidates(
    reads: ReadSession,
    indexed: IndexedKind,
    posterior: Posterior,
    probability: np.ndarray[tuple[int], np.dtype[np.float64]],
    listed: IntArray,
    day: date,
) -> list[Candidate]:
    ids = [indexed.part_ids[place] for place in listed]
    later = successors_of_parts(reads, ids)
    rows = parts_by_id(reads, [*ids, *later.values()])
    offers = terms_by_part(reads, ids, day)
    of_group = group_probabilities(posterior, indexed.grouping)
    sizes: IntArray = np.unique(indexed.part_size[listed])
    facts = {part_id: PartFacts(rows[part_id].voltage, rows[part_id].material) for part_id in ids}
    told_parts = {
        (int(indexed.part_size[place]), facts[part_id])
        for place, part_id in zip(listed.tolist(), ids, strict=True)
    }
    usable = indexed.seats.usable_probabilities(
        posterior.size_probability, told_parts, lambda size_rows: _values(reads, indexed, size_rows)
    )
    told = explain_sizes(indexed.model, indexed.table, posterior, sizes.tolist())
    explained = dict(zip(sizes.tolist(), told, strict=True))
    candidates = []
    for place, part_id in zip(listed.tolist(), ids, strict=True):
        size = int(indexed.part_size[place])
        candidates.append(
            Candidate(
                part=_reference(rows[part_id]),
                probability=_rounded(float(probability[place])),
                group=indexed.grouping.group_of(size),
                group_probability=_rounded(float(of_group[indexed.grouping.number[size]])),
                usable_probability=_rounded(usable[size, facts[part_id]]),
                listings=int(indexed.part_listings[place]),
                rests_on=rows[part_id].provenance,
                dimensions=[_verdict(one) for one in explained[size].dimensions],
                limiting_dimension=explained[size].limiting_dimension,
                best_offer=current_offer(best_part_offer(offers.get(part_id, []), 1, day)),
                superseded_by=_reference(rows[later[part_id]]) if part_id in later else None,
            )
        )
    return candidates


def _values(reads: ReadSession, indexed: IndexedKind, size_rows: Collection[int]) -> dict[int, SizeValues]:
    found = size_values(reads, [indexed.size_ids[row] for row in size_rows])
    return {row: found.get(indexed.size_ids[row], {}) for row in size_rows}


def _reference(row: Row[Any]) -> PartReference:
    return PartReference(
        id=row.id, maker=row.maker, number=row.number, size=row.size, description=row.description
    )


def _verdict(told: DimensionExplanation) -> DimensionVerdict:
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
    )


def _explained(indexed: IndexedKind, posterior: Posterior) -> BoolArray:
    """Return the sizes under which every reading is likelier to be true than to be a slip."""
    explained: BoolArray = np.ones(len(indexed.table), dtype=np.bool_)
    for reading in posterior.readings:
        dimension = indexed.model.dimension(reading.dimension)
        column = indexed.table.columns[reading.dimension]
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
