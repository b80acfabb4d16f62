"""The rows of the parts that an answer lists: from the shelf, or from the database where it is behind.

Both tell the same; the shelf takes microseconds for what takes the database milliseconds.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from functools import lru_cache
from typing import Any, NamedTuple, cast

import numpy as np
from sqlalchemy import Row

from api.database import ReadSession
from api.interchange.seat_features import PartFacts
from api.matching.answers.listed_parts import ListedPart
from api.matching.columns.bulk import Bulk, id_texts
from api.matching.index.candidate_index import IndexedKind
from api.matching.index.shelf import CONDITIONS, NONE, UNDECIDED, Shelf
from api.matching.shapes import Provenance
from api.matching.sizes.size_table import IntArray
from api.matching.store import parts_by_id
from api.money.amounts import Money
from api.money.currencies import find_currency
from api.offers.best_of_currency import best_part_offer
from api.offers.shapes import CurrentOffer, current_offer, money_answer
from api.offers.store import terms_by_part
from api.wear_parts.shapes import PartReference
from api.wear_parts.store import successors_of_parts
from api.wear_parts.vocabulary import PROVENANCES
from api.wire.shapes import MoneyAnswer


class ShownPart(NamedTuple):
    """What an answer shows of a part."""

    reference: PartReference
    facts: PartFacts
    rests_on: Provenance
    best_offer: CurrentOffer | None
    superseded_by: PartReference | None


def shown_parts(
    reads: ReadSession, indexed: IndexedKind, listed: Sequence[ListedPart], day: date
) -> dict[str, ShownPart]:
    """Return what to show of some parts of a kind, by their ids, with prices of `day`."""
    shelf, bulk, changed = indexed.shelf, indexed.index.bulk, indexed.changed
    of_shelf: list[ListedPart] = []
    if not (changed.offers or changed.successors):
        of_shelf = [one for one in listed if one.place is not None and one.id not in changed.priced]
    places = np.array([one.place for one in of_shelf], dtype=np.int64)
    best = shelf.offers.best(places, day.toordinal())
    replaced = shelf.replacement_of(places.tolist())
    newer = dict(zip(replaced, id_texts(shelf.replacements[list(replaced.values())]), strict=True))
    found = {
        one.id: shown
        for one, offer, shown in zip(
            of_shelf, best.tolist(), _of_shelf(shelf, bulk, of_shelf, places, best), strict=True
        )
        if offer != UNDECIDED
    }
    missing = [one.id for one in listed if one.id not in found]
    later = {one.id: newer[one.place] for one in of_shelf if one.id in found and one.place in newer}
    asked = {**later, **successors_of_parts(reads, missing)}
    rows = parts_by_id(reads, [*missing, *asked.values()]) if missing or asked else {}
    offers = terms_by_part(reads, missing, day)
    for part_id in missing:
        row = rows[part_id]
        found[part_id] = ShownPart(
            reference=_reference(row),
            facts=PartFacts(row.voltage, row.material),
            rests_on=row.provenance,
            best_offer=current_offer(best_part_offer(offers.get(part_id, []), 1, day)),
            superseded_by=None,
        )
    for part_id, newer_id in asked.items():
        found[part_id] = found[part_id]._replace(superseded_by=_reference(rows[newer_id]))
    return found


def _reference(row: Row[Any]) -> PartReference:
    return PartReference(
        id=row.id, maker=row.maker, number=row.number, size=row.size, description=row.description
    )


def _of_shelf(
    shelf: Shelf, bulk: Bulk, listed: Sequence[ListedPart], places: IntArray, best: IntArray
) -> Iterator[ShownPart]:
    """Yield what the shelf tells of parts, without their successors."""
    names, facts, offers = shelf.name_of_maker, shelf.facts_told, _offers(shelf, best)
    rows = np.array([one.row for one in listed], dtype=np.int64)
    told = zip(
        listed,
        bulk.parts.keys.at_all(bulk.parts.rank[places]),
        bulk.names.at_all(bulk.columns.rank[rows]),
        shelf.descriptions.at_all(places),
        shelf.facts.codes[places].tolist(),
        shelf.rests_on[places].tolist(),
        strict=True,
    )
    for place, (one, key, size, description, stated, rests_on) in enumerate(told):
        maker, number = key.split("\n", 1)
        yield ShownPart(
            reference=PartReference(
                id=one.id, maker=names[maker], number=number, size=size, description=description
            ),
            facts=facts[stated],
            rests_on=cast(Provenance, PROVENANCES[rests_on]),
            best_offer=offers.get(place),
            superseded_by=None,
        )


def _offers(shelf: Shelf, best: IntArray) -> Mapping[int, CurrentOffer]:
    """Return the offers taken, by their place among `best`."""
    told = shelf.offers
    taken = np.flatnonzero(best > NONE)
    chosen = best[taken]
    figures = (told.price, told.packs, told.pack_size, told.minimum, told.lead, told.stock, told.last)
    columns = [one[chosen].tolist() for one in figures]
    codes = (told.supplier.codes, told.currency.codes, told.condition)
    suppliers, currencies, conditions = (one[chosen].tolist() for one in codes)
    numbers = told.numbers.at_all(chosen)
    answer: dict[int, CurrentOffer] = {}
    for at, place in enumerate(taken.tolist()):
        price, packs, pack_size, minimum, lead, stock, last = (column[at] for column in columns)
        currency = told.currency.few[currencies[at]]
        of_pack = _money(price, currency)
        answer[place] = CurrentOffer(
            supplier=told.supplier.few[suppliers[at]],
            number=numbers[at],
            condition=CONDITIONS[conditions[at]],
            price=of_pack,
            pack_size=pack_size,
            minimum_quantity=minimum,
            packs=packs,
            goods=of_pack if packs == 1 else _money(price * packs, currency),
            lead_time_days=lead,
            stock=None if stock == NONE else stock,
            valid_until=_day(last),
        )
    return answer


@lru_cache(maxsize=4096)
def _money(minor: int, currency: str) -> MoneyAnswer:
    return money_answer(Money(minor, find_currency(currency)))


@lru_cache(maxsize=1024)
def _day(ordinal: int) -> str | None:
    return None if ordinal == date.max.toordinal() else date.fromordinal(ordinal).isoformat()
