"""What the catalogue's rules ask of a database: is there such a supplier, part or starter; one at a time."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final, Generic, TypeVar

from sqlalchemy import Row, func, literal, select

from api.columns import columns
from api.database import ReadSession
from api.errors import FieldFault, shown
from api.offers.tables import Supplier
from api.starters.tables import Starter
from api.wear_parts.entries import ItemKey
from api.wear_parts.tables import Maker, Part, Size

Key = TypeVar("Key")
Value = TypeVar("Value")

MOST_SUGGESTED: Final = 1_000
"""How many known names are weighed when the nearest is suggested (our judgement)."""

_maker = columns(Maker)
_part = columns(Part)
_size = columns(Size)
_starter = columns(Starter)
_supplier = columns(Supplier)


class Known(Mapping[Key, Value], Generic[Key, Value]):
    """A mapping that asks the database for each key once, when it is wanted.

    `find` returns the row of a key, `value` what it leads to; `some` lists the first few keys, which is all
    that iterating gives: it serves suggestions.
    """

    def __init__(
        self,
        find: Callable[[Key], Row[Any] | None],
        value: Callable[[Row[Any]], Value],
        some: Callable[[], Iterator[Key]],
    ) -> None:
        self._find = find
        self._value = value
        self._some = some
        self._rows: dict[Key, Row[Any] | None] = {}

    def row(self, key: Key) -> Row[Any] | None:
        """Return the row of a key, or nothing."""
        if key not in self._rows:
            self._rows[key] = self._find(key)
        return self._rows[key]

    def __contains__(self, key: object) -> bool:
        return self.row(key) is not None  # type: ignore[arg-type]  # the rules ask for keys only

    def __getitem__(self, key: Key) -> Value:
        row = self.row(key)
        if row is None:
            raise KeyError(key)
        return self._value(row)

    def __iter__(self) -> Iterator[Key]:
        return self._some()

    def __len__(self) -> int:
        return sum(1 for _ in self._some())


KnownItems = Known[ItemKey, str | None]


def known_items(reads: ReadSession) -> KnownItems:
    """Return the parts and starters by human key, with their kind (a starter has none)."""

    def some() -> Iterator[ItemKey]:
        for owner, table in (("part", _part), ("starter", _starter)):
            first = select(table.maker_code, table.number).order_by(table.maker_code, table.number)
            for row in reads.rows(first.limit(MOST_SUGGESTED)):
                yield ItemKey(owner, row.maker_code, row.number)

    return Known(lambda key: find_item(reads, key), lambda row: row.kind_code, some)


def find_item(reads: ReadSession, key: ItemKey) -> Row[Any] | None:
    """Return (id, kind_code, maker_code, number, withdrawn_on) of a part or a starter, or nothing.

    `withdrawn_on` is the day of what it rests on where it is not withdrawn itself: its maker, its size.
    """
    if key.owner == "part":
        statement = (
            select(
                _part.id,
                _part.kind_code,
                _part.maker_code,
                _part.number,
                func.coalesce(_part.withdrawn_on, _maker.withdrawn_on, _size.withdrawn_on).label(
                    "withdrawn_on"
                ),
            )
            .join(Maker, _maker.code == _part.maker_code)
            .join(Size, _size.id == _part.size_id)
            .where(_part.maker_code == key.maker, _part.number == key.number)
        )
    else:
        statement = (
            select(
                _starter.id,
                literal(None).label("kind_code"),
                _starter.maker_code,
                _starter.number,
                func.coalesce(_starter.withdrawn_on, _maker.withdrawn_on).label("withdrawn_on"),
            )
            .join(Maker, _maker.code == _starter.maker_code)
            .where(_starter.maker_code == key.maker, _starter.number == key.number)
        )
    return reads.first(statement)


def known_suppliers(reads: ReadSession) -> Known[str, str]:
    """Return the suppliers by code, with their currency."""

    def some() -> Iterator[str]:
        first = select(_supplier.code).order_by(_supplier.code).limit(MOST_SUGGESTED)
        return (row.code for row in reads.rows(first))

    return Known(
        lambda code: reads.first(
            select(_supplier.id, _supplier.currency, _supplier.withdrawn_on).where(_supplier.code == code)
        ),
        lambda row: str(row.currency),
        some,
    )


def withdrawn_fault(row: Row[Any] | None, member: str, name: str, noun: str) -> list[FieldFault]:
    """Return the fault of a new reference to what is withdrawn, or nothing where it stands."""
    if row is None or row.withdrawn_on is None:
        return []
    expected = f"a {noun} that is not withdrawn (this one is, from {row.withdrawn_on})"
    return [FieldFault((member,), shown(name), expected, f"withdrawn_{noun}")]
