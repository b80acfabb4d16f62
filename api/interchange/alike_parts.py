"""The parts that come into question for a position or in place of a part, with what each costs."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from typing import Any

import attrs
from sqlalchemy import Row

from api.database import ReadSession
from api.fit.judging.reasons import GRADE_ORDER
from api.interchange import store
from api.interchange.reasons import RELATION_ORDER, Relation
from api.interchange.seat_features import SizeValues
from api.interchange.shapes import GradedPart
from api.offers.offer_terms import OfferTerms
from api.offers.store import terms_by_part
from api.wear_parts.store import size_values, successors_of_parts


@attrs.frozen
class AlikeParts:
    """Sizes alike to some, their parts and everything that is shown of those parts.

    `alike` leads from a size to the sizes that may stand in for it; `parts` from a size to its parts.
    """

    alike: Mapping[str, Mapping[str, Relation]]
    values: Mapping[str, SizeValues]
    parts: Mapping[str, Sequence[Row[Any]]]
    offers: Mapping[str, Sequence[OfferTerms]]
    successors: Mapping[str, Row[Any]]


def find_alike_parts(reads: ReadSession, size_ids: Collection[str], day: date) -> AlikeParts:
    """Return what may stand in for parts of some sizes, in six queries whatever their number."""
    alike: dict[str, dict[str, Relation]] = {size: {size: "same_size"} for size in size_ids}
    for row in store.alike_sizes(reads, size_ids):
        alike[row.reference][row.candidate] = "look_alike" if row.differing else "overlapping_size"
    every = {candidate for candidates in alike.values() for candidate in candidates}
    parts: dict[str, list[Row[Any]]] = defaultdict(list)
    for part in store.parts_of_sizes(reads, every):
        parts[part.size_id].append(part)
    ids = [part.id for found in parts.values() for part in found]
    newer = successors_of_parts(reads, ids)
    rows = store.parts_by_id(reads, set(newer.values()))
    return AlikeParts(
        alike=alike,
        values=size_values(reads, every),
        parts=parts,
        offers=terms_by_part(reads, ids, day),
        successors={old: rows[new] for old, new in newer.items() if new in rows},
    )


def best_first(parts: Iterable[GradedPart]) -> list[GradedPart]:
    """Order parts by grade, relation, those on offer first, price for the quantity, maker and number."""
    return sorted(parts, key=_preference)


def _preference(one: GradedPart) -> tuple[object, ...]:
    offer = one.best_offer
    price = ("", 0.0) if offer is None else (offer.goods.currency, float(offer.goods.amount))
    return (
        GRADE_ORDER.index(one.grade),
        RELATION_ORDER.index(one.relation),
        offer is None,
        price,
        one.part.maker,
        one.part.number,
    )
