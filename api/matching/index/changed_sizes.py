"""Queries: which sizes of a kind, and rows of which parts, changed since a version, by the log of changes.

Each change that makes the catalogue's version grow is noted with that version. A load is not noted, and
neither is what no rule here knows; then nothing can be said and the kind has to be read anew.
"""

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from typing import Any, Final
from urllib.parse import unquote

import attrs
import msgspec
from sqlalchemy import ColumnElement, Row, select

from api.access.tables import AuditEntry
from api.columns import columns
from api.database import ReadSession
from api.starters.tables import Family, Listing, Position
from api.wear_parts.entries import ItemKey
from api.wear_parts.tables import Part, Size

_entry = columns(AuditEntry)
_family = columns(Family)
_listing = columns(Listing)
_part = columns(Part)
_position = columns(Position)
_size = columns(Size)

TOUCH_NOTHING: Final = frozenset({"starter", "number of a starter", "measurement record"})
"""What may change without a search being answered otherwise."""
TOUCH_OFFERS: Final = "supplier"
TOUCH_SUCCESSORS: Final = frozenset({"supersession", "number of a part"})
TOUCH_NO_SIZE: Final = TOUCH_NOTHING | TOUCH_SUCCESSORS | {"offer", TOUCH_OFFERS}
MOST_CHANGES: Final = 1_000
"""Changes, and sizes that they touch, beyond which a kind is read anew (our judgement)."""


@attrs.frozen
class ChangedRows:
    """Of which parts the rows that an answer shows may be others than before.

    `priced` are those whose offers changed; `offers` and `successors` where those of any part may have.
    """

    priced: frozenset[str] = frozenset()
    offers: bool = False
    successors: bool = False

    def and_then(self, later: "ChangedRows") -> "ChangedRows":
        """Return both together."""
        return ChangedRows(
            self.priced | later.priced, self.offers or later.offers, self.successors or later.successors
        )


UNCHANGED: Final = ChangedRows()


@attrs.frozen
class Touched:
    """The ids of the sizes that were touched; `seats` where seats may have changed; what rows of others."""

    sizes: frozenset[str]
    seats: bool
    rows: ChangedRows


def changed_since(reads: ReadSession, kind: str, version: int, now: int) -> Touched | None:
    """Return what changed of a kind after one version up to another, or nothing where that is not known."""
    if not 0 < now - version <= MOST_CHANGES:
        return None
    entries = reads.rows(
        select(_entry.noun, _entry.name, _entry.before, _entry.after, _entry.catalogue_version).where(
            _entry.catalogue_version > version, _entry.catalogue_version <= now
        )
    )
    if {entry.catalogue_version for entry in entries} != set(range(version + 1, now + 1)):
        return None
    sizes: set[str] = set()
    priced: set[ItemKey] = set()
    seats = False
    for entry in entries:
        if entry.noun == "offer":
            priced.update(_priced(entry))
        if entry.noun in TOUCH_NO_SIZE:
            continue
        touched = _touched(reads, kind, entry)
        if touched is None or len(sizes) + len(touched) > MOST_CHANGES:
            return None
        sizes.update(row[0] for row in touched)
        seats = True
    nouns = {entry.noun for entry in entries}
    rows = ChangedRows(
        _parts_of(reads, priced), TOUCH_OFFERS in nouns, not nouns.isdisjoint(TOUCH_SUCCESSORS)
    )
    return Touched(frozenset(sizes), seats, rows)


def _priced(entry: Row[Any]) -> Iterator[ItemKey]:
    """Yield the parts that an offer is or was for."""
    for state in (entry.before, entry.after):
        told = msgspec.json.decode(state) if state else {}
        if told.get("item") == "part":
            yield ItemKey("part", told["maker"], told["item_number"])


def _parts_of(reads: ReadSession, keys: Collection[ItemKey]) -> frozenset[str]:
    by_maker: dict[str, list[str]] = defaultdict(list)
    for key in keys:
        by_maker[key.maker].append(key.number)
    found = (
        reads.rows(select(_part.id).where(_part.maker_code == maker, _part.number.in_(numbers)))
        for maker, numbers in by_maker.items()
    )
    return frozenset(row.id for rows in found for row in rows)


def _touched(reads: ReadSession, kind: str, entry: Row[Any]) -> Sequence[Row[Any]] | None:
    """Return the ids of the sizes that one change touched."""
    steps = [unquote(step) for step in entry.name.split("/")]
    if entry.noun == "size":
        return reads.rows(select(_size.id).where(_size.kind_code == kind, _size.code == steps[-1]))
    if entry.noun == "part":
        codes = {msgspec.json.decode(state).get("size") for state in (entry.before, entry.after) if state}
        return reads.rows(select(_size.id).where(_size.kind_code == kind, _size.code.in_(codes)))
    if entry.noun == "listing":
        return _of_parts(reads, kind, _part.id == steps[-1])
    if entry.noun == "maker":
        return _of_parts(reads, kind, _part.maker_code == steps[-1])
    if entry.noun in ("family", "position"):
        return _of_family(reads, kind, steps[steps.index("families") + 1])
    return None


def _of_parts(reads: ReadSession, kind: str, which: ColumnElement[bool]) -> Sequence[Row[Any]]:
    statement = select(_part.size_id).where(_part.kind_code == kind, which).distinct()
    return reads.rows(statement.limit(MOST_CHANGES + 1))


def _of_family(reads: ReadSession, kind: str, code: str) -> Sequence[Row[Any]]:
    statement = (
        select(_part.size_id)
        .join(Listing, _listing.part_id == _part.id)
        .join(Position, _position.id == _listing.position_id)
        .join(Family, _family.id == _position.family_id)
        .where(_part.kind_code == kind, _family.code == code)
        .distinct()
    )
    return reads.rows(statement.limit(MOST_CHANGES + 1))
