"""Queries: what the parts, offers and sizes of a kind tell, as the columns of its shelf."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from functools import cached_property
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import select

from api.columns import columns
from api.database import ReadSession
from api.interchange.seat_features import PartFacts
from api.matching.columns.bulk import Bulk, id_bytes, last_half
from api.matching.columns.text_column import TextColumn
from api.matching.index.index_rows import BATCH
from api.matching.index.shelf import CONDITIONS, NONE, Coded, OfferColumns, Shelf, facts_text
from api.matching.model import KindModel
from api.matching.sizes.size_table import IntArray
from api.offers.tables import Offer, Supplier
from api.wear_parts.standing import part_stands
from api.wear_parts.store import successors_of_kind
from api.wear_parts.tables import Maker, Part, SizeValue
from api.wear_parts.vocabulary import PROVENANCES

_NEVER: Final = date.max.toordinal()
_PRICE, _PACKS, _LEAD = 0, 1, 4
_maker = columns(Maker)
_offer = columns(Offer)
_part = columns(Part)
_size_value = columns(SizeValue)
_supplier = columns(Supplier)


def read_shelf(reads: ReadSession, model: KindModel, bulk: Bulk) -> Shelf:
    """Return the columns of a kind whose bulk was built from the same state of the catalogue."""
    kind, parts, sizes = model.kind, _Places(bulk.parts.ids), _Places(bulk.size_ids)
    makers = reads.rows(select(_maker.code, _maker.name).order_by(_maker.code))
    descriptions, facts, rests_on = _parts(reads, kind, parts)
    replaced = {row.older: row.newer for row in successors_of_kind(reads, kind)}
    found = zip(parts.of(list(replaced)).tolist(), replaced.values(), strict=True)
    successors = sorted((place, newer) for place, newer in found if place != NONE)
    provenance, knowledge = _origins(reads, model, sizes)
    return Shelf(
        makers=TextColumn.of([row.code for row in makers]),
        maker_names=TextColumn.of([row.name for row in makers]),
        descriptions=descriptions,
        facts=facts,
        rests_on=rests_on,
        offers=_offers(reads, kind, parts),
        replaced=np.array([place for place, _ in successors], dtype=np.int32),
        replacements=id_bytes([newer for _, newer in successors]),
        provenance=provenance,
        knowledge=knowledge,
    )


class _Places:
    """Where each of some ids stands among them."""

    def __init__(self, ids: NDArray[np.uint8]) -> None:
        halves = last_half(ids)
        self._order = np.argsort(halves)
        self._sorted = halves[self._order]

    def __len__(self) -> int:
        return len(self._order)

    def of(self, ids: Sequence[str]) -> IntArray:
        """Return the place of each id, `NONE` where it is not among them."""
        halves = last_half(id_bytes(ids))
        found = np.searchsorted(self._sorted, halves)
        known = found < len(self._sorted)
        known[known] = self._sorted[found[known]] == halves[known]
        return np.where(known, self._order[np.where(known, found, 0)] if len(self) else NONE, NONE)


def _parts(reads: ReadSession, kind: str, parts: _Places) -> tuple[Coded, Coded, NDArray[np.int8]]:
    """Return the descriptions of the parts, what they state themselves, and what they rest on."""
    statement = select(_part.id, _part.description, _part.voltage, _part.material, _part.provenance)
    rows = reads.stream(statement.where(_part.kind_code == kind, part_stands()), BATCH)
    ids: list[str] = []
    described, stated, rests = _Coding(), _Coding(), _Coding(PROVENANCES)
    for part_id, description, voltage, material, provenance in map(tuple, rows):
        ids.append(part_id)
        described.add(description)
        stated.add(facts_text(PartFacts(voltage, material)))
        rests.add(provenance)
    order = np.argsort(parts.of(ids))[-len(parts) :] if len(parts) else np.zeros(0, dtype=np.int64)
    return (
        described.column(order),
        stated.column(order),
        rests.codes[order].astype(np.int8),
    )


class _Coding:
    """Values as codes, in the order in which each was first met."""

    def __init__(self, known: Iterable[Any] = ()) -> None:
        self._places: dict[Any, int] = {value: place for place, value in enumerate(known)}
        self._codes: list[int] = []

    def add(self, value: Any) -> None:
        self._codes.append(self._places.setdefault(value, len(self._places)))

    @property
    def distinct(self) -> list[Any]:
        return list(self._places)

    @cached_property
    def codes(self) -> NDArray[np.int32]:
        return np.array(self._codes, dtype=np.int32)

    def column(self, order: IntArray) -> Coded:
        return Coded(TextColumn.of(self.distinct), self.codes[order])


def _offers(reads: ReadSession, kind: str, parts: _Places) -> OfferColumns:
    """Return the offers that hold on some day, of unused parts, in the order of their preference."""
    statement = (
        select(
            _offer.part_id,
            _supplier.code,
            _offer.number,
            _offer.currency,
            _offer.condition,
            _offer.price_minor,
            _offer.pack_size,
            _offer.minimum_quantity,
            _offer.lead_time_days,
            _offer.stock,
            _offer.valid_from,
            _offer.valid_until,
        )
        .join(Supplier, _supplier.id == _offer.supplier_id)
        .join(Part, _part.id == _offer.part_id)
        .where(
            _part.kind_code == kind,
            part_stands(),
            _offer.withdrawn_on.is_(None),
            _supplier.withdrawn_on.is_(None),
            _offer.condition.in_(CONDITIONS),
        )
    )
    ids: list[str] = []
    numbers: list[str] = []
    supplier, currency, condition = _Coding(), _Coding(), _Coding(CONDITIONS)
    figures: list[tuple[int, ...]] = []
    days: dict[str | None, int] = {None: _NEVER}
    for row in reads.stream(statement, BATCH):
        part_id, supplier_code, number, currency_code, worth, *terms = tuple(row)
        price, pack, minimum, lead, stock, first, last = terms
        for day in (first, last):
            if day not in days:
                days[day] = date.fromisoformat(day).toordinal()
        ids.append(part_id)
        numbers.append(number)
        supplier.add(supplier_code)
        currency.add(currency_code)
        condition.add(worth)
        packs = -(-max(1, minimum) // pack)
        left = NONE if stock is None else stock
        figures.append((price, packs, pack, minimum, lead, left, days[first], days[last]))
    table = np.array(figures, dtype=np.int64).reshape(len(figures), 8)
    place = parts.of(ids)
    ranks = (_rank(numbers), _rank(supplier.distinct)[supplier.codes])
    order = np.lexsort((*ranks, table[:, _LEAD], table[:, _PRICE] * table[:, _PACKS], place))
    order = order[place[order] != NONE]
    start = np.zeros(len(parts) + 1, dtype=np.int64)
    np.cumsum(np.bincount(place[order], minlength=len(parts)), out=start[1:])
    price, packs, pack, minimum, lead, stock, first, last = table[order].T
    return OfferColumns(
        start=start,
        numbers=TextColumn.of([numbers[one] for one in order.tolist()]),
        supplier=supplier.column(order),
        currency=currency.column(order),
        condition=condition.codes[order].astype(np.int8),
        price=np.ascontiguousarray(price),
        packs=packs.astype(np.int32),
        pack_size=pack.astype(np.int32),
        minimum=minimum.astype(np.int32),
        lead=lead.astype(np.int32),
        stock=stock.astype(np.int32),
        first=first.astype(np.int32),
        last=last.astype(np.int32),
    )


def _rank(texts: Sequence[str]) -> IntArray:
    """Return the place of each text in the order of their code points."""
    rank = np.empty(len(texts), dtype=np.int64)
    rank[sorted(range(len(texts)), key=texts.__getitem__)] = np.arange(len(texts))
    return rank


def _origins(
    reads: ReadSession, model: KindModel, sizes: _Places
) -> tuple[Mapping[str, NDArray[np.int8]], Mapping[str, IntArray]]:
    """Return, by dimension, what the values of each size rest on and how well they are known."""
    statement = select(
        _size_value.dimension_code,
        _size_value.size_id,
        _size_value.provenance,
        _size_value.knowledge_uncertainty_nm,
    ).where(_size_value.kind_code == model.kind)
    found: dict[str, tuple[list[str], list[int], list[int]]] = {
        one.code: ([], [], []) for one in model.dimensions
    }
    code_of = {told: place for place, told in enumerate(PROVENANCES)}
    for dimension, size_id, told, knowledge in map(tuple, reads.stream(statement, BATCH)):
        ids, rests, known = found[dimension]
        ids.append(size_id)
        rests.append(code_of[told])
        known.append(NONE if knowledge is None else knowledge)
    provenance, uncertainty = {}, {}
    for dimension, (ids, rests, known) in found.items():
        place = sizes.of(ids)
        stands = place != NONE
        provenance[dimension] = np.full(len(sizes), NONE, dtype=np.int8)
        uncertainty[dimension] = np.full(len(sizes), NONE, dtype=np.int64)
        provenance[dimension][place[stands]] = np.array(rests, dtype=np.int8)[stands]
        uncertainty[dimension][place[stands]] = np.array(known, dtype=np.int64)[stands]
    return provenance, uncertainty
