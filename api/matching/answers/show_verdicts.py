"""How the readings stand to each size of an answer, with what its values rest on, as the wire has it."""

from collections.abc import Mapping
from typing import cast

from api.database import ReadSession
from api.matching.index.candidate_index import IndexedKind
from api.matching.index.kind_index import Looking
from api.matching.index.shelf import NONE
from api.matching.likelihoods.explanation import DimensionExplanation, SizeExplanation
from api.matching.shapes import DimensionVerdict, Provenance
from api.matching.store import origins_of_values
from api.wear_parts.vocabulary import PROVENANCES
from api.wire.shapes import NM_PER_MM

Origin = tuple[str | None, int | None]
"""What a value rests on, and with which uncertainty (nm) records know it."""


def show_verdicts(
    reads: ReadSession, indexed: IndexedKind, looking: Looking, explained: Mapping[int, SizeExplanation]
) -> dict[int, list[DimensionVerdict]]:
    """Return the verdicts of the sizes at some places among those looked at."""
    sizes, shelf = len(indexed.index.bulk.columns), indexed.shelf
    row_of = {place: int(looking.rows[place]) for place in explained}
    added = [place for place, row in row_of.items() if row >= sizes]
    id_of = dict(zip(added, looking.size_ids(added), strict=True))
    of_tail = origins_of_values(reads, list(id_of.values())) if id_of else {}

    def origin(place: int, dimension: str) -> Origin:
        if place in id_of:
            row = of_tail.get((id_of[place], dimension))
            return (None, None) if row is None else (row.provenance, row.knowledge_uncertainty_nm)
        told = int(shelf.provenance[dimension][row_of[place]])
        known = int(shelf.knowledge[dimension][row_of[place]])
        return (None if told == NONE else PROVENANCES[told], None if known == NONE else known)

    return {
        place: [_verdict(told, origin(place, told.dimension)) for told in one.dimensions]
        for place, one in explained.items()
    }


def _verdict(told: DimensionExplanation, origin: Origin) -> DimensionVerdict:
    provenance, knowledge = origin
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
        provenance=cast(Provenance | None, provenance),
        knowledge_uncertainty_mm=_millimetres(knowledge),
    )


def _millimetres(nm: float | None) -> float | None:
    return None if nm is None else round(nm / NM_PER_MM, 6)
