"""The catalogue's version: one row that grows with every committed change, and orders the writers."""

from secrets import token_hex

from sqlalchemy import insert, select, update

from api.columns import columns
from api.database import WriteSession
from api.wear_parts.tables import CatalogueState

_state = columns(CatalogueState)


def lock_version(writes: WriteSession) -> None:
    """Wait until no other writer of the catalogue is open, and let none in before this one ends.

    On SQLite a writer always is alone. On PostgreSQL the one row is locked, so that rules across tables
    (uniqueness, circles, overlaps) hold without a lock of each table.
    """
    locked = writes.first(select(_state.version).with_for_update())
    if locked is None:
        writes.wait_to_be_alone()


def grow_version(writes: WriteSession) -> int:
    """Make the version one greater and return it: whatever is derived from the catalogue follows."""
    stamp = token_hex(16)
    grown = writes.run(
        update(CatalogueState).where(_state.id == 1).values(version=_state.version + 1, stamp=stamp)
    )
    if grown == 0:
        writes.run(insert(CatalogueState), {"id": 1, "version": 1, "stamp": stamp})
    return writes.number(select(_state.version))
