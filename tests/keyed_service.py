"""Whoever writes in a test: access keys of a place, fresh idempotency keys, suppliers, what is kept."""

import uuid
from contextlib import closing
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
from databases import Place
from sqlalchemy import text

from api.access.judge_key import StoredKey
from api.access.manage_keys import make_access_key

KEPT = {
    "supplier": "*",
    "audit_entry": "*",
    "answered_request": "*",
    "catalogue_state": "*",
    "access_key": "id, holder, scopes, expires_at, revoked_at",  # its use is noted after the answer
}
"""Tables that a write may leave something in, and the columns that tell of it."""


def new_key(
    place: Place, *scopes: str, holder: str = "", days: int = 365, ago: timedelta = timedelta()
) -> tuple[str, StoredKey]:
    """Make a key (some time ago), and return its text and what is kept of it."""
    who = holder or f"Holder {uuid.uuid4().hex[:12]}"
    with closing(place.open()) as database, database.write() as writes:
        new, kept = make_access_key(writes, who, scopes, days, datetime.now(UTC) - ago)
    return new.text, kept


def bearer(key: str) -> dict[str, str]:
    """Return the field that carries a key."""
    return {"Authorization": f"Bearer {key}"}


def client_of(address: str, key: str | None) -> httpx.Client:
    """Return a client that sends a key with everything."""
    return httpx.Client(base_url=address, timeout=60, headers=bearer(key) if key else {})


def once(key: str | None = None) -> dict[str, str]:
    """Return the field that carries a (new) idempotency key."""
    return {"Idempotency-Key": f'"{key or uuid.uuid4()}"'}


def supplier(code: str | None = None, **members: Any) -> dict[str, Any]:
    """Return the body of a supplier that may be kept."""
    return {
        "code": code or f"s-{uuid.uuid4().hex[:16]}",
        "name": "Quenby and Daughters",
        "place": "Tollmarrow",
        "currency": "USD",
        "shipping": "4.50",
        **members,
    }


def kept(place: Place) -> dict[str, list[tuple[Any, ...]]]:
    """Return every row that writes may have left, by table, in the order of the primary key."""
    with closing(place.open()) as database, database.read() as reads:
        rows = {
            name: reads.rows(text(f"SELECT {told} FROM {name} ORDER BY 1")) for name, told in KEPT.items()
        }
    return {name: [tuple(row) for row in held] for name, held in rows.items()}
